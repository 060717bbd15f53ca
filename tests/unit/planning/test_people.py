"""Many people on one machine: each of them is one plan, and lower seats let more of them reach."""

from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from fitplanner.body.reach import Footing
from fitplanner.body.survey import Population
from fitplanner.documents.customers import Customers
from fitplanner.documents.job import Choices, Job
from fitplanner.documents.machine import MachineProfile
from fitplanner.documents.preferences import Rates
from fitplanner.documents.rider import Boot, Rider
from fitplanner.library.loader import load_library
from fitplanner.planning.account import account
from fitplanner.planning.context import Context, context
from fitplanner.planning.evaluate import evaluate
from fitplanner.planning.people.crowd import GROUPS, PEOPLE, bodies_of, crowd, middle, short_of
from fitplanner.planning.people.setups import (
    Candidate,
    Sort,
    Springs,
    of_plan,
    single_ways,
    stock_of,
)
from fitplanner.planning.people.shares import (
    ASKED_SHARES,
    LINE_MM,
    Found,
    Question,
    who_reaches,
)
from fitplanner.planning.people.spare import spare
from fitplanner.planning.plan import WayId
from tests import factories

PROFILES = load_library().profiles
RATES = Rates(hourly=70.0)
LOAD = Choices(fuel_share=0.5, luggage_rear_kg=8.0)
WISHES = tuple(each for each in Footing if each is not Footing.NONE)
# A linkage, a drawn table, a seat known by its arc; a wide seat, an uneven mass.
MACHINES = ("brackwell-250", "fellstrid-350", "hallowmoor-900")


def pattern(wish: Footing = Footing.BOTH_BALLS) -> Rider:
    return factories.rider(footing=wish, boot=Boot.WALKING, gear_mass_kg=11.0)


def machine_of(profile: MachineProfile, wish: Footing) -> Context:
    rider = middle(pattern(wish), Customers())
    return context(Job(rider=rider, machine=profile, choices=LOAD))


def by_hand(ctx: Context, candidate: Candidate, springs: Springs) -> Choices:
    """What a job has to fix so that its plan builds this setup."""
    setup = candidate.setup
    amounts = {
        f"{way.value}_mm": float(setup.amount_mm(way))
        for way in WayId
        if ctx.offer(way) is not None or setup.amount_mm(way)
    }
    fixed = {
        Springs.AS_BUILT: ("fork_rate", "fork_preload", "shock_rate", "shock_preload"),
        Springs.REAR_SET: ("fork_rate", "fork_preload", "shock_rate"),
        Springs.BOUGHT: (),
    }[springs]
    units = {"rate": "n_mm", "preload": "mm"}
    names = [f"{each}_{units[each.split('_')[1]]}" for each in fixed]
    return LOAD.replace(**amounts, **{name: float(getattr(setup, name)) for name in names})


@pytest.mark.parametrize("wish", WISHES)
@pytest.mark.parametrize("springs", Springs)
@pytest.mark.parametrize("machine", MACHINES)
def test_each_of_them_is_what_his_own_plan_says(
    machine: str, springs: Springs, wish: Footing
) -> None:
    """Brute force: one plan for each person, the verdict equal and the seat to the micrometre."""
    profile = PROFILES[machine]
    ctx = machine_of(profile, wish)
    everybody = crowd(pattern(wish), Customers())
    chosen = np.random.default_rng(3).choice(PEOPLE, 3, replace=False)
    everything = Candidate(
        Sort.OPTION,
        replace(
            stock_of(ctx).setup,
            fork_limiter_mm=20.0,
            shock_limiter_mm=8.0,
            fork_rate_n_mm=4.4,
            shock_rate_n_mm=62.0,
            shock_preload_mm=9.0,
        ),
    )
    lowered = next(each for each in single_ways(ctx) if each.setup.lower_seat_mm)
    for group, who in everybody.items():
        for candidate in (stock_of(ctx), lowered, everything):
            found = spare(ctx, candidate.setup, who, springs)
            # The nearest to the edge are the ones on which the verdict hangs.
            edge = np.argsort(np.abs(found.spare_mm))[:2]
            for lane in (*chosen, *edge):
                rider = pattern(wish).replace(
                    population=group,
                    stature_mm=float(who.stature_mm[lane]),
                    inside_leg_mm=float(who.inside_leg_mm[lane]),
                    mass_kg=float(who.mass_kg[lane]),
                )
                choices = by_hand(ctx, candidate, springs)
                need = evaluate(Job(rider=rider, machine=profile, choices=choices)).requirement
                assert found.reached[lane] == need.reached
                assert found.seat_mm[lane] == pytest.approx(need.planned.seat_mm, abs=1e-3)


