"""Each way to lower does to the machine what geometry says, at no amount nothing at all.

Slopes of the seat with the wheels hanging: derived, with no tyre load, from the pose (both wheels
on the common tangent): along the fork -s cos(rake), at the rear axle
-(1 - s) cos(alpha - theta) / cos(alpha).
"""

from collections.abc import Mapping
from dataclasses import replace
from functools import cache
from itertools import permutations

import numpy as np
import pytest

from fitplanner.documents.base import Figure, Source
from fitplanner.documents.job import Job
from fitplanner.documents.machine import LinkagePoints, MachineProfile, WayOffer
from fitplanner.library.linkage import linkage_points
from fitplanner.library.loader import load_library
from fitplanner.mechanics import fourbar
from fitplanner.mechanics.arrays import Array, Number
from fitplanner.mechanics.equilibrium import bottomed, hanging
from fitplanner.mechanics.machine import Machine, lane_shapes
from fitplanner.planning.context import Context, context
from fitplanner.planning.evaluate import evaluate
from fitplanner.planning.halt import halt
from fitplanner.planning.kit import poured_ml, worked_out_ml
from fitplanner.planning.plan import WayId
from fitplanner.planning.resolve import UnsolvableError, reference
from fitplanner.planning.ways import WAYS, Build, build
from tests import factories

PROFILES: Mapping[str, MachineProfile] = load_library().profiles
TABLE, ROCKER = PROFILES["brackwell-250"], PROFILES["duncarrow-250"]
AROUND = (WayId.LOWER_SEAT, WayId.NARROWER_SEAT, WayId.THICKER_SOLE)
STEP_MM = 1e-3


@cache
def stock(profile_id: str = "brackwell-250") -> Build:
    profile = PROFILES[profile_id]
    return Build(profile, reference(profile).machine)


def done(way: WayId, amount: Number, profile_id: str = "brackwell-250") -> Build:
    return WAYS[way].effect(stock(profile_id), amount)


def seat_mm(made: Build) -> Array:
    """Height of the seat with the wheels hanging at full extension, springs and all."""
    profile = made.profile
    top = profile.catalogue.seat_height_mm.value - np.asarray(made.seat_drop_mm)
    return hanging(made.machine).pose.height(profile.seat.x_mm.value, top)


def stretched(made: Build) -> Build:
    """The same without top-out spring, so that it hangs exactly at its full extension."""
    return replace(made, machine=made.machine.with_fork(top_out_rate_n_mm=0.0))


def slope(way: WayId, profile_id: str = "brackwell-250") -> float:
    """What the seat moves for the first thousandth of a millimetre, per millimetre."""
    before = stretched(stock(profile_id))
    after = WAYS[way].effect(before, STEP_MM)
    return float(seat_mm(after) - seat_mm(before)) / STEP_MM


def analytic(profile_id: str = "brackwell-250") -> tuple[float, float, float]:
    """Slope of the seat along the fork, along the rear axle's rise, and leverage at extension."""
    made = stretched(stock(profile_id))
    at, machine = hanging(made.machine).pose, made.machine
    low_x, _, low_y, _ = machine.limits
    assert float(at.fork_compression_mm) == pytest.approx(float(low_x), abs=1e-9)
    assert float(at.rear_compression_mm) == pytest.approx(float(low_y), abs=1e-9)
    seat = made.profile.seat.x_mm.value, made.profile.catalogue.seat_height_mm.value
    share = float(at.place(*seat)[0]) / float(at.wheelbase_mm)
    theta, alpha = float(at.pitch_rad), float(at.arm_rad)
    front = -share * np.cos(float(at.rake_rad))
    rear = -(1 - share) * np.cos(alpha - theta) / np.cos(alpha)
    leverage = 1 / float(machine.leverage.evaluate(low_y)[1])
    return front, rear, leverage


@pytest.mark.parametrize("profile_id", ["brackwell-250", "duncarrow-250", "hallowmoor-900"])
def test_the_first_of_a_way_moves_the_seat_by_the_slope_of_the_pose(profile_id: str) -> None:
    front, rear, leverage = analytic(profile_id)
    for way, expected in (
        (WayId.FORK_LIMITER, front),
        (WayId.RAISED_STANCHIONS, front),
        (WayId.SHOCK_LIMITER, rear * leverage),
        (WayId.SHORTER_SHOCK, rear * leverage),
        (WayId.SMALLER_TYRES, -1.0),
    ):
        assert slope(way, profile_id) == pytest.approx(expected, rel=2e-4), way


