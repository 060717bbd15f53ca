"""Chain geometry against figures worked out apart from the program, and the catenary."""

import numpy as np
import pytest
from scipy.optimize import brentq

from fitplanner.mechanics.chain import SpanShape, excess_for_play_mm, shortening_mm


def test_shortening_from_alignment() -> None:
    # Law of cosines (Euclid II.12) worked by hand for L 590 mm, e 75 mm at 5, 10, 15, 20 deg.
    lost = shortening_mm(
        arm_length_mm=590, sprocket_offset_mm=75, from_alignment_rad=np.radians([5, 10, 15, 20])
    )
    assert lost == pytest.approx([0.253, 1.012, 2.271, 4.025], abs=5e-4)


@pytest.mark.parametrize("sag_share", [0.01, 0.03, 0.06, 0.1])
def test_hanging_run_is_a_shallow_catenary(sag_share: float) -> None:
    # Catenary: sag = a (cosh(h / 2a) - 1), length = 2 a sinh(h / 2a); any statics handbook.
    span = 600.0
    sag = sag_share * span
    a = brentq(lambda a: a * (np.cosh(span / (2 * a)) - 1) - sag, span / 2, span * 1000)
    exact = 2 * a * np.sinh(span / (2 * a)) - span
    excess = excess_for_play_mm(play_mm=2 * sag, span_mm=span)
    assert excess == pytest.approx(exact, rel=0.03 * (sag_share / 0.1) ** 2 + 1e-6)


@pytest.mark.parametrize("sag_share", [0.01, 0.05, 0.1])
def test_pulled_run_is_two_straight_halves(sag_share: float) -> None:
    span = 600.0
    exact = 2 * np.hypot(span / 2, sag_share * span) - span  # Pythagoras
    excess = excess_for_play_mm(play_mm=2 * sag_share * span, span_mm=span, shape=SpanShape.PULLED)
    assert excess == pytest.approx(exact, rel=0.011)