@pytest.mark.parametrize("machine", PROFILES)
def test_surer_footings_are_reached_by_fewer(machine: str) -> None:
    profile = PROFILES[machine]
    reached = {}
    for wish in WISHES:
        ctx = machine_of(profile, wish)
        who = crowd(pattern(wish), Customers())
        reached[wish] = {
            group: spare(ctx, stock_of(ctx).setup, each, Springs.AS_BUILT).reached
            for group, each in who.items()
        }
    for group in GROUPS:
        flat, balls, toes = (reached[wish][group] for wish in WISHES[:3])
        assert np.all(balls[flat])
        assert np.all(toes[balls])
        assert flat.sum() <= balls.sum() <= toes.sum()


@pytest.mark.parametrize("springs", [Springs.AS_BUILT, Springs.REAR_SET])
@pytest.mark.parametrize("machine", PROFILES)
def test_a_lower_seat_loses_nobody(machine: str, springs: Springs) -> None:
    profile = PROFILES[machine]
    ctx = machine_of(profile, Footing.BOTH_BALLS)
    who = crowd(pattern(), Customers())
    stock = stock_of(ctx).setup
    before = {g: spare(ctx, stock, each, springs).reached for g, each in who.items()}
    for candidate in single_ways(ctx):
        for group, each in who.items():
            after = spare(ctx, candidate.setup, each, springs).reached
            if springs is Springs.AS_BUILT:
                assert np.all(after[before[group]]), candidate.key
            else:
                # Preload goes in steps of half a millimetre: one may lose what the next gains.
                assert np.mean(after) >= np.mean(before[group]) - 0.005, candidate.key


def asked(shipped: str = "duncarrow-250", **changes: object) -> Question:
    question = Question(
        machine=PROFILES[shipped],
        pattern=pattern(),
        load=LOAD,
        customers=Customers(),
        springs=Springs.AS_BUILT,
        wanted=0.5,
        rates=RATES,
    )
    return replace(question, **changes)


@cache
def answer() -> Found:
    profile = PROFILES["wexcombe-125"]
    job = Job(rider=factories.rider(), machine=profile, choices=LOAD)
    return who_reaches(asked(profile.id, job=job, wanted=0.75))


def test_setups_stand_in_their_order() -> None:
    sorts = [row.candidate.sort for row in answer().rows]
    assert sorts == sorted(sorts, key=list(Sort).index)
    assert sorts[0] is Sort.STOCK
    assert {Sort.PLAN, Sort.OPTION, Sort.WAY} <= set(sorts)
    keys = [row.candidate.key for row in answer().rows]
    assert len(keys) == len(set(keys))
    assert answer().complete
    assert answer().fitting


def test_an_option_reaches_as_many_women_as_were_wanted() -> None:
    """It is looked for under one woman; that so many others reach follows from nothing else."""
    options = [row for row in answer().rows if row.candidate.sort is Sort.OPTION]
    assert options
    for row in options:
        assert row.shares[Population.WOMEN].value > 0.74
        assert row.candidate.setup.thicker_sole_mm == 0.0


def test_bands_hold_their_value_and_mix_as_the_customers_do() -> None:
    for row in answer().rows:
        for band in (*row.shares.values(), row.all):
            assert 0.0 <= band.low <= band.value <= band.high <= 1.0
        women, men = row.shares[Population.WOMEN], row.shares[Population.MEN]
        assert row.all.value == pytest.approx((women.value + men.value) / 2)
    one = replace(asked("wexcombe-125"), customers=Customers(women_share=0.8), wanted=0.5)
    row = who_reaches(one, cancelled=_after(2)).rows[0]
    women, men = row.shares[Population.WOMEN].value, row.shares[Population.MEN].value
    assert row.all.value == pytest.approx(0.8 * women + 0.2 * men)


def test_the_band_is_what_a_higher_and_a_lower_seat_would_give() -> None:
    """A machine whose seat stands one band higher, solved as such, reaches the band's low end."""
    row = answer().rows[0]
    profile = PROFILES["wexcombe-125"]
    away = 1.644854 * row.spread_mm
    for sign, end in ((1, "low"), (-1, "high")):
        figure = profile.catalogue.seat_height_mm
        moved = profile.replace(
            catalogue=profile.catalogue.replace(
                seat_height_mm=figure.replace(value=figure.value + sign * away)
            )
        )
        found = who_reaches(replace(asked(), machine=moved), cancelled=_after(2)).rows[0]
        for group in GROUPS:
            told = getattr(row.shares[group], end)
            assert found.shares[group].value == pytest.approx(told, abs=0.01)