def test_a_lower_seat_lowers_the_seat_by_the_cosine_of_the_pitch() -> None:
    pitch = float(hanging(stock().machine).pose.pitch_rad)
    assert slope(WayId.LOWER_SEAT) == pytest.approx(-np.cos(pitch), rel=1e-6)


def test_limiters_leave_full_bump_as_it_is() -> None:
    before = bottomed(stock().machine).pose
    for way, amount in ((WayId.FORK_LIMITER, 40.0), (WayId.SHOCK_LIMITER, 15.0)):
        made = done(way, amount)
        after = bottomed(made.machine).pose
        # The spring is shorter by nothing here, so only the stop at the other end has moved.
        assert float(after.fork_compression_mm) == float(before.fork_compression_mm)
        assert float(after.rear_compression_mm) == pytest.approx(
            float(before.rear_compression_mm), abs=1e-9
        )
        assert (made.front_gap_mm, made.rear_gap_mm) == (0.0, 0.0)


def test_a_limiter_takes_its_length_from_the_travel_and_never_all_of_it() -> None:
    machine = stock().machine
    low_x, high_x, _, _ = done(WayId.FORK_LIMITER, 40.0).machine.limits
    assert float(high_x - low_x) == pytest.approx(float(machine.fork.stroke_mm) - 40.0)
    shock = done(WayId.SHOCK_LIMITER, 15.0).machine.shock
    assert float(np.asarray(shock.cut_mm)) == 15.0
    for way in (WayId.FORK_LIMITER, WayId.SHOCK_LIMITER):
        low_x, high_x, low_y, high_y = done(way, 400.0).machine.limits
        assert high_x > low_x and high_y > low_y


def test_the_limiters_maker_says_the_oil_else_the_compression_ratio_stays() -> None:
    fork = stock().machine.fork
    assert TABLE.fork.kit_oil_volume_ml is not None
    kit = done(WayId.FORK_LIMITER, 50.8).machine.fork
    # By hand: the kit's 450 mL in place of 500 mL leave 50 mL more air in each of two legs.
    assert float(kit.air_bottomed_ml) == pytest.approx(float(fork.air_bottomed_ml) + 100.0)
    free = stock("duncarrow-250").machine.fork
    cut = done(WayId.FORK_LIMITER, 40.0, "duncarrow-250").machine.fork
    left = (float(free.stroke_mm) - 40.0) / float(free.stroke_mm)
    assert float(cut.air_bottomed_ml) == pytest.approx(float(free.air_bottomed_ml) * left)


def test_stanchions_take_the_gap_and_leave_the_travel() -> None:
    made = done(WayId.RAISED_STANCHIONS, 6.0)
    assert float(made.front_gap_mm) == -6.0
    for before, after in zip(stock().machine.limits, made.machine.limits, strict=True):
        assert float(before) == float(after)


def test_a_shorter_shock_moves_both_ends_and_takes_gap_at_full_bump() -> None:
    machine = stock("hallowmoor-900").machine
    made = done(WayId.SHORTER_SHOCK, 5.0, "hallowmoor-900")
    _, _, low_y, high_y = made.machine.limits
    curve, old = machine.leverage, machine.limits
    # Eye to eye 5 mm less at the same stroke: the shock travel at each end is 5 mm more.
    assert float(curve.evaluate(low_y)[0]) == pytest.approx(5.0, abs=1e-9)
    stroke = float(made.machine.shock.stroke_mm) - float(np.asarray(made.machine.shock.cut_mm))
    assert stroke == pytest.approx(float(machine.shock.stroke_mm), abs=1e-9)
    assert float(made.rear_gap_mm) == pytest.approx(float(old[3] - high_y), abs=1e-9)
    leverage = 1 / float(curve.evaluate(old[3])[1])
    assert float(made.rear_gap_mm) == pytest.approx(-5.0 * leverage, rel=0.02)


