"""People by the thousand: what a group's moments say comes out of its people again."""

import numpy as np
import pytest

from fitplanner.body.population import SURVEY, Bodies
from fitplanner.body.survey import CROTCH_HEIGHT, STATURE_RANGE_MM, Population

GROUPS = (Population.WOMEN, Population.MEN)
each_group = pytest.mark.parametrize("group", GROUPS)


def drawn(bodies: Bodies, count: int = 200_000) -> np.ndarray:
    return np.stack(bodies.people(np.random.default_rng(7).standard_normal((count, 3))))


@each_group
def test_people_have_the_moments_of_their_group(group: Population) -> None:
    bodies = SURVEY[group]
    logs = np.log(drawn(bodies))
    assert logs.mean(axis=1) == pytest.approx(np.log(bodies.middle), abs=1.5e-3)
    assert logs.std(axis=1) == pytest.approx(bodies.log_sd, rel=0.01)
    assert np.corrcoef(logs) == pytest.approx(bodies.correlations, abs=0.01)
    assert drawn(bodies)[0].std() == pytest.approx(bodies.stature_spread_mm, rel=0.01)


@each_group
def test_usual_legs_are_those_of_the_survey_s_line(group: Population) -> None:
    """The line (Gordon et al. 2014) was fitted in millimetres, not in logarithms."""
    low, high = STATURE_RANGE_MM[group]
    stature = np.linspace(low + 80, high - 80, 9)
    line = CROTCH_HEIGHT[group].at(stature)
    assert SURVEY[group].usual_leg_mm(stature) == pytest.approx(line, abs=3.0)


@each_group
def test_usual_mass_is_the_middle_of_those_people(group: Population) -> None:
    bodies = SURVEY[group]
    stature, leg, mass = drawn(bodies, 1_000_000)
    for at, short in ((bodies.middle[0] + 40, bodies.middle[1] + 10), bodies.middle[:2]):
        alike = (np.abs(stature - at) < 8) & (np.abs(leg - short) < 8)
        assert np.median(mass[alike]) == pytest.approx(
            float(bodies.usual_mass_kg(at, short)), rel=0.01
        )


@each_group
@pytest.mark.parametrize("share", [0.1, 0.25, 0.5, 0.9])
def test_the_quantile_has_so_many_below(group: Population, share: float) -> None:
    bodies = SURVEY[group]
    stature, leg, mass = bodies.quantile(share)
    people = drawn(bodies)
    assert np.mean(people[1] < leg) == pytest.approx(share, abs=0.004)
    alike = np.abs(people[1] - leg) < 3
    assert np.median(people[0][alike]) == pytest.approx(stature, abs=3)
    assert np.median(people[2][alike]) == pytest.approx(mass, rel=0.02)


@each_group
@pytest.mark.parametrize("share", [0.5, 0.9])
def test_the_outline_holds_its_share(group: Population, share: float) -> None:
    bodies = SURVEY[group]
    x, y = np.log(bodies.outline(share))
    assert (x[0], y[0]) == pytest.approx((x[-1], y[-1]))
    centre = np.log(bodies.middle[:2])
    people = np.log(drawn(bodies)[:2])
    angle = np.arctan2(y - centre[1], x - centre[0])
    order = np.argsort(angle)
    edge = np.interp(
        np.arctan2(people[1] - centre[1], people[0] - centre[0]),
        angle[order],
        np.hypot(x - centre[0], y - centre[1])[order],
        period=2 * np.pi,
    )
    inside = np.hypot(people[0] - centre[0], people[1] - centre[1]) <= edge
    assert np.mean(inside) == pytest.approx(share, abs=0.006)


@each_group
def test_other_statures_keep_the_legs_that_go_with_them(group: Population) -> None:
    bodies = SURVEY[group]
    moved = bodies.with_stature(bodies.middle[0] + 30.0, 50.0)
    assert moved.middle[0] == pytest.approx(bodies.middle[0] + 30.0)
    assert moved.stature_spread_mm == pytest.approx(50.0)
    at = np.array([1550.0, 1700.0, 1850.0])
    assert moved.usual_leg_mm(at) == pytest.approx(bodies.usual_leg_mm(at))
    leg = bodies.usual_leg_mm(at) + 15
    assert moved.usual_mass_kg(at, leg) == pytest.approx(bodies.usual_mass_kg(at, leg))


@each_group
def test_the_same_statures_are_the_same_people(group: Population) -> None:
    bodies = SURVEY[group]
    again = bodies.with_stature(bodies.middle[0], bodies.stature_spread_mm)
    points = np.random.default_rng(1).standard_normal((50, 3))
    assert np.stack(again.people(points)) == pytest.approx(np.stack(bodies.people(points)))


@pytest.mark.parametrize(("middle", "spread"), [(0.0, 60.0), (1600.0, 0.0), (1600.0, -1.0)])
def test_statures_that_nobody_has_are_refused(middle: float, spread: float) -> None:
    with pytest.raises(ValueError, match="above 0"):
        SURVEY[Population.MEN].with_stature(middle, spread)


@pytest.mark.parametrize("share", [0.0, 1.0, -0.2])
def test_a_share_lies_between_nobody_and_everybody(share: float) -> None:
    with pytest.raises(ValueError, match="between 0 and 1"):
        SURVEY[Population.MEN].outline(share)
    with pytest.raises(ValueError, match="between 0 and 1"):
        SURVEY[Population.MEN].quantile(share)
