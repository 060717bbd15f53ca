"""The springs of a plan: offered, chosen, held to both sags, with preload and reserve."""

import numpy as np
import pytest

from fitplanner.documents.base import Source
from fitplanner.documents.job import Choices
from fitplanner.planning.evaluate import evaluate
from fitplanner.planning.plan import Basis
from tests.factories import job


def test_untouched_springs_leave_the_loaded_seat_where_it_was() -> None:
    """A limiter alone, the spring untouched (preload + cut): only the extended end is lost."""
    base = job(machine={"fork": {"displaced_area_mm2": 100.0, "top_out_rate_n_mm": 0.0}})
    profile = base.machine
    plan = evaluate(
        base.replace(
            choices=Choices(
                fork_limiter_mm=20.0,
                shock_limiter_mm=5.0,
                raised_stanchions_mm=0.0,
                lower_seat_mm=0.0,
                fork_rate_n_mm=profile.fork.spring_rate_n_mm.value,
                fork_preload_mm=profile.fork.preload_mm.value + 20.0,
                shock_rate_n_mm=profile.rear.spring_rate_n_mm.value,
                shock_preload_mm=profile.rear.preload_mm.value + 5.0,
            )
        )
    )
    for state in ("rider_up", "stopped"):
        stock = getattr(plan.states.stock, state).seat_height_mm
        planned = getattr(plan.states.planned, state).seat_height_mm
        # The little air left by the least displaced area is all that moves it.
        assert planned == pytest.approx(stock, abs=0.5)
    assert (
        plan.states.planned.extended.seat_height_mm < plan.states.stock.extended.seat_height_mm - 10
    )


def test_springs_on_offer_contain_the_chosen_one_once() -> None:
    plan = evaluate(job())
    for spring in plan.springs.values():
        assert [o.rate_n_mm for o in spring.options if o.chosen] == [spring.rate_n_mm]
        chosen = next(o for o in spring.options if o.chosen)
        assert chosen.rider_sag_mm == pytest.approx(spring.sag.rider_mm, abs=1e-9)
        rates = [o.rate_n_mm for o in spring.options]
        assert rates == sorted(rates)


def test_ideal_spring_meets_both_targets_on_the_exact_model() -> None:
    wide = job().machine
    fork = wide.fork.replace(preload_max_mm=wide.fork.preload_max_mm.replace(value=40.0))
    wide = wide.replace(fork=fork)
    first = evaluate(job(machine=wide))
    front, rear = first.springs["front"], first.springs["rear"]
    assert front.ideal is not None and rear.ideal is not None
    plan = evaluate(
        job(
            machine=wide,
            choices={
                **{f"{way.way.value}_mm": way.amount_mm for way in first.ways},
                "fork_rate_n_mm": front.ideal[0],
                "fork_preload_mm": front.ideal[1],
                "shock_rate_n_mm": rear.ideal[0],
                "shock_preload_mm": rear.ideal[1],
            },
        )
    )
    for spring in plan.springs.values():
        assert spring.sag.free_mm == pytest.approx(np.mean(spring.free_window_mm), abs=0.05)
        assert spring.sag.rider_mm == pytest.approx(np.mean(spring.rider_window_mm), abs=0.05)


def test_stiction_widens_each_sag_to_both_sides() -> None:
    plan = evaluate(job())
    for spring in plan.springs.values():
        for sag in (spring.stock_sag, spring.sag):
            assert sag.free_band_mm[0] < sag.free_mm < sag.free_band_mm[1]
            assert sag.rider_band_mm[0] < sag.rider_mm < sag.rider_band_mm[1]


