"""The room's body figures against the raw table of the survey that they come from.

Source: C. C. Gordon et al., 2012 Anthropometric Survey of U.S. Army Personnel, Natick TR-15/007,
2014 (public domain); `conftest.survey` reads it, or skips these checks where it is absent.
"""

import numpy as np
import pytest

from fitplanner.body.arrays import Floats
from fitplanner.body.inside_leg import estimate_inside_leg
from fitplanner.body.segments import HIP_ABOVE_SEAT_SHARE, LEG_SHARE_RANGE, STATURE_SHARES
from fitplanner.body.survey import (
    ANKLE_HEIGHT,
    BALL_LENGTH,
    CROTCH_HEIGHT,
    FOOT_LENGTH,
    STATURE_RANGE_MM,
    Population,
    within_survey,
)

_GENDERS = {
    Population.WOMEN: ("Female",),
    Population.MEN: ("Male",),
    Population.BOTH: ("Female", "Male"),
}


def column(survey: list[dict[str, str]], name: str, population: Population) -> Floats:
    return np.array([float(row[name]) for row in survey if row["Gender"] in _GENDERS[population]])


@pytest.mark.parametrize("population", list(Population))
@pytest.mark.parametrize(
    ("lines", "of", "against"),
    [
        (CROTCH_HEIGHT, "crotchheight", "stature"),
        (FOOT_LENGTH, "footlength", "stature"),
        (BALL_LENGTH, "balloffootlength", "footlength"),
        (ANKLE_HEIGHT, "lateralmalleolusheight", "stature"),
    ],
)
def test_line_is_the_least_squares_line_of_the_table(survey, lines, of, against, population):
    x, y = column(survey, against, population), column(survey, of, population)
    slope, intercept = np.polyfit(x, y, 1)
    residual = y - (intercept + slope * x)
    error = np.sqrt(np.sum(residual**2) / (len(x) - 2))
    line = lines[population]
    assert line.slope == pytest.approx(slope, rel=2e-6)
    assert line.intercept_mm == pytest.approx(intercept, abs=1e-3)
    assert line.standard_error_mm == pytest.approx(error, abs=1e-3)


@pytest.mark.parametrize("population", list(Population))
def test_band_holds_95_percent_of_the_people(survey, population):
    leg = column(survey, "crotchheight", population)
    estimate = estimate_inside_leg(column(survey, "stature", population), population)
    inside = np.mean((leg >= estimate.low_mm) & (leg <= estimate.high_mm))
    assert 0.93 <= inside <= 0.97


@pytest.mark.parametrize("population", list(Population))
def test_stature_range_is_the_table_s(survey, population):
    stature = column(survey, "stature", population)
    assert STATURE_RANGE_MM[population] == (stature.min(), stature.max())
    assert within_survey(stature, population).all()


@pytest.mark.parametrize("population", list(Population))
def test_hip_stands_above_the_seat_as_sitting_height_says(survey, population):
    sitting = column(survey, "sittingheight", population) / column(survey, "stature", population)
    above_hip = 1.0 - STATURE_SHARES["hip_height"]
    assert pytest.approx(np.mean(sitting) - above_hip, abs=0.003) == HIP_ABOVE_SEAT_SHARE


@pytest.mark.parametrize("population", list(Population))
def test_stature_shares_agree_with_people_of_today(survey, population):
    """Drillis and Contini's small sample against thousands: within 2 % of stature."""
    stature = column(survey, "stature", population)
    for share, name in (
        ("hip_height", "trochanterionheight"),
        ("knee_height", "kneeheightmidpatella"),
        ("ankle_height", "lateralmalleolusheight"),
        ("shoulder_height", "acromialheight"),
    ):
        measured = np.mean(column(survey, name, population) / stature)
        assert STATURE_SHARES[share] == pytest.approx(measured, abs=0.02)


def test_nobody_in_the_table_is_refused(survey):
    share = column(survey, "crotchheight", Population.BOTH) / column(
        survey, "stature", Population.BOTH
    )
    assert LEG_SHARE_RANGE[0] < share.min()
    assert share.max() < LEG_SHARE_RANGE[1]
