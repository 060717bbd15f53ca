"""What is not known of a plan: held to the plan itself, to first-order bands, and to itself."""

from dataclasses import replace
from statistics import NormalDist

import numpy as np
import pytest

from fitplanner.body.reach import Footing
from fitplanner.documents.base import Figure, Section, Source
from fitplanner.documents.job import Choices, Job
from fitplanner.documents.machine import MachineProfile
from fitplanner.library.loader import load_library
from fitplanner.library.rules.document import SPECS
from fitplanner.planning.evaluate import evaluate
from fitplanner.planning.rider import NORMAL_90
from fitplanner.planning.unknown.account import Unknown
from fitplanner.planning.unknown.bands import rows
from fitplanner.planning.unknown.engine import points_of, unknown
from fitplanner.planning.unknown.figures import INSIDE_LEG, figures_of
from fitplanner.planning.unknown.lanes import case_of
from fitplanner.planning.unknown.margins import margins
from fitplanner.planning.unknown.measuring import ACTS, READINGS
from fitplanner.quantities import UnitSystem, fill
from tests import factories

LIBRARY = load_library()
EVERY_PROFILE = pytest.mark.parametrize("name", sorted(LIBRARY.profiles))


@pytest.fixture(scope="module")
def job() -> Job:
    return factories.job()


@pytest.fixture(scope="module")
def found(job: Job) -> Unknown:
    return unknown(job, evaluate(job))


def without_spreads(profile: MachineProfile) -> MachineProfile:
    changes: dict[str, Section] = {}
    for section, spec, figure in figures_of(profile):
        part = changes.get(section, getattr(profile, section))
        changes[section] = part.replace(**{spec.key: figure.replace(spread=0.0)})
    return profile.replace(**changes)


@EVERY_PROFILE
@pytest.mark.parametrize("footing", [Footing.BOTH_BALLS, Footing.ONE_FOOT_FLAT])
def test_lane_0_is_the_plan_check_by_check(name: str, footing: Footing) -> None:
    job = factories.job(machine=LIBRARY.profiles[name], rider={"footing": footing})
    plan = evaluate(job)
    case = case_of(job, plan)
    lanes = case.lanes(np.zeros((2, len(case.figures))))
    followed = margins(lanes)
    checks = {check.key: check for check in plan.checks}
    assert len(followed) >= 20
    assert set(followed) - set(checks) <= {"one-foot"}  # told only where one foot reaches
    for key, margin in followed.items():
        if key not in checks:
            continue
        assert lanes.full(margin)[0] == pytest.approx(checks[key].margin, rel=1e-6, abs=1e-5), key
        assert (lanes.full(margin)[0] >= -1e-6) == checks[key].holds, key


@EVERY_PROFILE
def test_lane_0_is_the_plan_figure_by_figure(name: str) -> None:
    job = factories.job(machine=LIBRARY.profiles[name])
    plan = evaluate(job)
    case = case_of(job, plan)
    told = {row.key: row for row in rows(case.lanes(np.zeros((2, len(case.figures)))))}
    after, before = plan.states.planned, plan.states.stock
    for key, planned, stock in (
        ("seat_on_wheels", after.on_wheels.seat_height_mm, before.on_wheels.seat_height_mm),
        ("seat_rider_up", after.rider_up.seat_height_mm, before.rider_up.seat_height_mm),
        ("seat_stopped", after.stopped.seat_height_mm, before.stopped.seat_height_mm),
        ("trail", after.rider_up.trail_mm, before.rider_up.trail_mm),
        ("free_sag_rear", plan.springs["rear"].sag.free_mm, plan.springs["rear"].stock_sag.free_mm),
        ("rider_sag_front", plan.springs["front"].sag.rider_mm,
         plan.springs["front"].stock_sag.rider_mm),
    ):  # fmt: skip
        row = told[key]
        assert row.planned[0] == pytest.approx(planned, abs=1e-6)
        assert row.stock is not None and row.stock[0] == pytest.approx(stock, abs=1e-6)
    assert told["drop_needed"].planned[0] == pytest.approx(plan.requirement.drop_mm.value)
    wheels = plan.delivered.on_wheels_mm.value
    assert told["drop_on_wheels"].planned[0] == pytest.approx(wheels, abs=1e-6)
    clearance = next(c for c in plan.consequences if c.label.startswith("Ground clearance"))
    assert told["clearance"].planned[0] == pytest.approx(clearance.planned, abs=1e-6)


@EVERY_PROFILE
def test_the_live_first_order_bands_agree_with_the_samples(name: str) -> None:
    profile = LIBRARY.profiles[name]
    leg = 0.75 * profile.catalogue.seat_height_mm.value
    job = factories.job(machine=profile, rider={"inside_leg_mm": leg})
    plan = evaluate(job)
    case = case_of(job, plan)
    told = {row.key: row.banded().planned for row in rows(case.lanes(points_of(case)))}
    for key, live in (
        ("drop_needed", plan.requirement.drop_mm),
        ("drop_stopped", plan.requirement.planned_drop_mm),
        ("drop_on_wheels", plan.delivered.on_wheels_mm),
    ):
        sampled = told[key]
        assert live.low > 0 or key != "drop_needed"
        assert sampled.high - sampled.low == pytest.approx(live.high - live.low, rel=0.10), key


