"""The demo job: a shipped machine and rider, and a kit that delivers less than its name."""

from dataclasses import replace
from functools import cache

import pytest

from fitplanner import paths
from fitplanner.body.reach import Footing
from fitplanner.documents import codec
from fitplanner.documents.job import Job
from fitplanner.library.loader import load_library
from fitplanner.mechanics.oil import fill_for_shortened_stroke
from fitplanner.mechanics.parked import park
from fitplanner.planning.amounts import chosen_springs
from fitplanner.planning.context import Context, context, stand_of
from fitplanner.planning.halt import halt
from fitplanner.planning.setup import Stands, built, stand, stock_setup
from fitplanner.planning.ways import Build
from tests.unit.library.sags import assert_sags_lie_inside

ON_WHEELS, RIDER_UP = Stands.ON_WHEELS, Stands.RIDER_UP


@cache
def demo() -> tuple[Job, Context, Build]:
    text = (paths.resources() / "demo.fit.json").read_text(encoding="utf-8")
    job = codec.load_job(text)
    assert text == codec.dump(job)
    ctx, choices = context(job), job.choices
    bare = replace(
        stock_setup(job.machine),
        fork_limiter_mm=choices.fork_limiter_mm or 0.0,
        shock_limiter_mm=choices.shock_limiter_mm or 0.0,
    )
    setup = chosen_springs(ctx, built(ctx.machine, job.machine, bare), bare)
    return job, ctx, built(ctx.machine, job.machine, setup)


def test_the_demo_holds_the_shipped_machine_and_rider() -> None:
    job = demo()[0]
    assert job.machine == load_library().profiles["brackwell-250"]
    assert job.rider == load_library().riders["ilka"]
    assert job.machine.fork.spring_legs == 1


def test_the_demos_two_inches_deliver_less_on_the_tape() -> None:
    job, ctx, made = demo()
    point = job.machine.seat.x_mm.value, job.machine.catalogue.seat_height_mm.value
    stock = stand(Build(job.machine, ctx.machine), ctx.carried).rest.pose.height(*point)
    planned = stand(made, ctx.carried).rest.pose.height(*point)
    # Common practice, no source: 36 to 46 mm on the tape for two inches of parts.
    assert 36.5 * 25.4 < stock[ON_WHEELS] < 36.75 * 25.4
    assert job.choices.fork_limiter_mm == 50.8
    axle = ctx.machine.leverage.rise_at(job.choices.shock_limiter_mm or 0.0)
    assert float(axle) == pytest.approx(50.8, abs=0.1)
    assert 36.0 <= stock[ON_WHEELS] - planned[ON_WHEELS] <= 46.0


def test_the_demos_springs_suit_her_on_the_shorter_machine() -> None:
    job, ctx, made = demo()
    assert job.choices.fork_rate_n_mm is None and job.choices.shock_rate_n_mm is None
    assert_sags_lie_inside(ctx.windows, made.machine, stand(made, ctx.carried).rest)


def test_the_demos_kit_just_brings_both_balls_down() -> None:
    job, ctx, made = demo()
    assert job.rider.footing is Footing.BOTH_BALLS
    for each, low, high in (
        (Build(job.machine, ctx.machine), -60.0, -20.0),
        (made, 2.0, 12.0),
    ):
        at = halt(each, ctx.value, ctx.rider, ctx.carried)
        assert low <= float(at.need_mm - at.seat_mm) <= high


def test_the_demo_needs_a_shorter_stand_and_the_kits_own_oil_figure() -> None:
    job, ctx, made = demo()
    stand_now = stand_of(ctx.profile)
    assert park(ctx.machine, ctx.carried.on_wheels(ctx.machine.sprung), stand_now).holds
    assert not park(made.machine, ctx.carried.on_wheels(made.machine.sprung), stand_now).holds
    fork = job.machine.fork
    assert fork.oil_volume_ml.value == 500.0
    assert fork.kit_oil_volume_ml is not None and fork.kit_oil_volume_ml.value == 450.0
    calculated = fill_for_shortened_stroke(
        oil_ml=fork.oil_volume_ml.value,
        bottomed_air_ml=fork.air_volume_bottomed_ml.value,
        travel_mm=fork.travel_mm.value,
        cut_mm=50.8,
        surface_area_mm2=fork.oil_surface_mm2.value,
    )
    # By hand: the air to keep shrinks by 138 mL x 50.8 / 300 = 23.4 mL, which oil takes up.
    assert float(calculated.oil_ml) == pytest.approx(523.4, abs=0.05)
