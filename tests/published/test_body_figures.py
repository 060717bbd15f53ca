"""Body figures against printed tables and worked values; each names its source."""

import math

import numpy as np
import pytest

from fitplanner.body.foot import Foot, ball_lift_mm, foot_from_stature
from fitplanner.body.inside_leg import estimate_inside_leg
from fitplanner.body.segments import PAIRED, SEGMENT_MASSES, STATURE_SHARES
from fitplanner.body.survey import Population


@pytest.mark.parametrize(
    ("population", "intercept", "slope"),
    [
        (Population.MEN, -176.319, 0.58208),
        (Population.WOMEN, -179.096, 0.59038),
        (Population.BOTH, -111.236, 0.54616),
    ],
)
def test_inside_leg_of_the_survey(population, intercept, slope):
    """Gordon et al. 2014: crotch height against stature, standard error 24 mm, +-47 mm."""
    estimate = estimate_inside_leg(1700.0, population)
    assert estimate.value_mm == pytest.approx(intercept + slope * 1700.0, abs=0.02)
    assert estimate.standard_error_mm == pytest.approx(24.0, abs=0.5)
    assert estimate.high_mm - estimate.value_mm == pytest.approx(47.0, abs=1.0)
    assert estimate.value_mm - estimate.low_mm == pytest.approx(47.0, abs=1.0)


@pytest.mark.parametrize(
    ("population", "stature", "ball", "foot"),
    [(Population.WOMEN, 1628.5, 182.0, 246.3), (Population.MEN, 1756.2, 201.0, 271.2)],
)
def test_mean_foot_of_the_survey(population, stature, ball, foot):
    """Gordon et al. 2014: mean ball lengths 182 mm (women) and 201 mm (men)."""
    mean = foot_from_stature(stature, population)
    assert mean.ball_mm == pytest.approx(ball, abs=0.5)
    assert mean.length_mm == pytest.approx(foot, abs=0.5)


def test_ankle_lift_of_a_mean_woman():
    """37 mm at 20 deg and about 51 mm at 30 deg, far less than the heel's 62 and 91 mm.

    Lengths from Gordon et al. 2014; the ankle a quarter of the foot from the heel (assumption).
    Worked here without the formula: the ankle's height before and after a turn of the foot.
    """
    foot = Foot(*(np.asarray(length) for length in (246.3, 182.1, 62.7)))
    for degrees, lift in ((20.0, 37.0), (30.0, 51.0)):
        angle = math.radians(degrees)
        turned = complex(-(182.1 - 246.3 / 4.0), 62.7) * complex(math.cos(angle), -math.sin(angle))
        found = float(ball_lift_mm(foot, angle))
        assert found == pytest.approx(turned.imag - 62.7, abs=1e-9)
        assert found == pytest.approx(lift, abs=1.0)
        assert found < 182.1 * math.sin(angle) - 20.0


# P. de Leva, J. Biomechanics 29(9), 1996, Table 4, as carried by the open package biobuddy 0.3.2
# (MIT), which prints the women's head as 0.0669 so that the sum is 1. Mass share, then the centre
# as a share of the length. Arms: the same table counted from the shoulder and the elbow.
DE_LEVA = {
    Population.MEN: {
        "head": (0.0694, 0.5002),
        "trunk": (0.4346, 0.5138),
        "upper_arm": (0.0271, 0.5772),
        "forearm": (0.0162, 0.4574),
        "hand": (0.0061, 0.3624),
        "thigh": (0.1416, 0.4095),
        "shank": (0.0433, 0.4459),
        "foot": (0.0137, 0.4415),
    },
    Population.WOMEN: {
        "head": (0.0669, 0.4841),
        "trunk": (0.4257, 0.4964),
        "upper_arm": (0.0255, 0.5754),
        "forearm": (0.0138, 0.4559),
        "hand": (0.0056, 0.3427),
        "thigh": (0.1478, 0.3612),
        "shank": (0.0481, 0.4416),
        "foot": (0.0129, 0.4014),
    },
}


@pytest.mark.parametrize("population", [Population.WOMEN, Population.MEN])
def test_segment_table(population):
    table = SEGMENT_MASSES[population]
    assert set(table) == set(DE_LEVA[population])
    for name, (mass, centre) in DE_LEVA[population].items():
        assert table[name].mass_share == pytest.approx(mass, abs=1.01e-4)
        assert table[name].centre_share == pytest.approx(centre, abs=1e-9)


@pytest.mark.parametrize("population", list(Population))
def test_segments_make_a_whole_body(population):
    whole = sum(
        segment.mass_share * (2 if name in PAIRED else 1)
        for name, segment in SEGMENT_MASSES[population].items()
    )
    assert whole == pytest.approx(1.0, abs=1.01e-4)


@pytest.mark.parametrize(
    ("population", "textbook"), [(Population.WOMEN, 0.555), (Population.MEN, 0.565)]
)
def test_standing_body_balances_where_textbooks_say(population, textbook):
    """Standing centre of mass at 55 to 57 % of stature (from memory, textbook range)."""
    table, share = SEGMENT_MASSES[population], STATURE_SHARES
    ends = {
        "head": (1.0, 0.860),
        "trunk": (0.860, share["hip_height"]),
        "upper_arm": (share["shoulder_height"], share["shoulder_height"] - share["upper_arm"]),
        "thigh": (share["hip_height"], share["knee_height"]),
        "shank": (share["knee_height"], share["ankle_height"]),
        "foot": (0.02, 0.02),
    }
    elbow = share["shoulder_height"] - share["upper_arm"]
    wrist = elbow - share["forearm"]
    ends |= {"forearm": (elbow, wrist), "hand": (wrist, wrist - share["hand"])}
    height = sum(
        (2 if name in PAIRED else 1)
        * table[name].mass_share
        * (start + table[name].centre_share * (end - start))
        for name, (start, end) in ends.items()
    )
    assert height == pytest.approx(textbook, abs=0.025)


def test_stature_shares():
    """Drillis and Contini 1966 as in Winter, read in a copy, not in the original."""
    share = STATURE_SHARES
    assert share["hip_height"] - share["knee_height"] == pytest.approx(0.245)
    assert share["knee_height"] - share["ankle_height"] == pytest.approx(0.246)
    assert share["shoulder_height"] - share["hip_height"] == pytest.approx(0.288)
    assert (share["upper_arm"], share["forearm"]) == (0.186, 0.146)
