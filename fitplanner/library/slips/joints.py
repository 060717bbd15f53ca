"""What is usual for the joints of a drawn linkage, and how one gets mistyped.

Owns how far joints lie from the swing-arm pivot, as a share of the swing-arm; ranges are common
practice, no source. Refuses leverage: what drawn joints do shows when the machine is solved.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from math import hypot

from fitplanner.documents.machine import LinkagePoints
from fitplanner.library.slips.finding import shown
from fitplanner.library.slips.sign import Band, Plain, Sign

LINKAGE = "rear.linkage"
_ARM = "rear.arm_length_mm"
_EYE: Band = (0.12, 1.1)
_OTHERS: Band = (0.02, 0.8)
_NAMES = {
    "frame_eye_mm": "shock's eye on the frame",
    "arm_point_mm": "joint on the swing-arm",
    "frame_point_mm": "joint on the frame",
    "rod_joint_mm": "rod's end on the rocker",
    "shock_joint_mm": "shock's eye on the rocker",
}


def joints(v: Plain) -> Iterator[Sign]:
    """Every joint against the length of the swing-arm."""
    drawn = v[LINKAGE]
    if not isinstance(drawn, LinkagePoints):
        return
    for key, place in _places(drawn):
        away, (low, high) = hypot(*place), _EYE if key == "frame_eye_mm" else _OTHERS
        arm = v[_ARM]
        yield Sign(
            f"joint {key}",
            f"{LINKAGE}.{key}",
            (LINKAGE, _ARM),
            away / arm,
            low,
            high,
            f"The {_NAMES[key]} lies {shown(away)} from the swing-arm pivot, "
            f"{away / arm:.2f} of a swing-arm of {shown(arm)}; {low:g} to {high:g} is common.",
            "Check the joint's two figures, their decimal mark and their unit.",
            "stop" if away > 2.0 * high * arm else "caution",
        )


@dataclass(frozen=True)
class Moved:
    """The joints as they may have been meant: what the mend is called and says."""

    drawn: LinkagePoints
    key: str
    mend: str
    action: str
    read: str


def displaced(v: Plain) -> Iterator[Moved]:
    """A figure of a joint that lies far out, with its decimal mark one place further left."""
    drawn = v[LINKAGE]
    for key, place in _places(drawn):
        if hypot(*place) <= v[_ARM]:
            continue
        for part, way in enumerate(("forward", "up")):
            meant = list(place)
            meant[part] = round(place[part] / 10.0, 4)
            enter = shown(meant[part])
            yield Moved(
                drawn.replace(**{key: meant}),
                f"{LINKAGE}.{key}",
                f"If the decimal mark of its place {way} is one place off, enter {enter}.",
                f"Enter {enter} {way}",
                f"{_NAMES[key]} {way}, was {place[part]:g}: its decimal mark is one place off",
            )


def _places(drawn: LinkagePoints) -> Iterator[tuple[str, list[float]]]:
    for key in _NAMES:
        place = getattr(drawn, key)
        if place is not None:
            yield key, place
