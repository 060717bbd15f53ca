"""The tape lies where the reading says, on every machine of the library."""

from functools import cache

import pytest

from fitplanner.documents.job import Job
from fitplanner.library.loader import load_library
from fitplanner.outline.taping import (
    axle_taping,
    lean_taping,
    seat_taping,
    stanchion_taping,
)
from fitplanner.planning.evaluate import evaluate
from fitplanner.planning.plan import Plan

MACHINES = tuple(load_library().profiles)


@cache
def plan_of(machine: str) -> Plan:
    library = load_library()
    return evaluate(Job(rider=library.riders["ilka"], machine=library.profiles[machine]))


@pytest.mark.parametrize("after", [False, True])
@pytest.mark.parametrize("machine", MACHINES)
def test_the_seat_s_tape_stands_on_the_ground_and_is_as_long_as_the_seat_is_high(
    machine: str, after: bool
) -> None:
    plan = plan_of(machine)
    taping = seat_taping(plan.pictures.side["on_wheels"], after=after)
    state = (plan.states.planned if after else plan.states.stock).on_wheels
    assert taping.start[0] == taping.end[0] and taping.start[1] == 0.0
    assert taping.end[1] == pytest.approx(state.seat_height_mm, abs=0.5)


@pytest.mark.parametrize("end", ["front", "rear"])
@pytest.mark.parametrize("machine", MACHINES)
def test_an_axle_s_tape_goes_straight_up_to_the_fender_and_shortens_with_the_load(
    machine: str, end: str
) -> None:
    plan = plan_of(machine)
    long = []
    for state in ("extended", "on_wheels", "rider_up"):
        hanging = state == "extended"
        taping = axle_taping(plan.pictures.side[state], end, after=False, hanging=hanging)
        assert taping.start[0] == taping.end[0]
        assert (taping.stand is not None) == hanging
        assert (taping.ground_mm < 0) == hanging
        long.append(taping.end[1] - taping.start[1])
    # Above the tyre's crown, and less the deeper it sits.
    assert long[0] > long[1] > long[2] > 0


@pytest.mark.parametrize("machine", MACHINES)
def test_the_other_tapes_lie_inside_what_is_seen(machine: str) -> None:
    plan = plan_of(machine)
    for taping in (
        stanchion_taping(plan.pictures.side["extended"], after=False),
        lean_taping(plan.pictures.front["parked"], after=True),
    ):
        for x, z in (taping.start, taping.end):
            assert taping.bounds.left <= x <= taping.bounds.right
            assert taping.bounds.bottom <= z <= taping.bounds.top
    lean = lean_taping(plan.pictures.front["parked"], after=True)
    assert lean.angle_rad is not None and lean.angle_rad > 0
