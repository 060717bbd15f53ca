"""One evaluation from end to end: figures agree with each other, and bad figures give checks."""

import dataclasses
import math

import pytest

from fitplanner.body.reach import Footing
from fitplanner.documents.machine import CatalogueState
from fitplanner.documents.rider import Experience
from fitplanner.library.loader import load_library
from fitplanner.planning.evaluate import IncompleteError, UnsolvableError, evaluate
from fitplanner.planning.plan import STATE_NAMES, Plan, Severity, WayId
from tests.factories import job, machine_profile, rider


def walk(value: object) -> list[float]:
    """Every number of a plan's figures."""
    if isinstance(value, bool):
        return []
    if isinstance(value, int | float):
        return [float(value)]
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        return [n for f in dataclasses.fields(value) for n in walk(getattr(value, f.name))]
    if isinstance(value, dict):
        return [n for each in value.values() for n in walk(each)]
    if isinstance(value, tuple):
        return [n for each in value for n in walk(each)]
    return []


def figures(plan: Plan) -> list[float]:
    return walk(
        (plan.requirement, plan.split, plan.ways, dict(plan.springs), plan.delivered, plan.states)
    )


def check(plan: Plan, key: str):
    return next(c for c in plan.checks if c.key == key)


def test_plan_reaches_the_footing_when_the_machine_allows_it() -> None:
    plan = evaluate(job(rider={"inside_leg_mm": 845.0}))
    assert plan.requirement.reached
    assert plan.requirement.planned.footing.rank >= Footing.BOTH_BALLS.rank
    assert check(plan, "footing").holds
    assert plan.requirement.planned_drop_mm.value > 0


def test_plan_says_when_the_footing_is_out_of_reach() -> None:
    plan = evaluate(job(rider={"inside_leg_mm": 690.0, "stature_mm": 1560.0}))
    assert not plan.requirement.reached
    assert not check(plan, "footing").holds
    assert plan.requirement.planned.gap_mm > 0


def test_no_drop_is_planned_for_a_rider_who_reaches() -> None:
    plan = evaluate(job(rider={"inside_leg_mm": 960.0, "stature_mm": 1950.0}))
    assert plan.requirement.drop_mm.value == 0
    assert not any(way.amount_mm for way in plan.ways)
    assert plan.requirement.stock.footing is Footing.BOTH_FLAT


def test_states_are_ordered_from_extended_to_full_bump() -> None:
    plan = evaluate(job())
    for states in (plan.states.stock, plan.states.planned):
        heights = [
            getattr(states, name).seat_height_mm
            for name in ("extended", "on_wheels", "stopped", "rider_up", "full_bump")
        ]
        assert heights == sorted(heights, reverse=True)


@pytest.mark.parametrize("state", list(CatalogueState))
def test_catalogue_comes_back_in_its_own_state(state: CatalogueState) -> None:
    """A machine tested with the catalogue's own rider and fuel shows the catalogue's figures."""
    profile = machine_profile(catalogue={"state": state})
    from fitplanner.mechanics.equilibrium import equilibrium, hanging
    from fitplanner.mechanics.machine import Body
    from fitplanner.planning.resolve import catalogue_figures, reference

    machine, figures_in = reference(profile).machine, catalogue_figures(profile)
    body = machine.sprung + figures_in.fuel
    if state is CatalogueState.RIDER_UP:
        body = body + Body(75.0, profile.seat.x_mm.value, profile.catalogue.seat_height_mm.value)
    rest = hanging(machine) if state is CatalogueState.EXTENDED else equilibrium(machine, body)
    at = rest.pose
    assert float(at.wheelbase_mm) == pytest.approx(1440.0, abs=1e-9)
    assert math.degrees(float(at.rake_rad)) == pytest.approx(27.0, abs=1e-9)
    assert float(at.trail_mm) == pytest.approx(107.0, abs=1e-9)
    seat = at.height(profile.seat.x_mm.value, profile.catalogue.seat_height_mm.value)
    assert float(seat) == pytest.approx(930.0, abs=1e-9)


