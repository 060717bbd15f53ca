"""Where the tape goes on a machine for each figure of its profile that a tape can tell.

Owns both ends of the tape, in the catalogue's attitude: x forward from the rear contact point, or
in the front view y to the left, z up from the ground, mm. Refuses what is read.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal

from fitplanner.documents.machine import MachineProfile
from fitplanner.planning.resolve import reference

Address = tuple[str, str]
Point = tuple[float, float]
View = Literal["side", "front"]


@dataclass(frozen=True)
class Size:
    """A tape laid from one named place to another."""

    view: View
    start: Point
    end: Point
    start_words: str = ""
    end_words: str = ""


class _At:
    """The places of one machine that a tape is laid to."""

    def __init__(self, profile: MachineProfile) -> None:
        self.profile = profile
        found = reference(profile)
        self.front_mm = float(found.front_radius_mm)
        self.rear_mm = float(found.rear_radius_mm)
        self.pivot = float(found.machine.pivot_x_mm), float(found.machine.pivot_z_mm)

    def __call__(self, section: str, key: str) -> float:
        value: float = getattr(getattr(self.profile, section), key).value
        return value


_Make = Callable[[_At], Size]
_GROUND, _AXLE, _MIDDLE = "ground", "rear axle", "middle"


def _up(section: str, x_key: str, z_key: str, words: str, x_section: str = "") -> _Make:
    """From the ground straight up."""

    def make(at: _At) -> Size:
        x, z = at(x_section or section, x_key), at(section, z_key)
        return Size("side", (x, 0.0), (x, z), _GROUND, words)

    return make


def _ahead(section: str, x_key: str, z_key: str, words: str, z_section: str = "") -> _Make:
    """From over the rear axle forward, level."""

    def make(at: _At) -> Size:
        x, z = at(section, x_key), at(z_section or section, z_key)
        return Size("side", (0.0, z), (x, z), _AXLE, words)

    return make


def _out(section: str, y_key: str, z_key: str, words: str) -> _Make:
    """From the middle of the machine outward, level."""

    def make(at: _At) -> Size:
        y, z = at(section, y_key), at(section, z_key)
        return Size("front", (0.0, z), (y, z), _MIDDLE, words)

    return make


def _wheel(end: str) -> _Make:
    def make(at: _At) -> Size:
        x = at("catalogue", "wheelbase_mm") if end == "front" else 0.0
        radius = at.front_mm if end == "front" else at.rear_mm
        return Size("side", (x, 0.0), (x, 2 * radius), _GROUND, "top of the tyre")

    return make


def _across(key: str) -> _Make:
    """Over the seat where the thighs cross."""

    def make(at: _At) -> Size:
        half = 0.5 * at("seat", key)
        z = at("catalogue", "seat_height_mm") - at("seat", "edge_drop_mm")
        return Size("front", (-half, z), (half, z), "", "edge to edge")

    return make


def _down(key: str, words: str) -> _Make:
    """From the seat's surface downward."""

    def make(at: _At) -> Size:
        x, z = at("seat", "x_mm"), at("catalogue", "seat_height_mm")
        return Size("side", (x, z), (x, z - at("seat", key)), "seat", words)

    return make


def _edge(at: _At) -> Size:
    half, z = 0.5 * at("seat", "width_mm"), at("catalogue", "seat_height_mm")
    return Size("front", (half, z), (half, z - at("seat", "edge_drop_mm")), "straight edge", "")


def _wheelbase(at: _At) -> Size:
    end = at("catalogue", "wheelbase_mm"), at.front_mm
    return Size("side", (0.0, at.rear_mm), end, _AXLE, "front axle")


def _arm(at: _At) -> Size:
    return Size("side", at.pivot, (0.0, at.rear_mm), "pivot", "axle")


def _pivot(at: _At) -> Size:
    x, z = at.pivot
    return Size("side", (x, 0.0), (x, z), _GROUND, "pivot")


def _sprocket(*, ahead: bool) -> _Make:
    def make(at: _At) -> Size:
        (x, z), by = at.pivot, at("chain", "sprocket_ahead_mm" if ahead else "sprocket_above_mm")
        end = (x + by, z) if ahead else (x, z + by)
        return Size("side", (x, z), end, "pivot", "sprocket")

    return make


_SIZES: dict[Address, _Make] = {
    ("catalogue", "seat_height_mm"): _up("catalogue", "x_mm", "seat_height_mm", "seat", "seat"),
    ("catalogue", "wheelbase_mm"): _wheelbase,
    ("catalogue", "ground_clearance_mm"): _up(
        "catalogue", "low_point_x_mm", "ground_clearance_mm", "lowest part", "controls"
    ),
    ("wheels", "front_radius_mm"): _wheel("front"),
    ("wheels", "rear_radius_mm"): _wheel("rear"),
    ("rear", "arm_length_mm"): _arm,
    ("rear", "pivot_height_mm"): _pivot,
    ("seat", "x_mm"): _ahead("seat", "x_mm", "seat_height_mm", "seat", "catalogue"),
    ("seat", "width_mm"): _across("width_mm"),
    ("seat", "edge_drop_mm"): _edge,
    ("seat", "foam_mm"): _down("foam_mm", "pan"),
    ("controls", "peg_x_mm"): _ahead("controls", "peg_x_mm", "peg_z_mm", "peg"),
    ("controls", "peg_y_mm"): _out("controls", "peg_y_mm", "peg_z_mm", "peg's tip"),
    ("controls", "peg_z_mm"): _up("controls", "peg_x_mm", "peg_z_mm", "peg"),
    ("controls", "bar_x_mm"): _ahead("controls", "bar_x_mm", "bar_z_mm", "grip"),
    ("controls", "bar_z_mm"): _up("controls", "bar_x_mm", "bar_z_mm", "grip"),
    ("controls", "low_point_x_mm"): _ahead(
        "controls", "low_point_x_mm", "ground_clearance_mm", "lowest part", "catalogue"
    ),
    ("stand", "pivot_x_mm"): _ahead("stand", "pivot_x_mm", "pivot_z_mm", "stand's pivot"),
    ("stand", "pivot_y_mm"): _out("stand", "pivot_y_mm", "pivot_z_mm", "stand's pivot"),
    ("stand", "pivot_z_mm"): _up("stand", "pivot_x_mm", "pivot_z_mm", "stand's pivot"),
    ("lamps", "headlamp_x_mm"): _ahead("lamps", "headlamp_x_mm", "headlamp_z_mm", "lamp"),
    ("lamps", "headlamp_z_mm"): _up("lamps", "headlamp_x_mm", "headlamp_z_mm", "lamp"),
    ("lamps", "plate_x_mm"): _ahead("lamps", "plate_x_mm", "plate_z_mm", "plate"),
    ("lamps", "plate_z_mm"): _up("lamps", "plate_x_mm", "plate_z_mm", "plate's edge"),
    ("masses", "tank_x_mm"): _ahead("masses", "tank_x_mm", "tank_z_mm", "tank"),
    ("masses", "tank_z_mm"): _up("masses", "tank_x_mm", "tank_z_mm", "tank"),
    ("chain", "sprocket_ahead_mm"): _sprocket(ahead=True),
    ("chain", "sprocket_above_mm"): _sprocket(ahead=False),
}


def size_of(profile: MachineProfile, address: Address) -> Size | None:
    """Where the tape goes for one figure; None where no tape tells it.

    Raises:
        UnsolvableError: the figures give no machine.
    """
    make = _SIZES.get(address)
    return None if make is None else make(_At(profile))
