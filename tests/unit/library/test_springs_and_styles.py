"""Springs that can be bought and sag windows; both are common practice, no source."""

import numpy as np
import pytest

from fitplanner.documents.job import SagWindows, Window
from fitplanner.documents.machine import MachineKind
from fitplanner.documents.rider import RidingStyle
from fitplanner.library.springs import available_rates
from fitplanner.library.styles import sag_windows, windows_of
from tests import factories


@pytest.mark.parametrize("kind", list(MachineKind))
@pytest.mark.parametrize("legs", [1, 2])
def test_rates_rise_and_are_round_numbers(kind: MachineKind, legs: int) -> None:
    for end in ("fork", "shock"):
        rates = available_rates(end, kind, spring_legs=legs)  # type: ignore[arg-type]
        assert np.all(np.diff(rates) > 0.05)
        assert all(float(f"{rate:.1f}") == rate for rate in rates)
        assert not rates.flags.writeable


def test_steps_and_ends_of_the_lists() -> None:
    """Common practice, no source: what catalogues of springs usually hold."""
    trail = MachineKind.TRAIL
    both = available_rates("fork", trail)
    assert (both[0], both[-1], len(both)) == (2.4, 7.0, 47)
    one = available_rates("fork", trail, spring_legs=1)
    assert one[-1] == 12.0
    assert np.allclose(np.diff(one), 0.2)
    shock = available_rates("shock", trail)
    assert (shock[0], shock[-1]) == (20.0, 200.0)
    assert {48.0, 50.0, 70.0, 75.0} <= set(shock)
    assert 51.0 not in shock
    child = available_rates("fork", MachineKind.CHILD)
    assert child[0] < both[0]
    assert child[-1] < both[-1]


def test_trail_windows_in_mm_of_full_travel() -> None:
    """Common practice, no source: full-size off-road machines with 300 mm at both ends."""
    windows = sag_windows(RidingStyle.TRAIL)
    assert [300 * windows.rider_rear.low, 300 * windows.rider_rear.high] == pytest.approx([90, 105])
    assert [300 * windows.rider_front.low, 300 * windows.rider_front.high] == pytest.approx(
        [66, 81]
    )
    assert [300 * windows.free_rear.low, 300 * windows.free_rear.high] == pytest.approx([15, 50])


@pytest.mark.parametrize("style", list(RidingStyle))
def test_free_sag_is_less_than_rider_sag_in_every_style(style: RidingStyle) -> None:
    windows = sag_windows(style)
    assert windows.free_front.high < windows.rider_front.low
    assert windows.free_rear.high < windows.rider_rear.low
    assert windows.rider_front.high < windows.rider_rear.high


def test_travel_rides_lower_than_motocross() -> None:
    soft, firm = sag_windows(RidingStyle.TRAVEL), sag_windows(RidingStyle.MOTOCROSS)
    assert soft.rider_rear.middle > firm.rider_rear.middle
    assert soft.rider_front.middle > firm.rider_front.middle


def test_the_job_may_hold_windows_of_its_own() -> None:
    share = Window(low=0.1, high=0.2)
    own = SagWindows(rider_front=share, rider_rear=share, free_front=share, free_rear=share)
    assert windows_of(factories.job(windows=own)) == own
    travel = factories.job(rider={"riding_style": RidingStyle.TRAVEL})
    assert windows_of(travel) == sag_windows(RidingStyle.TRAVEL)