def test_a_limiter_takes_its_length_from_the_spring_stack() -> None:
    choices = {
        "fork_limiter_mm": 50.0,
        "fork_preload_mm": 12.0,
        "shock_limiter_mm": 15.0,
        "shock_preload_mm": 9.0,
    }
    plan = evaluate(job(choices=choices))
    rows = {row.label: row.planned for row in plan.consequences}
    # Stock preloads are 8 and 7 mm: 4 and 2 mm more, less the limiter.
    assert rows["Fork spring with its spacer, shorter by"] == pytest.approx(50.0 - 4.0)
    assert rows["Collar of the shock spring, backed off by"] == pytest.approx(15.0 - 2.0)
    collar = next(c for c in plan.checks if c.key == "shock-collar")
    assert not collar.holds and collar.value == pytest.approx(13.0)


def test_a_limit_of_the_profile_is_no_surer_than_its_figures() -> None:
    choices = {"shock_limiter_mm": 15.0, "lower_seat_mm": 25.0}

    def sources(source: Source, *, assumed: bool) -> dict[str, tuple[Basis, str]]:
        known = job().machine
        rear = known.rear.replace(
            preload_min_mm=known.rear.preload_min_mm.replace(source=source),
            preload_mm=known.rear.preload_mm.replace(source=Source.MAKER),
            preload_max_mm=known.rear.preload_max_mm.replace(source=Source.MAKER),
        )
        assert known.ways.lower_seat is not None
        seat = known.ways.lower_seat.replace(assumed=assumed)
        ways = known.ways.replace(lower_seat=seat)
        machine = known.replace(rear=rear, ways=ways)
        plan = evaluate(job(choices=choices).replace(machine=machine))
        return {check.key: (check.basis, check.source) for check in plan.checks}

    guessed = (Basis.ASSUMPTION, "machine profile, assumed there")
    told = (Basis.MAKER, "machine profile")
    found = sources(Source.ASSUMED, assumed=True)
    for key in ("shock-collar", "shock-preload", "lower_seat-offered"):
        assert found[key] == guessed
    found = sources(Source.MAKER, assumed=False)
    for key in ("shock-collar", "shock-preload", "lower_seat-offered"):
        assert found[key] == told


def test_more_preload_alone_winds_the_collar_on() -> None:
    plan = evaluate(job(choices={"shock_limiter_mm": 0.0, "shock_preload_mm": 9.0}))
    rows = {row.label: row.planned for row in plan.consequences}
    assert rows["Collar of the shock spring, wound on by"] == pytest.approx(2.0)
    assert "shock-collar" not in {c.key for c in plan.checks}


def test_no_ideal_spring_is_told_where_its_preload_cannot_be_set() -> None:
    front = evaluate(job()).springs["front"]
    assert front.ideal is None  # 7.1 N/mm would need 21.8 mm, the fork takes 20


def test_a_stock_spring_that_serves_is_kept() -> None:
    base = job(choices={"fork_limiter_mm": 0.0, "shock_limiter_mm": 0.0})
    for kilos in (60.0, 68.0, 76.0, 84.0):
        plan = evaluate(base.replace(rider=base.rider.replace(mass_kg=kilos)))
        for spring in plan.springs.values():
            stock = next((o for o in spring.options if o.stock), None)
            if stock is not None and stock.free_ok and stock.rider_ok:
                slack = 0.01 * spring.sag.travel_mm
                near = min(
                    abs(sag - edge)
                    for sag, window in (
                        (stock.free_sag_mm, spring.free_window_mm),
                        (stock.rider_sag_mm, spring.rider_window_mm),
                    )
                    for edge in window
                )
                assert spring.rate_n_mm == spring.stock_rate_n_mm or near < slack


@pytest.mark.parametrize(
    ("rate", "keys"),
    [
        ({"fork_rate_n_mm": 2.0}, {"fork-carries", "front-reserve"}),
        ({"shock_rate_n_mm": 20.0}, {"rear-carries", "rear-reserve"}),
    ],
)
def test_a_spring_that_leaves_no_reserve_stops_the_plan(
    rate: dict[str, float], keys: set[str]
) -> None:
    assert {c.key for c in evaluate(job(choices=rate)).stopped_by} & keys