def test_without_spreads_everything_is_certain(job: Job) -> None:
    exact = job.replace(
        machine=without_spreads(job.machine), rider=job.rider.replace(inside_leg_spread_mm=0.0)
    )
    plan = evaluate(exact)
    found = unknown(exact, plan, samples=50)
    assert found.unsure == 0 and found.shares == () and found.measure_next == ()
    for each in found.bands:
        assert each.planned.low == pytest.approx(each.planned.value, abs=1e-9)
        assert each.planned.high == pytest.approx(each.planned.value, abs=1e-9)
    for chance in found.chances:
        assert chance.chance is None or chance.chance == float(chance.holds), chance.key
        assert chance.chance is None or chance.certain


def test_the_same_job_gives_the_same_account(job: Job, found: Unknown) -> None:
    assert unknown(job, evaluate(job)) == found


def test_every_check_is_told_and_likely_ones_have_room(job: Job, found: Unknown) -> None:
    plan = evaluate(job)
    assert [c.key for c in found.chances] == [c.key for c in plan.checks]
    for key in ("footing", "rear-rider-sag", "rear-free-sag", "trail", "clearance", "front-load",
                "fork-carries", "rear-carries"):  # fmt: skip
        assert found.chance(key).chance is not None, key
    assert found.chance("clearance").chance == 1.0


def test_a_footing_that_is_just_reached_is_a_little_better_than_an_even_chance(job: Job) -> None:
    """The planner takes the cheapest plan that reaches, so that little is to spare."""
    longer = job.replace(rider=job.rider.replace(inside_leg_mm=830.0))
    plan = evaluate(longer)
    found = unknown(longer, plan)
    spare, chance = found.band("spare").planned, found.chance("footing").chance
    assert plan.requirement.reached and spare.value >= 0 and chance is not None
    # Of a normal spread, the share above 0 (standard normal table).
    sd = (spare.high - spare.low) / 2 / NORMAL_90
    assert chance == pytest.approx(NormalDist().cdf(spare.value / sd), abs=0.03)
    assert 0.48 <= chance < 0.99


def test_a_gap_that_the_plan_leaves_alone_is_certain(job: Job) -> None:
    kept = job.replace(choices=Choices(raised_stanchions_mm=0.0))
    found = unknown(kept, evaluate(kept), samples=200)
    assert found.chance("front-gap").certain and found.chance("front-gap").chance == 1.0
    raised = job.replace(choices=Choices(raised_stanchions_mm=10.0))
    assert not unknown(raised, evaluate(raised), samples=200).chance("front-gap").certain


def test_an_estimated_leg_leads_the_ranking_and_measuring_it_halves_the_band(job: Job) -> None:
    unmeasured = job.replace(rider=job.rider.replace(inside_leg_mm=None))
    found = unknown(unmeasured, evaluate(unmeasured))
    first = found.measure_next[0]
    assert first.address == INSIDE_LEG and found.shares[0].address == INSIDE_LEG
    assert found.shares[0].footing_total > 0.8
    # 24 mm is the regression's standard error on ANSUR II (Gordon et al. 2014).
    assert first.spread == pytest.approx(24.0, abs=2.0)
    assert first.left_mm < 0.5 * first.half_mm
    assert first.worth.endswith("halves the band")


def test_shares_of_a_nearly_linear_machine_add_up(found: Unknown) -> None:
    assert sum(share.footing_total for share in found.shares) == pytest.approx(1.0, abs=0.02)
    assert sum(share.seat_total for share in found.shares) == pytest.approx(1.0, abs=0.02)
    for share in found.shares:
        assert share.footing_first == pytest.approx(share.footing_total, abs=0.03)
    totals = [share.footing_total for share in found.shares if share.address]
    assert totals == sorted(totals, reverse=True)
    assert found.shares[-1].address is None and found.shares[-1].footing_total < 0.02


def test_what_a_reading_is_worth_is_what_the_profile_with_that_reading_gives(
    job: Job, found: Unknown
) -> None:
    act = next(a for a in found.measure_next if a.address == ("seat", "foam_squash_mm"))
    figure: Figure = job.machine.seat.foam_squash_mm
    read = figure.replace(spread=act.careful, source=Source.MEASURED)
    machine = job.machine.replace(seat=job.machine.seat.replace(foam_squash_mm=read))
    after = job.replace(machine=machine)
    assert unknown(after, evaluate(after)).footing_half_mm == pytest.approx(act.left_mm, rel=1e-6)
    assert found.half_with_all_mm < found.measure_next[0].left_mm < found.footing_half_mm