@pytest.mark.parametrize("profile_id", ["duncarrow-250", "fellstrid-350"])
def test_longer_rods_close_the_linkage_where_the_four_bar_says(profile_id: str) -> None:
    profile, machine = PROFILES[profile_id], stock(profile_id).machine
    drawn = profile.rear.linkage
    assert isinstance(drawn, LinkagePoints)
    made = done(WayId.LONGER_RODS, 2.0, profile_id)
    # The four-bar solved by itself, its rod 2 mm longer, at both ends of the shock's stroke.
    arm = float(np.asarray(machine.arm_length_mm))
    extended = np.arcsin(float(np.asarray(machine.axle_low_mm)) / arm)
    points = linkage_points(drawn, np.array(extended))
    longest = float(fourbar.four_bar(points, extended).length_mm)
    longer = replace(points, rod_length_mm=np.asarray(points.rod_length_mm) + 2.0)
    _, _, low_y, high_y = made.machine.limits
    for rise, compressed in ((low_y, 0.0), (high_y, float(machine.shock.stroke_mm))):
        alpha = np.arcsin((np.sin(extended) * arm + float(rise)) / arm)
        length = float(fourbar.four_bar(longer, alpha).length_mm)
        assert length == pytest.approx(longest - compressed, abs=2e-3)
    # The axle stands higher, the leverage is another, and full bump comes later.
    assert float(low_y) > 1.0
    before, after = (each.leverage.evaluate(100.0)[1] for each in (machine, made.machine))
    assert abs(float(after / before) - 1) > 1e-3
    assert float(made.rear_gap_mm) == pytest.approx(float(machine.limits[3] - high_y), abs=1e-9)
    assert float(made.rear_gap_mm) < 0.0


def test_rods_need_a_linkage_with_a_rod() -> None:
    with pytest.raises(UnsolvableError, match="no linkage points with a rod"):
        done(WayId.LONGER_RODS, 2.0)
    with pytest.raises(UnsolvableError, match="take shorter ones"):
        done(WayId.LONGER_RODS, 40.0, "fellstrid-350")


def test_smaller_tyres_lower_everything_evenly_and_give_gap() -> None:
    made = done(WayId.SMALLER_TYRES, 8.0)
    assert float(seat_mm(stock()) - seat_mm(made)) == pytest.approx(8.0, abs=1e-9)
    before, after = hanging(stock().machine).pose, hanging(made.machine).pose
    assert float(after.pitch_rad) == pytest.approx(float(before.pitch_rad), abs=1e-12)
    assert (float(made.front_gap_mm), float(made.rear_gap_mm)) == (8.0, 8.0)


@cache
def under_her(profile_id: str = "brackwell-250") -> Context:
    rider = load_library().riders["ilka"]
    return context(Job(rider=rider, machine=PROFILES[profile_id]))


def halted(made: Build) -> tuple[float, float]:
    """Seat under her and the seat that she needs, stopped."""
    ctx = under_her(made.profile.id)
    at = halt(made, ctx.value, ctx.rider, ctx.carried)
    return float(at.seat_mm), float(at.need_mm)


def test_a_narrower_seat_changes_only_what_she_needs() -> None:
    made = done(WayId.NARROWER_SEAT, 20.0)
    seat, need = halted(stock())
    assert halted(made)[0] == pytest.approx(seat, abs=1e-9)
    # The taut line over the edge, by hand: half width 82.5 mm becomes 72.5 mm.
    drop = TABLE.seat.edge_drop_mm.value
    half = TABLE.seat.width_mm.value / 2
    shorter = np.hypot(half, drop) - np.hypot(half - 10.0, drop)
    assert halted(made)[1] - need == pytest.approx(shorter, abs=1e-9)
    assert made.machine is stock().machine


def test_a_thicker_sole_is_as_much_more_leg() -> None:
    seat, need = halted(stock())
    made = done(WayId.THICKER_SOLE, 10.0)
    assert halted(made)[0] == pytest.approx(seat, abs=1e-9)
    assert halted(made)[1] - need == pytest.approx(10.0, abs=1e-9)


def test_a_lower_seat_brings_its_own_width() -> None:
    made = done(WayId.LOWER_SEAT, np.array([0.0, 25.0]))
    assert TABLE.seat.lower_seat_width_mm is not None
    wider = TABLE.seat.lower_seat_width_mm.value - TABLE.seat.width_mm.value
    assert wider > 0
    np.testing.assert_allclose(made.seat_narrower_mm, [0.0, -wider])


def figures(made: Build) -> Array:
    """All that a build can differ in, lanes last."""
    machine = made.machine
    rise = np.array([[60.0], [150.0]])
    parts = [
        *machine.limits,
        *(machine.leverage.evaluate(y)[part] for y in rise for part in range(2)),
        machine.raise_mm,
        machine.front_radius_mm,
        machine.rear_radius_mm,
        machine.fork.air_bottomed_ml,
        made.seat_drop_mm,
        made.seat_narrower_mm,
        made.sole_mm,
        made.front_gap_mm,
        made.rear_gap_mm,
    ]
    shape = np.broadcast_shapes(*lane_shapes(machine), *(np.shape(part) for part in parts))
    return np.stack([np.broadcast_to(part, shape) for part in parts])