def test_nominal_is_accounted_for_to_rounding() -> None:
    plan = evaluate(
        job(choices={"fork_limiter_mm": 50.0, "shock_limiter_mm": 16.0, "lower_seat_mm": 0.0})
    )
    d = plan.delivered
    assert d.nominal_mm == pytest.approx(
        d.on_wheels_mm.value + d.geometry_mm + d.rate_mm + d.preload_mm, abs=1e-9
    )
    drop = plan.states.stock.on_wheels.seat_height_mm - plan.states.planned.on_wheels.seat_height_mm
    assert d.on_wheels_mm.value == pytest.approx(drop, abs=1e-9)


def test_what_is_fixed_by_hand_stays() -> None:
    choices = {
        "fork_limiter_mm": 30.0,
        "shock_limiter_mm": 12.5,
        "raised_stanchions_mm": 4.0,
        "lower_seat_mm": 10.0,
        "fork_rate_n_mm": 7.3,
        "fork_preload_mm": 9.25,
        "shock_rate_n_mm": 51.0,
        "shock_preload_mm": 6.75,
    }
    plan = evaluate(job(choices=choices))
    by_hand = {way.way: way.amount_mm for way in plan.ways if way.by_hand}
    assert list(by_hand.values()) == [30.0, 12.5, 4.0, 10.0]
    assert not any(way.amount_mm for way in plan.ways if not way.by_hand)
    front, rear = plan.springs["front"], plan.springs["rear"]
    assert (front.rate_n_mm, front.preload_mm) == (7.3, 9.25)
    assert (rear.rate_n_mm, rear.preload_mm) == (51.0, 6.75)


@pytest.mark.parametrize(
    ("changes", "key"),
    [
        ({"choices": {"fork_limiter_mm": 350.0}}, "fork-limiter-fits"),
        ({"choices": {"shock_limiter_mm": 150.0}}, "shock-limiter-fits"),
        ({"choices": {"shock_rate_n_mm": 8.0, "shock_preload_mm": 0.0}}, "rear-carries"),
        ({"choices": {"fork_rate_n_mm": 1.2, "fork_preload_mm": 0.0}}, "fork-carries"),
        ({"rider": {"mass_kg": 190.0}}, "payload"),
        ({"choices": {"raised_stanchions_mm": 120.0}}, "front-gap"),
        ({"machine": {"catalogue": {"seat_height_mm": 600.0}}}, "seat-over-wheel"),
        ({"machine": {"rear": {"spring_solid_mm": 180.0}}}, "shock-bind"),
        ({"choices": {"shock_limiter_mm": 80.0}}, "shock-limiter-travel"),
        ({"choices": {"lower_seat_mm": 40.0}}, "lower_seat-offered"),
        ({"machine": {"fork": {"kit_oil_volume_ml": None}}}, None),
    ],
)
def test_bad_combinations_answer_with_a_stop_check(changes: dict, key: str | None) -> None:
    plan = evaluate(job(**changes))
    assert all(math.isfinite(n) for n in figures(plan))
    stops = {c.key for c in plan.stopped_by}
    assert (key in stops) if key else not stops


def test_failing_checks_come_first_and_worst_first() -> None:
    plan = evaluate(job(choices={"fork_limiter_mm": 350.0, "shock_rate_n_mm": 8.0}))
    ranks = [
        (c.holds, [Severity.STOP, Severity.CAUTION, Severity.NOTE].index(c.severity))
        for c in plan.checks
    ]
    assert ranks == sorted(ranks)
    assert not plan.checks[0].holds


@pytest.mark.parametrize("footing", list(Footing))
def test_every_footing_is_planned(footing: Footing) -> None:
    plan = evaluate(job(rider={"footing": footing, "inside_leg_mm": 850.0}))
    assert all(math.isfinite(n) for n in figures(plan))
    if footing is Footing.NONE:
        assert plan.requirement.drop_mm.value == 0 == plan.requirement.spare_mm.value


@pytest.mark.parametrize("footing", [Footing.BOTH_FLAT, Footing.BOTH_BALLS, Footing.BOTH_TOES])
@pytest.mark.parametrize("leg", [760.0, 900.0])
def test_what_is_to_spare_is_the_drop_with_its_sign(footing: Footing, leg: float) -> None:
    need = evaluate(job(rider={"footing": footing, "inside_leg_mm": leg})).requirement
    assert need.drop_mm.value == pytest.approx(max(0.0, -need.spare_mm.value))
    assert need.spare_mm.low < need.spare_mm.value < need.spare_mm.high


