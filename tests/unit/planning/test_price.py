"""One setup has one price, whoever asks: the plan, the search or the ranked library.

The plan's own check on the old side-stand is the reference for the stand that is billed.
"""

from collections.abc import Mapping
from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from fitplanner.documents.job import Choices, Job
from fitplanner.documents.machine import MachineProfile, StandOffer, WayOffer
from fitplanner.documents.preferences import Rates
from fitplanner.documents.rider import Rider
from fitplanner.library.loader import load_library
from fitplanner.planning.account import Account, account, new_stand
from fitplanner.planning.evaluate import evaluate
from fitplanner.planning.fleet import rank
from fitplanner.planning.plan import Plan, WayId
from fitplanner.planning.price import bill
from fitplanner.planning.search.engine import search
from fitplanner.planning.search.options import Found
from fitplanner.planning.search.ranking import option_at
from fitplanner.planning.setup import stock_setup

PROFILES: Mapping[str, MachineProfile] = load_library().profiles
RIDERS: Mapping[str, Rider] = load_library().riders
RATES = Rates(hourly=70.0, currency="EUR")

every_machine = pytest.mark.parametrize("machine", PROFILES)


def planned(rider: str, machine: MachineProfile, choices: Choices) -> tuple[Plan, Account]:
    job = Job(rider=RIDERS[rider], machine=machine, choices=choices)
    plan = evaluate(job)
    return plan, account(job, plan, RATES)


def coarse(profile: MachineProfile) -> MachineProfile:
    """The machine with few steps in each way, so that everything is soon searched."""

    def coarser(offer: WayOffer | None) -> WayOffer | None:
        return None if offer is None else offer.replace(step_mm=max(offer.maximum_mm / 2, 0.1))

    ways = {way.value: coarser(getattr(profile.ways, way.value)) for way in WayId}
    return profile.replace(ways=profile.ways.replace(**ways))


@cache
def found(machine: str) -> tuple[MachineProfile, Found]:
    profile = coarse(PROFILES[machine])
    choices = Choices(smaller_tyres_mm=0.0, longer_rods_mm=0.0, narrower_seat_mm=0.0)
    job = Job(rider=RIDERS["ilka"], machine=profile, choices=choices)
    return profile, search(job, rates=RATES)


@every_machine
@pytest.mark.parametrize("rider", ["ilka", "dario"])
def test_a_row_of_the_library_has_the_price_of_its_plan(rider: str, machine: str) -> None:
    (row,) = rank(RIDERS[rider], [PROFILES[machine]], RATES)
    plan, of = planned(rider, row.profile, row.choices)
    assert row.price == pytest.approx(of.cost)
    assert (row.hours, row.parts) == pytest.approx((of.hours, of.parts))
    assert row.new_stand == new_stand(plan)


@every_machine
def test_an_option_has_the_price_and_the_knees_of_its_plan(machine: str) -> None:
    profile, answer = found(machine)
    front = answer.front
    rows = range(0, len(front.choices), max(len(front.choices) // 12, 1))
    options = [*answer.options, *(option_at(front, row) for row in rows)]
    options += [each.option for each in answer.relaxations]
    assert options
    for option in options:
        plan, of = planned("ilka", profile, option.choices)
        told = option.measures
        assert (told.cost, told.hours, told.undo) == pytest.approx((of.cost, of.hours, of.undo))
        assert option.new_stand == new_stand(plan)
        knee = next(c for c in plan.consequences if c.label == "Knee angle on the pegs")
        assert told.knee_deg == pytest.approx(knee.planned, abs=1e-9)


def test_options_of_the_library_change_the_stand_or_keep_it() -> None:
    stands = [flag for machine in PROFILES for flag in found(machine)[1].front.new_stand]
    assert any(stands) and not all(stands), "else the test above says nothing of the stand"


def test_jobs_at_one_end_share_their_hours_and_all_else_adds() -> None:
    # Common practice, no source: a fork that is out for a limiter is out for its springs.
    profile = PROFILES["brackwell-250"]
    stock = stock_setup(profile)
    nothing = bill(profile, stock, new_stand=False)
    assert (float(nothing.hours), float(nothing.parts), float(nothing.undone)) == (0.0, 0.0, 1.0)
    fork = replace(stock, fork_limiter_mm=38.1, raised_stanchions_mm=4.0, fork_rate_n_mm=9.0)
    both = replace(fork, shock_preload_mm=stock.shock_preload_mm + 2.0, lower_seat_mm=25.0)
    ways, springs = profile.ways, profile.springs
    assert ways.fork_limiter is not None and ways.lower_seat is not None
    assert springs.fork.hours < ways.fork_limiter.hours
    made = bill(profile, fork, new_stand=False)
    assert float(made.hours) == ways.fork_limiter.hours
    assert float(made.parts) == ways.fork_limiter.parts + springs.fork.parts
    assert float(bill(profile, both, new_stand=False).hours) == pytest.approx(
        ways.fork_limiter.hours + springs.shock.preload_hours + ways.lower_seat.hours
    )
    seats = replace(stock, lower_seat_mm=np.array([0.0, 25.0]))
    lanes = bill(profile, seats, new_stand=False)
    np.testing.assert_allclose(lanes.price(RATES), [0.0, 0.2 * 70.0 + 190.0])


def test_the_stand_adds_its_own_hours_and_parts_and_stays_cut() -> None:
    profile = PROFILES["brackwell-250"].replace(stand_work=StandOffer(hours=1.5, parts=20.0))
    stock = replace(stock_setup(profile), lower_seat_mm=25.0)
    made = bill(profile, stock, new_stand=np.array([False, True]))
    np.testing.assert_allclose(made.hours, [0.2, 1.7])
    np.testing.assert_allclose(made.parts, [190.0, 210.0])
    np.testing.assert_allclose(made.undone, [1.0, 0.2 / 1.7])


def test_lines_name_each_job_and_add_up() -> None:
    plan, of = planned("ilka", PROFILES["fellstrid-350"], Choices())
    labels = [line.label for line in of.lines]
    assert new_stand(plan) and labels[-1] == "Side-stand shortened"
    assert "Extension limiter, fork" in labels
    assert sum(line.parts for line in of.lines) == pytest.approx(of.parts)
    assert sum(line.hours for line in of.lines if not line.shared) == pytest.approx(of.hours)
    assert of.cost == pytest.approx(of.hours * RATES.hourly + of.parts)
    inside = [line for line in of.lines if line.label.startswith("Fork ")]
    assert inside and all(line.shared and line.hours > 0.0 for line in inside)