def offered(profile: MachineProfile) -> dict[WayId, WayOffer]:
    found = {way: getattr(profile.ways, way.value) for way in WayId}
    return {way: offer for way, offer in found.items() if offer is not None}


def test_no_amount_is_no_change() -> None:
    for way in WayId:
        made = WAYS[way].effect(stock("duncarrow-250"), 0.0)
        # A micrometre, for longer rods solve the linkage anew at other places.
        np.testing.assert_allclose(
            figures(made), figures(stock("duncarrow-250")), atol=1e-3, err_msg=way
        )
    bare = stock()
    assert build(bare.machine, bare.profile, dict.fromkeys(WayId, 0.0)) == bare


@pytest.mark.parametrize("profile_id", PROFILES)
def test_lanes_are_the_amounts_one_by_one(profile_id: str) -> None:
    profile, machine = PROFILES[profile_id], stock(profile_id).machine
    offers = offered(profile)
    shares = np.array([0.25, 0.5, 1.0])
    lanes = {way: shares * offer.maximum_mm for way, offer in offers.items()}
    together = figures(build(machine, profile, lanes)).reshape(-1, len(shares))
    for lane in range(len(shares)):
        alone = build(machine, profile, {way: float(mm[lane]) for way, mm in lanes.items()})
        np.testing.assert_allclose(together[:, lane], figures(alone).reshape(-1), atol=1e-9)


def test_ways_that_know_nothing_of_each_other_commute() -> None:
    apart = {
        WayId.FORK_LIMITER: 30.0,
        WayId.RAISED_STANCHIONS: 5.0,
        WayId.SHOCK_LIMITER: 10.0,
        WayId.SMALLER_TYRES: 6.0,
        WayId.LOWER_SEAT: 20.0,
    }
    expected: Array | None = None
    for order in permutations(apart):
        made = stock()
        for way in order:
            made = WAYS[way].effect(made, apart[way])
        found = figures(made)
        if expected is not None:
            np.testing.assert_allclose(found, expected, atol=1e-9)
        expected = found


@pytest.mark.parametrize("way", [way for way in WayId if way not in AROUND])
def test_more_of_a_way_is_a_lower_seat(way: WayId) -> None:
    profile = next(p for p in PROFILES.values() if way in offered(p))
    amounts = np.linspace(0.0, offered(profile)[way].maximum_mm, 9)[1:]
    made = WAYS[way].effect(stock(profile.id), amounts)
    assert isinstance(made.machine, Machine)
    assert np.all(np.diff(seat_mm(made)) < 0)


def test_a_maker_s_fill_is_carried_over_in_proportion_to_the_length() -> None:
    """By hand: 523 mL keep the ratio at 50.8 mm, the maker says 450: 73 less, or 36.5 at half."""
    fork = TABLE.fork.replace(
        kit_oil_volume_ml=Figure(value=450.0, source=Source.MAKER),
        kit_limiter_mm=Figure(value=50.8, source=Source.MAKER),
    )
    lengths = np.array([0.0, 25.4, 50.8])
    free, poured = worked_out_ml(fork, lengths), poured_ml(fork, lengths)
    assert poured[0] == free[0] == fork.oil_volume_ml.value and poured[2] == pytest.approx(450.0)
    assert free[1] - poured[1] == pytest.approx((free[2] - 450.0) / 2)
    every = fork.replace(kit_limiter_mm=None)
    assert poured_ml(every, np.array([0.0, 6.35])).tolist() == [fork.oil_volume_ml.value, 450.0]
    assert poured_ml(fork.replace(kit_oil_volume_ml=None), 25.4) == free[1]


def test_a_fill_for_another_limiter_is_told_as_carried_over() -> None:
    machine = PROFILES["brackwell-250"]
    poured = {}
    for length in (0.0, 25.4, 50.8):
        plan = evaluate(factories.job(machine=machine, choices={"fork_limiter_mm": length}))
        row = next(row for row in plan.consequences if row.label == "Oil to pour, one leg")
        poured[length] = row.planned
        assert ("carried over" in row.note) is (length == 25.4)
    assert poured[0.0] == 500.0 and poured[50.8] == pytest.approx(450.0)
    assert poured[25.4] == pytest.approx(475.0, abs=1.0)
