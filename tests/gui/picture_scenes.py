"""Scenes of invented machines and riders, and a painter that keeps every text."""

from dataclasses import replace
from functools import cache
from math import radians

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QImage, QPainter

from fitplanner.outline import (
    Front,
    FrontStand,
    MachineShape,
    RiderJoints,
    Scene,
    Side,
    front_scene_from,
    scene_from,
    seat_point,
    to_world,
)
from fitplanner.outline.inputs import MachinePose
from fitplanner.planning.evaluate import evaluate
from fitplanner.planning.plan import Plan
from tests import factories
from tests.drawn_figure import hanging_legs, lengths_from_stature, stopped_joints
from tests.unit.outline.figures import SECTION, TRAIL, catalogue_pose, pose

LENGTHS = lengths_from_stature(stature_mm=1640.0, sole_mm=25.0)


def inches(value_mm: float, less_mm: float = 0.0) -> str:
    return f"{(value_mm - less_mm) / 25.4:.2f} in"


def rider(m: MachineShape, at: MachinePose, **foot: float) -> RiderJoints:
    grip = to_world(at, m.grip)
    return stopped_joints(
        LENGTHS,
        seat=seat_point(m, at),
        grip=(float(grip[0]), float(grip[1])),
        feet_ahead_mm=70,
        **foot,
    )


def side_scene(m: MachineShape = TRAIL, *, riders: bool = True, drop: float = 40.0) -> Scene:
    before = catalogue_pose(m)
    front = (m.front_radius_mm - m.front_axle_extended[1]) + 1.1 * drop
    after = pose(m, front=front, rear=m.rear_radius_mm - m.rear_axle_extended[1] + 1.2 * drop)
    return scene_from(
        before=Side(machine=m, pose=before, rider=rider(m, before, gap_mm=60) if riders else None),
        after=Side(
            machine=m,
            pose=after,
            rider=rider(m, after, heel_lift_mm=37) if riders else None,
            heel_lift_mm=37 if riders else 0,
        ),
        title="Rider stopped, feet down",
    )


@cache
def a_plan() -> Plan:
    return evaluate(factories.job())


def front_scene() -> Scene:
    low = replace(SECTION, seat_height_mm=815.0)
    states = [
        Front(
            section=s,
            rider=hanging_legs(s, lengths=LENGTHS, leg_and_sole_mm=790.0, gap_mm=gap),
            foot_gap_mm=gap,
        )
        for s, gap in ((SECTION, 95.0), (low, 50.0))
    ]
    return front_scene_from(before=states[0], after=states[1], title="Legs over the seat")


STAND = FrontStand(pivot=(150.0, 330.0), length_mm=330.0, angle_rad=radians(24.0))


def parked_scene() -> Scene:
    states = [
        Front(
            section=replace(SECTION, seat_height_mm=s, lean_rad=radians(lean), crown_mm=60.0),
            stand=STAND,
            seat_height_mm=s - 15.0,
        )
        for s, lean in ((880.0, 9.5), (840.0, 11.0))
    ]
    return front_scene_from(before=states[0], after=states[1])


def bare_front_scene() -> Scene:
    low = replace(SECTION, seat_height_mm=815.0)
    return front_scene_from(before=Front(section=SECTION), after=Front(section=low))


class Recorder(QPainter):
    """Keeps every text with its box."""

    def __init__(self, image: QImage) -> None:
        super().__init__(image)
        self.image = image  # a painter does not keep its device alive
        self.texts: list[tuple[QRectF, str]] = []

    def drawText(self, box: QRectF, flags: int, text: str) -> None:  # type: ignore[override]
        width = self.fontMetrics().horizontalAdvance(text)
        if text:
            room = QRectF(box)
            assert width <= room.width() + 0.5, f"{text!r} is clipped"
            # the box that the text itself fills
            if flags & Qt.AlignmentFlag.AlignRight:
                room.setLeft(room.right() - width)
            elif flags & Qt.AlignmentFlag.AlignLeft:
                room.setRight(room.left() + width)
            self.texts.append((room, text))
        super().drawText(box, flags, text)
