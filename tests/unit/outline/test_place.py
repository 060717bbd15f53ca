"""Forms are carried by their place, and only what bends is drawn anew."""

from dataclasses import fields, replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fitplanner.outline import Shape, bounds_of, machine_shapes, rider_shapes, seat_point, to_world
from fitplanner.outline.place import Place, between, outermost, turned
from fitplanner.outline.shape import Form, placed
from tests.drawn_figure import lengths_from_stature, stopped_joints
from tests.unit.outline.figures import MACHINES, TRAIL, catalogue_pose, pose

coordinate = st.floats(-2000, 2000)
point = st.tuples(coordinate, coordinate)
# what changes its own shape with the load: coils, rod, foam, boot; the rest only moves
BENT = {"shock_spring", "link_rod", "seat", "seat_top", "seat_seam", "boot", "sole"}
LENGTHS = lengths_from_stature(stature_mm=1640.0, sole_mm=25.0)


@given(start=point, stop=point, length=st.floats(1, 500), across=st.floats(0.1, 5))
def test_a_bone_meets_both_joints_and_its_flesh_keeps_its_width(
    start: tuple[float, float], stop: tuple[float, float], length: float, across: float
) -> None:
    far = float(np.hypot(*np.subtract(stop, start)))
    if far < 1.0:
        return
    place = between(start, stop, length=length, across=across)
    assert place.at(0.0, 0.0) == pytest.approx(start)
    assert place.at(length, 0.0) == pytest.approx(stop)
    # a point beside the bone lies at its own distance, square to it, on the left
    off = np.subtract(place.at(0.5 * length, 10.0), np.add(start, stop) / 2)
    along = np.subtract(stop, start) / far
    assert off @ along == pytest.approx(0.0, abs=1e-6)
    assert along[0] * off[1] - along[1] * off[0] == pytest.approx(10.0 * across)
    assert place.scale == pytest.approx(across)


@given(angle=st.floats(-7, 7), about=point, to=point, at=point)
def test_a_turn_is_that_of_complex_numbers(
    angle: float,
    about: tuple[float, float],
    to: tuple[float, float],
    at: tuple[float, float],
) -> None:
    place = turned(angle, about=about, to=to)
    wanted = complex(*to) + np.exp(1j * angle) * (complex(*at) - complex(*about))
    assert place.at(*at) == pytest.approx((wanted.real, wanted.imag), abs=1e-8)
    assert place.map([at])[0] == pytest.approx(place.at(*at), abs=1e-8)


@settings(deadline=None)
@given(
    seed=st.integers(0, 2**32 - 1),
    place=st.builds(Place, *[st.floats(-3, 3)] * 4, *[coordinate] * 2),
)
def test_the_outermost_points_have_the_box_of_all_however_placed(seed: int, place: Place) -> None:
    cloud = np.random.default_rng(seed).normal(size=(300, 2)) * (400.0, 30.0)
    cloud[::50] = np.nan
    kept = outermost(cloud)
    assert len(kept) < 150
    every, few = place.map(cloud), place.map(kept)
    assert few.min(axis=0) == pytest.approx(np.nanmin(every, axis=0), abs=1e-9)
    assert few.max(axis=0) == pytest.approx(np.nanmax(every, axis=0), abs=1e-9)


def scene_shapes(name: str, *, front: float, rear: float, squash: float = 0.0) -> tuple[Shape, ...]:
    m = MACHINES[name]
    here = replace(pose(m, front=front, rear=rear), foam_squash_mm=squash)
    grip = to_world(here, m.grip)
    rider = stopped_joints(
        LENGTHS,
        seat=seat_point(m, here),
        grip=(float(grip[0]), float(grip[1])),
        feet_ahead_mm=70,
        heel_lift_mm=squash,
    )
    return (*machine_shapes(m, here), *rider_shapes(rider))


@pytest.mark.parametrize("name", MACHINES)
@pytest.mark.parametrize(("front", "rear"), [(20.0, 100.0), (110.0, 30.0)])
def test_the_box_is_that_of_every_single_point(name: str, front: float, rear: float) -> None:
    shapes = scene_shapes(name, front=front, rear=rear)
    boxes = []
    for s in shapes:
        pad = 0.5 * s.width_mm if s.kind == "line" else 0.0
        boxes.append((*np.nanmin(s.points, axis=0) - pad, *-np.nanmax(s.points, axis=0) - pad))
    left, bottom, right, top = np.min(boxes, axis=0)
    box = bounds_of(shapes)
    assert (box.left, box.bottom) == pytest.approx((left, bottom), abs=1e-9)
    assert (box.right, box.top) == pytest.approx((-right, -top), abs=1e-9)


def drawn_anew(first: tuple[Shape, ...], second: tuple[Shape, ...]) -> set[str]:
    assert [s.part for s in first] == [s.part for s in second]
    return {a.part for a, b in zip(first, second, strict=True) if a.form is not b.form}


@pytest.mark.parametrize("name", MACHINES)
def test_a_machine_s_parts_keep_their_form_from_pose_to_pose(name: str) -> None:
    m = MACHINES[name]
    squashed = replace(pose(m, front=96.0, rear=88.0), foam_squash_mm=7.0)
    anew = drawn_anew(
        machine_shapes(m, pose(m, front=20.0, rear=30.0)), machine_shapes(m, squashed)
    )
    assert anew == BENT - {"boot", "sole"}


@given(down=st.floats(0, 60), turn=st.floats(-0.2, 0.2))
def test_a_rider_s_limbs_keep_their_form_however_they_turn(down: float, turn: float) -> None:
    seat, grip = (560.0, 905.0), (985.0, 1130.0)
    first = stopped_joints(LENGTHS, seat=seat, grip=grip, feet_ahead_mm=70)
    place = turned(turn, to=(0.0, -down))
    names = [f.name for f in fields(first) if isinstance(getattr(first, f.name), tuple)]
    second = replace(first, **{n: place.at(*getattr(first, n)) for n in names})
    assert drawn_anew(rider_shapes(first), rider_shapes(second)) <= {"boot", "sole"}


def test_another_stand_leaves_the_machine_s_forms() -> None:
    other = replace(TRAIL, stand=replace(TRAIL.stand, length_mm=250.0))
    here = catalogue_pose(TRAIL)
    pairs = zip(machine_shapes(TRAIL, here), machine_shapes(other, here), strict=True)
    moved = {a.part for a, b in pairs if a != b and a.part not in BENT}
    assert moved == {"side_stand", "stand_foot"}


def test_the_scale_of_a_place_widens_lines() -> None:
    line = Form("x", "metal", "line", np.array([[0.0, 0.0], [10.0, 0.0]]), width_mm=4.0)
    (shape,) = placed((line,), turned(0.0, to=(5.0, 1.0), scale=2.0))
    assert shape.width_mm == 8.0
    assert shape.points.tolist() == [[5.0, 1.0], [25.0, 1.0]]
    box = bounds_of([shape])
    assert (box.bottom, box.top) == (-3.0, 5.0)