def test_one_foot_carries_what_the_roll_balance_asks() -> None:
    plan = evaluate(job(rider={"footing": Footing.ONE_FOOT_FLAT, "inside_leg_mm": 860.0}))
    one = plan.requirement.planned
    assert 0 < one.lean_deg <= 12.0
    assert one.weight_share == pytest.approx(one.foot_load_n / (83.0 * 9.80665), rel=1e-9)


def test_surer_footing_needs_more_drop() -> None:
    needs = [
        evaluate(job(rider={"footing": footing})).requirement.drop_mm.value
        for footing in (Footing.BOTH_FLAT, Footing.BOTH_BALLS, Footing.BOTH_TOES)
    ]
    assert needs == sorted(needs, reverse=True)
    assert len(set(needs)) == 3


def test_missing_entries_are_named() -> None:
    with pytest.raises(IncompleteError) as refused:
        evaluate(job(rider={"mass_kg": None, "stature_mm": None, "inside_leg_mm": None}))
    assert refused.value.missing == ("inside leg or stature", "body mass")


def test_estimated_inside_leg_widens_the_band_and_says_so() -> None:
    measured = evaluate(job(rider={"inside_leg_mm": 790.0}))
    estimated = evaluate(job(rider={"inside_leg_mm": None}))
    width = [p.requirement.drop_mm.high - p.requirement.drop_mm.low for p in (measured, estimated)]
    assert width[1] > 2 * width[0]
    assert estimated.requirement.inside_leg_estimated
    assert not check(estimated, "inside-leg").holds
    assert estimated.requirement.widest[0][0] == "Inside leg"


def test_measured_inside_leg_moves_the_need_one_for_one() -> None:
    drops = [
        evaluate(job(rider={"inside_leg_mm": leg})).requirement.drop_mm.value
        for leg in (780.0, 790.0)
    ]
    # The rider's own leg also shifts the centre of mass by a hair.
    assert drops[0] - drops[1] == pytest.approx(10.0, abs=0.6)


def test_narrower_seat_needs_less_drop() -> None:
    drops = [
        evaluate(job(machine={"seat": {"width_mm": width}})).requirement.drop_mm.value
        for width in (260.0, 220.0)
    ]
    assert drops[1] < drops[0] - 5


def test_catalogue_arc_replaces_the_geometry() -> None:
    from fitplanner.documents.base import Figure

    plain = evaluate(job())
    excess = plain.requirement.stock.half_arc_mm - plain.requirement.stock.seat_mm
    arc = 2 * (930.0 + excess)
    with_arc = evaluate(job(machine={"seat": {"arc_mm": Figure(value=arc), "width_mm": 400.0}}))
    assert with_arc.requirement.drop_mm.value == pytest.approx(
        plain.requirement.drop_mm.value, abs=1e-6
    )


def test_linkage_that_does_not_go_together_is_named() -> None:
    from fitplanner.documents.machine import LinkagePoints

    broken = LinkagePoints(
        layout="rocker_on_frame",
        frame_eye_mm=[-60.0, 400.0],
        arm_point_mm=[-200.0, -20.0],
        frame_point_mm=[-60.0, -80.0],
        rod_joint_mm=[-90.0, -81.0],
        shock_joint_mm=[-80.0, -30.0],
    )
    with pytest.raises(UnsolvableError, match="linkage"):
        evaluate(job(machine={"rear": {"linkage": broken}}))


def test_same_job_gives_the_same_plan() -> None:
    assert evaluate(job()) == evaluate(job())


def test_all_pictures_are_drawn_from_the_plan_s_heights() -> None:
    plan = evaluate(job())
    assert set(plan.pictures.side) == set(STATE_NAMES)
    for state in STATE_NAMES:
        told = [h.value_mm for h in plan.pictures.side[state].heights]
        stock, planned = (
            getattr(s, state).seat_height_mm for s in (plan.states.stock, plan.states.planned)
        )
        assert told == pytest.approx([stock, planned])
    assert plan.pictures.front["stopped"].heights