def test_a_tape_reading_is_worth_what_bayes_says(job: Job) -> None:
    """Two normal variables: the variance left is V - C²/(S + r²), here with everything known but
    the stock preload of the shock, which moves the seat and the free sag alike."""
    machine = without_spreads(job.machine)
    preload = machine.rear.preload_mm.replace(spread=2.0)
    machine = machine.replace(rear=machine.rear.replace(preload_mm=preload))
    rider = job.rider.replace(inside_leg_spread_mm=0.0)
    rate, kept = machine.rear.spring_rate_n_mm.value, preload.value
    alone = Job(
        rider=rider,
        machine=machine,
        choices=Choices(
            shock_limiter_mm=0.0, shock_rate_n_mm=rate, shock_preload_mm=kept, lower_seat_mm=25.0
        ),
    )
    found = unknown(alone, evaluate(alone))
    sag = next(a for a in found.measure_next if a.address == ("reading", "free_sag_rear"))
    assert sag.expected is not None
    left = found.footing_half_mm * sag.careful / np.hypot(sag.careful, sag.spread)
    assert sag.left_mm == pytest.approx(left, rel=0.06)
    # The catalogue's state is on its wheels: there the seat stands as stated whatever the preload.
    assert all(a.address != ("reading", "seat_on_wheels") for a in found.measure_next)


def test_wider_spreads_give_wider_bands(job: Job, found: Unknown) -> None:
    squash = job.machine.seat.foam_squash_mm
    wide = squash.replace(spread=2 * squash.spread)
    machine = job.machine.replace(seat=job.machine.seat.replace(foam_squash_mm=wide))
    wider = job.replace(machine=machine)
    assert unknown(wider, evaluate(wider)).footing_half_mm > 1.05 * found.footing_half_mm


@pytest.mark.parametrize("footing", [Footing.NONE, Footing.ONE_FOOT_FLAT, Footing.BOTH_TOES])
def test_every_wish_has_an_account(job: Job, footing: Footing) -> None:
    wish = job.replace(rider=job.rider.replace(footing=footing))
    found = unknown(wish, evaluate(wish), samples=300)
    assert found.footing_half_mm > 0
    assert all(np.isfinite([b.planned.low, b.planned.high]).all() for b in found.bands)
    assert any(b.key == "drop_needed" for b in found.bands) == (footing is not Footing.NONE)


def test_longer_rods_and_an_arc_from_the_catalogue() -> None:
    profile = LIBRARY.profiles["duncarrow-250"]
    arc = Figure(value=2.0 * profile.catalogue.seat_height_mm.value + 2.0, spread=30.0)
    profile = profile.replace(seat=profile.seat.replace(arc_mm=arc))
    job = factories.job(machine=profile, choices={"longer_rods_mm": 2.0})
    found = unknown(job, evaluate(job), samples=300)
    drop = found.band("drop_on_wheels").planned
    assert drop.low < drop.value < drop.high
    assert not found.chance("rear-gap").certain


def test_assumed_figures_are_listed_with_their_rules() -> None:
    profile = LIBRARY.profiles["hallowmoor-900"]
    job = factories.job(machine=profile)
    found = unknown(job, evaluate(job), samples=100)
    labels = {each.label for each in found.assumed}
    assert "Height of the centre of mass" in labels and len(found.assumed) >= 15
    for each in found.assumed:
        part = getattr(profile, each.address[0])
        figure = getattr(part, each.address[1])
        assert figure.source is Source.ASSUMED and each.rule == figure.note


def test_every_act_speaks_of_a_figure_and_in_the_shop_s_units() -> None:
    assert set(ACTS) == {*SPECS, INSIDE_LEG}
    for act in [*ACTS.values(), *(act for _, act in READINGS.values())]:
        assert act.careful > 0
        shown = fill(act.text, UnitSystem.INCH)
        assert " mm" not in shown and " kg" not in shown and "{" not in shown


def test_a_reading_s_expected_value_is_the_stock_machine_s(job: Job, found: Unknown) -> None:
    for act in found.measure_next:
        if act.expected is None:
            continue
        stock = found.band(act.address[1]).stock
        assert stock is not None and act.expected == stock
        assert act.spread == pytest.approx((stock.high - stock.low) / 2 / NORMAL_90)


def test_more_samples_do_not_move_the_bands_much(job: Job, found: Unknown) -> None:
    many = unknown(job, evaluate(job), samples=6000)
    for each in many.bands:
        fewer = found.band(each.key).planned
        width = each.planned.high - each.planned.low
        assert fewer.high - fewer.low == pytest.approx(width, rel=0.06, abs=1e-9), each.key


def test_a_plan_is_not_changed(job: Job) -> None:
    plan = evaluate(job)
    before = replace(plan)
    unknown(job, plan, samples=50)
    assert plan == before


@EVERY_PROFILE
def test_the_plan_s_own_chance_of_the_footing_is_that_of_the_samples(name: str) -> None:
    """First order against 2,000 sampled machines."""
    job = factories.job(machine=LIBRARY.profiles[name])
    plan = evaluate(job)
    sampled = unknown(job, plan).chance("footing").chance
    assert plan.requirement.chance == pytest.approx(sampled, abs=0.06)
