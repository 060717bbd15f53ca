"""The machine's outline hangs on the given figures, exactly."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fitplanner.outline import MachineShape, Shape, machine_shapes, seat_point, to_world
from tests.unit.outline.figures import MACHINES, TRAIL, catalogue_pose, machine, pose

# what may hang lower than the lowest point of the chassis: it stands beside the wheels
LOW = ("front_", "rear_", "swing_arm", "axle_", "fork_", "stanchion", "chain", "sprocket", "shadow")
names = pytest.mark.parametrize("name", MACHINES)


def part(shapes: tuple[Shape, ...], name: str) -> Shape:
    return next(s for s in shapes if s.part == name)


def rises(points: np.ndarray, at: tuple[float, float]) -> bool:  # type: ignore[type-arg]
    return bool(np.any(np.hypot(*(points - at).T) < 1e-9))


@names
def test_the_chassis_frame_is_the_world_of_the_catalogue_attitude(name: str) -> None:
    m = MACHINES[name]
    here = catalogue_pose(m)
    assert here.pitch_rad == pytest.approx(0, abs=1e-12)
    points = np.array([m.seat, m.grip, m.low_point])
    assert to_world(here, points) == pytest.approx(points, abs=1e-9)


@settings(max_examples=40)
@given(front=st.floats(0, 270), rear=st.floats(0, 290))
def test_a_pose_keeps_distances_and_stands_on_both_tyres(front: float, rear: float) -> None:
    here = pose(TRAIL, front=front, rear=rear)
    placed = to_world(here, [here.rear_axle, here.front_axle, TRAIL.seat])
    # a rigid motion keeps lengths; both axles stand at their tyre's radius
    given_points = np.array([here.rear_axle, here.front_axle, TRAIL.seat])
    assert np.hypot(*np.diff(placed, axis=0).T) == pytest.approx(
        np.hypot(*np.diff(given_points, axis=0).T)
    )
    assert placed[:2, 1] == pytest.approx([330, 350])
    shapes = machine_shapes(TRAIL, here)
    for end in ("front_tyre", "rear_tyre"):
        # between two blocks the round tyre stands a fraction of a mm higher
        assert np.nanmin(part(shapes, end).points[:, 1]) == pytest.approx(0, abs=0.3)


@names
@pytest.mark.parametrize(("lowering", "squash"), [(0.0, 0.0), (25.0, 12.0), (60.0, 20.0)])
def test_the_seat_passes_exactly_through_the_seat_point(
    name: str, lowering: float, squash: float
) -> None:
    m = MACHINES[name]
    here = replace(pose(m, front=90, rear=80), seat_lowering_mm=lowering, foam_squash_mm=squash)
    at = seat_point(m, here)
    stock = to_world(here, m.seat)
    assert np.hypot(*np.subtract(stock, at)) == pytest.approx(lowering + squash)
    surface = part(machine_shapes(m, here), "seat").points
    assert rises(surface, at)
    # it is the surface there: nothing of the seat stands over the point, but foam lies under it
    across = np.abs(surface[:, 0] - at[0]) < 1.0
    assert surface[across, 1].max() <= at[1] + 1.0


@names
def test_the_lowest_point_is_the_clearance_of_the_data_sheet(name: str) -> None:
    m = MACHINES[name]
    chassis = [
        s
        for s in machine_shapes(m, catalogue_pose(m))
        if not s.part.startswith(LOW) and not s.part.startswith(("side_stand", "stand"))
    ]
    assert rises(part(tuple(chassis), "bash_plate").points, m.low_point)
    lowest = min(
        float(np.nanmin(s.points[:, 1])) - (s.width_mm / 2 if s.kind == "line" else 0)
        for s in chassis
    )
    assert lowest == pytest.approx(m.low_point[1], abs=1e-9)


@names
def test_tyres_have_their_free_radius_and_are_flattened_by_the_load(name: str) -> None:
    m = MACHINES[name]
    here = replace(catalogue_pose(m), rear_loaded_radius_mm=m.rear_radius_mm - 12.0)
    shapes = machine_shapes(m, here)
    for end, radius, loaded in (
        ("front", m.front_radius_mm, m.front_radius_mm),
        ("rear", m.rear_radius_mm, m.rear_radius_mm - 12.0),
    ):
        axle = to_world(here, here.front_axle if end == "front" else here.rear_axle)
        tread = part(shapes, f"{end}_tyre").points
        assert np.nanmax(np.hypot(*(tread - axle).T)) == pytest.approx(radius)
        assert axle[1] - np.nanmin(tread[:, 1]) == pytest.approx(loaded, abs=0.2)


@names
def test_spokes_and_knobs(name: str) -> None:
    shapes = machine_shapes(MACHINES[name], catalogue_pose(MACHINES[name]))
    spokes = part(shapes, "front_spokes").points
    assert np.isnan(spokes[:, 0]).sum() == 27
    assert len({s.part for s in shapes}) > 60


@names
def test_stanchions_raised_in_the_clamps_move_along_the_steering_axis(name: str) -> None:
    m = MACHINES[name]
    here = catalogue_pose(m)
    up = np.array([-np.sin(m.rake_rad), np.cos(m.rake_rad)])
    low = part(machine_shapes(m, here), "fork_cap").points
    high = part(machine_shapes(m, replace(here, clamp_raise_mm=12.0)), "fork_cap").points
    assert high - low == pytest.approx(np.broadcast_to(12.0 * up, low.shape))


@names
def test_arm_and_wheel_follow_the_axle_and_the_rest_stays(name: str) -> None:
    m = MACHINES[name]
    low, high = (
        catalogue_pose(m),
        replace(catalogue_pose(m), rear_axle=pose(m, front=50, rear=20).rear_axle),
    )
    for here in (low, high):
        arm = part(machine_shapes(m, here), "rear_nut").points
        assert arm.mean(axis=0) == pytest.approx(to_world(here, here.rear_axle), abs=1e-6)
    # in the chassis frame, tank and frame do not know of the axle
    first = part(machine_shapes(m, low), "tank").points
    second = part(machine_shapes(m, high), "tank").points
    assert np.diff(first, axis=0) == pytest.approx(np.diff(second, axis=0))


@names
def test_the_side_stand_stands_on_the_ground_only_when_parked(name: str) -> None:
    m = MACHINES[name]
    down = part(machine_shapes(m, catalogue_pose(m, parked=True)), "stand_foot").points
    up = part(machine_shapes(m, catalogue_pose(m)), "stand_foot").points
    assert down[:, 1].min() == pytest.approx(0, abs=1e-9)
    assert up[:, 1].min() > 0.4 * m.stand.pivot[1]


@names
def test_the_fork_has_room_for_its_travel(name: str) -> None:
    # bottomed, the tyre still clears the fender by the gap of the data sheet
    m = MACHINES[name]
    full = replace(
        catalogue_pose(m),
        front_axle=tuple(  # type: ignore[arg-type]
            np.array(m.front_axle_extended)
            + m.fork_travel_mm * np.array([-np.sin(m.rake_rad), np.cos(m.rake_rad)])
        ),
    )
    shapes = machine_shapes(m, full)
    fender = part(shapes, "front_fender").points
    axle = to_world(full, full.front_axle)
    gap = np.hypot(*(fender - axle).T).min() - m.front_radius_mm
    assert gap == pytest.approx(m.front_bump_gap_mm, abs=1.5)


@settings(max_examples=60, deadline=None)
@given(
    wheelbase=st.floats(1000, 1650),
    rake=st.floats(20, 33),
    seat_x=st.floats(380, 700),
    seat_z=st.floats(600, 1020),
    clearance=st.floats(150, 380),
    tank=st.floats(1, 35),
    travel=st.floats(100, 330),
    kind=st.sampled_from(["trail", "enduro", "motocross", "dual_sport", "adventure", "child"]),
    engine=st.sampled_from(["two_stroke", "single", "twin"]),
)
def test_odd_figures_still_draw_finite_shapes(
    wheelbase: float,
    rake: float,
    seat_x: float,
    seat_z: float,
    clearance: float,
    tank: float,
    travel: float,
    kind: str,
    engine: str,
) -> None:
    m = machine(
        kind=kind,  # type: ignore[arg-type]
        engine=engine,  # type: ignore[arg-type]
        wheelbase=wheelbase,
        rake_deg=rake,
        seat=(seat_x, seat_z),
        clearance=clearance,
        tank_l=tank,
        travel=(travel, travel),
        grip=(seat_x + 430, seat_z + 220),
    )
    here = catalogue_pose(m)
    for s in machine_shapes(m, here):
        gaps = np.isnan(s.points)
        assert np.array_equal(gaps[:, 0], gaps[:, 1]), s.part
        assert np.all(np.isfinite(s.points[~gaps[:, 0]])), s.part
        assert np.nanmax(np.abs(s.points)) < 4000, s.part
    assert rises(part(machine_shapes(m, here), "seat").points, seat_point(m, here))


def test_shapes_are_sorted_and_cannot_be_changed() -> None:
    shapes = machine_shapes(TRAIL, catalogue_pose(TRAIL))
    assert [s.order for s in shapes] == sorted(s.order for s in shapes)
    with pytest.raises(ValueError, match="read-only"):
        shapes[0].points[0, 0] = 1.0


@pytest.mark.parametrize(
    ("field", "value"), [("front_radius_mm", 0.0), ("arm_length_mm", -1.0), ("fork_travel_mm", 0.0)]
)
def test_figures_of_no_machine_are_refused(field: str, value: float) -> None:
    with pytest.raises(ValueError, match=field):
        replace(TRAIL, **{field: value})  # type: ignore[arg-type]


def test_a_front_axle_behind_the_rear_one_is_refused() -> None:
    with pytest.raises(ValueError, match="front_axle_extended"):
        replace(TRAIL, front_axle_extended=(-10.0, 300.0))


def test_a_larger_tank_shows(recwarn: pytest.WarningsRecorder) -> None:
    def size(m: MachineShape) -> float:
        points = part(machine_shapes(m, catalogue_pose(m)), "tank").points
        return float(np.ptp(points[:, 0]) * np.ptp(points[:, 1]))

    assert size(replace(TRAIL, tank_l=18.0)) > 1.1 * size(TRAIL)
    assert not recwarn.list