def test_the_needed_seat_lets_so_many_reach() -> None:
    """The seat alone lowered by the told drop, solved as a machine of its own."""
    shipped = PROFILES["skarnhall-450"]
    # The lower seat that is sold for it is also narrower, which is another matter.
    profile = shipped.replace(seat=shipped.seat.replace(lower_seat_width_mm=None))
    ctx = machine_of(profile, Footing.BOTH_BALLS)
    found = who_reaches(asked(machine=profile), cancelled=_after(2))
    assert [each.share for each in found.needed] == list(ASKED_SHARES)
    who = crowd(pattern(), Customers())[Population.WOMEN]
    for each in found.needed:
        drop = each.drop_mm[Population.WOMEN]
        lowered = replace(stock_of(ctx).setup, lower_seat_mm=drop)
        share = spare(ctx, lowered, who, Springs.AS_BUILT).share()
        # A lower seat lowers the rider's mass too, which moves the springs by next to nothing.
        assert share == pytest.approx(each.share, abs=0.01)
        assert each.seat_mm[Population.WOMEN] == pytest.approx(
            profile.catalogue.seat_height_mm.value - drop
        )


@pytest.mark.parametrize("group", GROUPS)
def test_the_line_parts_those_who_reach(group: Population) -> None:
    """On the line nothing is to spare; above it there is, below it there is not."""
    question = asked("harrowgill-650")
    row = who_reaches(question, cancelled=_after(2)).rows[0]
    ctx = machine_of(question.machine, Footing.BOTH_BALLS)
    line = row.line_mm[group]
    known = np.flatnonzero(np.isfinite(line))
    assert len(known) > 10
    bodies = bodies_of(question.customers, group)
    for at in known[::5]:
        for away, expected in ((2.0, True), (-2.0, False)):
            stature, leg = float(LINE_MM[at]), float(line[at]) + away
            rider = pattern().replace(
                population=group,
                stature_mm=stature,
                inside_leg_mm=leg,
                mass_kg=float(bodies.usual_mass_kg(stature, leg)),
            )
            choices = by_hand(ctx, row.candidate, Springs.AS_BUILT)
            plan = evaluate(Job(rider=rider, machine=question.machine, choices=choices))
            assert plan.requirement.reached is expected


def test_a_row_costs_what_its_plan_costs() -> None:
    job = Job(rider=factories.rider(), machine=PROFILES["wexcombe-125"], choices=LOAD)
    plan = evaluate(job)
    row = next(each for each in answer().rows if each.candidate.sort is Sort.PLAN)
    assert row.candidate == of_plan(plan)
    billed = account(job, plan, RATES)
    assert row.price == pytest.approx(billed.cost)
    assert row.hours == pytest.approx(billed.hours)
    stock = answer().rows[0]
    assert (stock.price, stock.hours, stock.new_stand) == (0.0, 0.0, False)


def test_a_way_past_a_limit_says_so() -> None:
    rows = who_reaches(asked("thimble-65"), cancelled=_after(12)).rows
    assert any("may carry" in row.stop or "springs" in row.stop for row in rows)


def test_a_machine_that_nothing_brings_down_far_enough_shows_the_nearest() -> None:
    found = who_reaches(asked("corrieward-300", wanted=0.9))
    assert not found.fitting
    (nearest,) = (row for row in found.rows if row.candidate.sort is Sort.OPTION)
    best = max(row.shares[Population.WOMEN].value for row in found.rows)
    assert nearest.shares[Population.WOMEN].value == best < 0.9


def test_news_come_before_options_and_a_stop_keeps_them() -> None:
    news: list[tuple[float, Found | None]] = []

    def tell(share: float, found: Found | None) -> None:
        news.append((share, found))

    def cancelled() -> bool:
        return any(found is not None for _, found in news)

    found = who_reaches(asked(), tell=tell, cancelled=cancelled)
    shares = [share for share, _ in news]
    assert shares == sorted(shares)
    (so_far,) = (found for _, found in news if found is not None)
    assert not found.complete
    assert found == so_far
    assert {row.candidate.sort for row in found.rows} == {Sort.STOCK, Sort.WAY}


def test_no_plan_is_shown_of_a_job_that_cannot_be_planned() -> None:
    job = factories.job(rider={"mass_kg": None}, machine=PROFILES["duncarrow-250"])
    rows = who_reaches(asked(job=job), cancelled=_after(3)).rows
    assert all(row.candidate.sort is not Sort.PLAN for row in rows)


