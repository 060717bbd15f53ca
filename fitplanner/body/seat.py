"""The seat as a leg meets it: owns the inside-leg arc, upright and leaned.

Refuses foam: the seat height is the height in the `stopped` state with the foam squashed.
Front view: y to the side of the leg in question, z up, both from the tyres' contact line.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from fitplanner.body.arrays import Floats, floats, not_negative


@dataclass(frozen=True, slots=True)
class Seat:
    """Width where the thighs cross, and how far its edges lie under the middle. mm."""

    width_mm: Floats
    edge_drop_mm: Floats

    @property
    def half_width_mm(self) -> Floats:
        """Middle to edge, across."""
        return 0.5 * self.width_mm

    @property
    def excess_mm(self) -> Floats:
        """Half arc less seat height: what the seat's width takes from the leg."""
        return np.hypot(self.half_width_mm, self.edge_drop_mm) - self.edge_drop_mm


def seat_from_width(width_mm: ArrayLike, edge_drop_mm: ArrayLike) -> Seat:
    """A seat from tape measurements (mm). Errors: ValueError for a negative length."""
    return Seat(not_negative(width_mm, "seat width"), not_negative(edge_drop_mm, "seat edge drop"))


def seat_from_arc(arc_mm: ArrayLike, *, seat_height_mm: ArrayLike, edge_drop_mm: ArrayLike) -> Seat:
    """The seat that a catalogue's whole inside-leg arc implies (mm).

    Its width is the one that gives half the arc less the catalogue's own seat height as excess,
    so that the arc wins over any measured width. Errors: ValueError where the arc is shorter than
    twice the seat height.
    """
    drop = not_negative(edge_drop_mm, "seat edge drop")
    excess = not_negative(
        0.5 * floats(arc_mm) - floats(seat_height_mm), "half the inside-leg arc less seat height"
    )
    return Seat(2.0 * np.sqrt(excess * (excess + 2.0 * drop)), drop)


def half_arc_mm(
    seat: Seat,
    seat_height_mm: ArrayLike,
    *,
    hip_shift_mm: ArrayLike = 0.0,
    lean_rad: ArrayLike = 0.0,
) -> Floats:
    """Taut line (mm) from the crotch over the seat's edge straight down to the ground.

    `hip_shift_mm` moves the crotch along the seat towards the leg, `lean_rad` leans the machine
    about the tyres' contact line towards it. Upright with no shift: seat height + `excess_mm`.
    """
    over_mm, lean = seat.half_width_mm - floats(hip_shift_mm), floats(lean_rad)
    edge_height = floats(seat_height_mm) - seat.edge_drop_mm
    return (
        np.hypot(over_mm, seat.edge_drop_mm)
        + edge_height * np.cos(lean)
        - seat.half_width_mm * np.sin(lean)
    )


def edge_y_mm(seat: Seat, seat_height_mm: ArrayLike, *, lean_rad: ArrayLike = 0.0) -> Floats:
    """How far (mm) the seat's edge, and the foot under it, stands from the contact line."""
    lean = floats(lean_rad)
    edge_height = floats(seat_height_mm) - seat.edge_drop_mm
    return seat.half_width_mm * np.cos(lean) + edge_height * np.sin(lean)


def leaned(points_mm: ArrayLike, lean_rad: ArrayLike) -> Floats:
    """Points (..., 3) of the upright machine after leaning it (rad) towards +y."""
    points, lean = floats(points_mm), floats(lean_rad)
    x, y, z = points[..., 0], points[..., 1], points[..., 2]
    cos, sin = np.cos(lean), np.sin(lean)
    across, up = y * cos + z * sin, z * cos - y * sin
    return np.stack(np.broadcast_arrays(x, across, up), axis=-1)


def arc_line_mm(
    seat: Seat,
    seat_height_mm: ArrayLike,
    *,
    hip_shift_mm: ArrayLike = 0.0,
    lean_rad: ArrayLike = 0.0,
) -> Floats:
    """The half arc as a line to draw: crotch, edge, ground; shape (..., 3, 2) as (y, z) in mm.

    Moved hips stay at the height of the seat's middle, as in `half_arc_mm`.
    """
    height, shift = floats(seat_height_mm), floats(hip_shift_mm)
    lean = floats(lean_rad)
    cos, sin = np.cos(lean), np.sin(lean)
    edge_y = edge_y_mm(seat, height, lean_rad=lean)
    edge_z = (height - seat.edge_drop_mm) * cos - seat.half_width_mm * sin
    y, z, y_edge, z_edge, ground = np.broadcast_arrays(
        shift * cos + height * sin, height * cos - shift * sin, edge_y, edge_z, 0.0
    )
    points = [np.stack(pair, axis=-1) for pair in ((y, z), (y_edge, z_edge), (y_edge, ground))]
    return np.stack(points, axis=-2)
