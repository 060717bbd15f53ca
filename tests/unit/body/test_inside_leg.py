"""The estimate's shape and what it says of riders outside its source."""

import numpy as np
import pytest

from fitplanner.body.inside_leg import Population, estimate_inside_leg
from fitplanner.body.segments import segment_lengths


def test_estimate_is_shaped_like_the_stature():
    estimate = estimate_inside_leg(np.full((2, 3), 1700.0), Population.WOMEN)
    for part in (estimate.value_mm, estimate.standard_error_mm, estimate.low_mm):
        assert part.shape == (2, 3)
    assert estimate.within_source.all()


def test_a_child_is_outside_the_source():
    assert list(estimate_inside_leg([1250.0, 1700.0]).within_source) == [False, True]


@pytest.mark.parametrize("stature", [0.0, -1.0, np.nan, np.inf])
def test_no_stature_no_estimate(stature):
    with pytest.raises(ValueError, match="stature"):
        estimate_inside_leg(stature)


def test_own_inside_leg_lengthens_leg_and_shortens_trunk():
    mean = segment_lengths(1700.0, Population.MEN)
    leg = float(estimate_inside_leg(1700.0, Population.MEN).value_mm)
    same = segment_lengths(1700.0, Population.MEN, inside_leg_mm=leg)
    longer = segment_lengths(1700.0, Population.MEN, inside_leg_mm=leg + 40.0)
    assert same.thigh_mm == pytest.approx(mean.thigh_mm)
    grown = longer.thigh_mm + longer.shank_mm - mean.thigh_mm - mean.shank_mm
    assert grown == pytest.approx(40.0)
    assert longer.trunk_mm == pytest.approx(mean.trunk_mm - 40.0)
    assert longer.thigh_mm / longer.shank_mm == pytest.approx(245.0 / 246.0)


def test_a_misread_leg_is_refused():
    with pytest.raises(ValueError, match="do not fit each other"):
        segment_lengths(1700.0, inside_leg_mm=1050.0)
