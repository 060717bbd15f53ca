"""Ways around the suspension: seat, tyres, boots.

Owns their effects on seat, reach, radii and gaps.
"""

from dataclasses import replace

import numpy as np

from fitplanner.mechanics.arrays import Number
from fitplanner.planning.plan import WayId
from fitplanner.planning.ways.build import Build, Way


def _lower_seat(build: Build, amount_mm: Number) -> Build:
    """Lower foam; a lower seat that is sold may bring its own width."""
    drop = build.seat_drop_mm + np.asarray(amount_mm)
    seat = build.profile.seat
    if seat.lower_seat_width_mm is None:
        return replace(build, seat_drop_mm=drop)
    change = seat.width_mm.value - seat.lower_seat_width_mm.value
    narrower = build.seat_narrower_mm + np.where(np.asarray(amount_mm) > 0, change, 0.0)
    return replace(build, seat_drop_mm=drop, seat_narrower_mm=narrower)


def _narrow_seat(build: Build, amount_mm: Number) -> Build:
    return replace(build, seat_narrower_mm=build.seat_narrower_mm + np.asarray(amount_mm))


def _smaller_tyres(build: Build, amount_mm: Number) -> Build:
    machine = replace(
        build.machine,
        front_radius_mm=build.machine.front_radius_mm - np.asarray(amount_mm),
        rear_radius_mm=build.machine.rear_radius_mm - np.asarray(amount_mm),
    )
    return replace(
        build,
        machine=machine,
        front_gap_mm=build.front_gap_mm + amount_mm,
        rear_gap_mm=build.rear_gap_mm + amount_mm,
    )


def _thicker_sole(build: Build, amount_mm: Number) -> Build:
    return replace(build, sole_mm=build.sole_mm + np.asarray(amount_mm))


WAYS = (
    Way(
        WayId.LOWER_SEAT,
        "Lower seat",
        _lower_seat,
        undone=1.0,
        note="Knees fold more, foam gets thinner",
    ),
    Way(
        WayId.NARROWER_SEAT,
        "Seat narrowed where the thighs cross",
        _narrow_seat,
        undone=0.0,
        note="Cut foam does not grow back",
    ),
    Way(
        WayId.SMALLER_TYRES,
        "Smaller tyres",
        _smaller_tyres,
        undone=1.0,
        note="Clearance, gearing, speedometer and approval change",
    ),
    Way(
        WayId.THICKER_SOLE,
        "Thicker boot sole",
        _thicker_sole,
        undone=1.0,
        note="Less feel of the controls",
    ),
)