def test_no_footing_is_no_question() -> None:
    with pytest.raises(ValueError, match="footing"):
        who_reaches(asked(pattern=pattern(Footing.NONE)))


def test_taller_customers_reach_more_often() -> None:
    ctx = machine_of(PROFILES["duncarrow-250"], Footing.BOTH_BALLS)
    setup = stock_of(ctx).setup
    shares = []
    for stature in (1600.0, 1627.2, 1680.0):
        customers = Customers(women_stature_mm=stature)
        who = crowd(pattern(), customers)[Population.WOMEN]
        shares.append(spare(ctx, setup, who, Springs.AS_BUILT).share())
    assert shares == sorted(shares)
    assert shares[2] > shares[0] + 0.1


def test_the_short_woman_has_so_many_above_her() -> None:
    customers = Customers()
    who = crowd(pattern(), customers)[Population.WOMEN]
    for share in (0.5, 0.75, 0.9):
        rider = short_of(pattern(), customers, share)
        assert np.mean(who.inside_leg_mm > rider.inside_leg_mm) == pytest.approx(share, abs=0.002)
        assert rider.gear_mass_kg == pattern().gear_mass_kg


def test_the_crowd_is_many_enough() -> None:
    """A hundred times as many people drawn by chance tell the same shares to 0.4 points."""
    from fitplanner.planning.people.crowd import people

    ctx = machine_of(PROFILES["duncarrow-250"], Footing.BOTH_BALLS)
    customers, setup = Customers(), stock_of(ctx).setup
    points = np.random.default_rng(11).standard_normal((100_000, 3))
    for group, who in crowd(pattern(), customers).items():
        stature, leg, mass = bodies_of(customers, group).people(points)
        many = people(pattern(), group, stature_mm=stature, inside_leg_mm=leg, mass_kg=mass)
        told, counted = (spare(ctx, setup, each, Springs.AS_BUILT).share() for each in (who, many))
        assert told == pytest.approx(counted, abs=0.004)


def _after(calls: int):
    """A stop that is asked for after so many questions."""
    left = iter([False] * (calls - 1))
    return lambda: next(left, True)


def test_one_rider_stands_to_each_setup_as_in_a_plan_of_her_own() -> None:
    """At her own mass, far from the usual one of her stature: the plan's need, and the leg."""
    machine = PROFILES["harrowgill-650"]
    rider = pattern().replace(
        population=Population.WOMEN, stature_mm=1735.0, inside_leg_mm=760.0, mass_kg=62.0
    )
    question = asked(machine.id, rider=rider)
    row = who_reaches(question, cancelled=_after(2)).rows[0]
    ctx = machine_of(machine, Footing.BOTH_BALLS)
    choices = by_hand(ctx, row.candidate, Springs.AS_BUILT)
    need = evaluate(Job(rider=rider, machine=machine, choices=choices)).requirement
    assert row.own is not None
    assert row.own.spare_mm == pytest.approx(
        -need.need_here_mm + need.planned_drop_mm.value, abs=0.01
    )
    for away, expected in ((0.5, True), (-0.5, False)):
        longer = rider.replace(inside_leg_mm=row.own.leg_mm + away)
        plan = evaluate(Job(rider=longer, machine=machine, choices=choices))
        assert plan.requirement.reached is expected
    # The line of women of the usual mass, who are heavier, lies lower.
    usual = float(np.interp(1735.0, LINE_MM, row.line_mm[Population.WOMEN]))
    assert row.own.leg_mm > usual + 1.0


def test_a_rider_of_unknown_mass_stands_to_nothing() -> None:
    rider = pattern().replace(mass_kg=None)
    row = who_reaches(asked("harrowgill-650", rider=rider), cancelled=_after(2)).rows[0]
    assert row.own is None


def test_seats_as_in_the_table_and_as_needed_are_measured_in_one_state() -> None:
    """The stock row's own share lies between those whose needed seats lie round its seat."""
    found = who_reaches(asked("skarnhall-450"), cancelled=_after(2))
    stock = found.rows[0]
    for group in GROUPS:
        for each in found.needed:
            assert (each.stopped_mm[group] >= stock.seat_mm) == (
                stock.shares[group].value >= each.share
            )
            sheet = found.question.machine.catalogue.seat_height_mm.value
            assert each.seat_mm[group] - each.stopped_mm[group] == pytest.approx(
                sheet - stock.seat_mm
            )