def test_way_not_offered_is_not_used_by_itself() -> None:
    base = job(rider={"inside_leg_mm": 820.0})
    ways = base.machine.ways.replace(shock_limiter=None)
    plan = evaluate(base.replace(machine=base.machine.replace(ways=ways)))
    amounts = {way.way: way.amount_mm for way in plan.ways}
    assert amounts[WayId.SHOCK_LIMITER] == 0


def test_rider_document_is_not_changed_by_planning() -> None:
    subject = rider()
    before = subject.model_dump()
    evaluate(job(rider=subject))
    assert subject.model_dump() == before


def test_arc_shorter_than_its_seat_is_named() -> None:
    from fitplanner.documents.base import Figure

    with pytest.raises(UnsolvableError, match="arc"):
        evaluate(job(machine={"seat": {"arc_mm": Figure(value=1500.0)}}))


def test_a_new_rider_is_told_how_low_the_balls_of_both_feet_need_the_seat() -> None:
    as_it_is = {f"{way.value}_mm": 0.0 for way in WayId}
    new = {"experience": Experience.NEW}
    toes = evaluate(job(choices=as_it_is, rider={**new, "footing": Footing.BOTH_TOES}))
    balls = evaluate(job(choices=as_it_is, rider={**new, "footing": Footing.BOTH_BALLS}))
    told, seat = check(toes, "experience"), toes.requirement.planned.seat_mm
    assert told.value == pytest.approx(seat)
    assert told.limit == pytest.approx(seat + check(balls, "footing").margin)
    assert "experience" not in {c.key for c in balls.checks}


def test_an_unreached_footing_names_the_ways_not_used() -> None:
    machine = load_library().profiles["brackwell-250"]
    short = {"inside_leg_mm": 690.0, "stature_mm": 1560.0}
    assert "seat narrowed" in check(evaluate(job(machine=machine, rider=short)), "footing").reason


def test_a_wanted_spare_brings_the_seat_lower_and_makes_the_footing_surer() -> None:
    machine = load_library().profiles["brackwell-250"]
    just, sure = (
        evaluate(
            job(
                machine=machine,
                rider={"inside_leg_mm": 830.0},
                choices={
                    **dict.fromkeys((f"{way.value}_mm" for way in WayId), None),
                    "spare_mm": mm,
                },
            )
        )
        for mm in (0.0, 12.0)
    )
    assert check(just, "footing").margin < 8.0
    assert check(sure, "footing").margin >= 12.0
    assert sure.requirement.chance > just.requirement.chance + 0.1


def test_cautions_about_the_stand_stand_only_where_it_is_changed() -> None:
    as_it_is = {f"{way.value}_mm": 0.0 for way in WayId}
    low = evaluate(job(choices={**as_it_is, "fork_limiter_mm": 50.0, "shock_limiter_mm": 15.0}))
    for plan, changed in ((evaluate(job(choices=as_it_is)), False), (low, True)):
        assert check(plan, "old-stand").holds is not changed
        assert any(each.step == "Side-stand" for each in plan.cautions) is changed


def test_need_on_the_planned_seat_is_less_with_a_thicker_sole() -> None:
    sole = evaluate(job(choices={"lower_seat_mm": 0.0, "thicker_sole_mm": 15.0})).requirement
    bare = evaluate(job(choices={"lower_seat_mm": 0.0, "thicker_sole_mm": 0.0})).requirement
    assert bare.need_here_mm == pytest.approx(bare.drop_mm.value)
    assert sole.drop_mm.value == pytest.approx(bare.drop_mm.value)
    assert sole.need_here_mm < bare.need_here_mm - 10.0


@pytest.mark.parametrize("shock_mm", [0.0, 6.0, 12.0, 18.0])
def test_a_machine_that_falls_over_on_its_old_stand_is_more_than_a_note(shock_mm: float) -> None:
    """The new stand is in the plan either way; until it is on, this one does not rest."""
    choices = {
        "fork_limiter_mm": 1.5 * shock_mm,
        "shock_limiter_mm": shock_mm,
        "lower_seat_mm": 0.0,
    }
    found = check(evaluate(job(choices=choices)), "old-stand")
    falls = found.value < 3.43  # a slope of 6 %
    assert (found.severity is Severity.CAUTION) is falls is ("falls over" in found.reason)
    assert falls is (shock_mm > 10.0) and "change the side-stand" in found.reason
