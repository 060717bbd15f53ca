"""The plan's figures on every possible machine, and their 90 % bands.

Owns which figures are told and how a band is read off the samples. Lane 0 is the plan itself.
"""

from dataclasses import dataclass

import numpy as np

from fitplanner.mechanics.arrays import Array
from fitplanner.planning.plan import Band
from fitplanner.planning.unknown.account import KnownBand
from fitplanner.planning.unknown.lanes import Lanes, Standing


@dataclass(frozen=True)
class Row:
    """One figure in lanes, planned and, where the machine has it before, stock."""

    key: str
    label: str
    planned: Array
    stock: Array | None = None

    def banded(self) -> KnownBand:
        """The figure with its bands."""
        stock = None if self.stock is None else band(self.stock)
        return KnownBand(self.key, self.label, band(self.planned), stock)


def band(values: Array) -> Band:
    """Lane 0 with the band of the others."""
    low, high = np.quantile(values[1:], (0.05, 0.95))
    return Band(float(values[0]), float(low), float(high))


def rows(lanes: Lanes) -> list[Row]:
    """Every figure that is told, each as full lanes."""
    stock, planned = lanes.stock, lanes.planned
    found = []
    if np.all(np.isfinite(planned.need_mm)):
        needed = np.maximum(stock.stopped.seat_mm - stock.need_mm, 0.0)
        found.append(Row("drop_needed", "Drop needed, stopped", needed))
    found += [
        Row(
            "drop_stopped",
            "Drop of this plan, stopped",
            stock.stopped.bare_seat_mm - planned.stopped.bare_seat_mm,
        ),
        Row(
            "drop_on_wheels",
            "Drop of this plan, on its wheels",
            stock.seat_mm(stock.on_wheels) - planned.seat_mm(planned.on_wheels),
        ),
    ]
    if np.all(np.isfinite(planned.need_mm)):
        found.append(Row("spare", "Spare for the wanted footing", planned.spare_mm, stock.spare_mm))
    before, after = _of_machine(stock), _of_machine(planned)
    found += [Row(key, label, after[key][1], before[key][1]) for key, (label, _) in after.items()]
    return [_full(lanes, row) for row in found]


def _of_machine(at: Standing) -> dict[str, tuple[str, Array]]:
    free, rider = at.sag_mm(at.on_wheels), at.sag_mm(at.rider_up)
    value = at.lanes.value
    low = value("controls", "low_point_x_mm"), value("catalogue", "ground_clearance_mm")
    return {
        "seat_on_wheels": ("Seat, on its wheels", at.seat_mm(at.on_wheels)),
        "seat_rider_up": ("Seat, rider up", at.seat_mm(at.rider_up)),
        "seat_stopped": ("Seat, stopped", at.stopped.bare_seat_mm),
        "free_sag_front": ("Free sag, fork", free[0]),
        "rider_sag_front": ("Rider sag, fork", rider[0]),
        "free_sag_rear": ("Free sag, rear", free[1]),
        "rider_sag_rear": ("Rider sag, rear", rider[1]),
        "trail": ("Trail, rider up", at.rider_up.pose.trail_mm),
        "clearance": ("Ground clearance, on its wheels", at.on_wheels.pose.height(*low)),
    }


def _full(lanes: Lanes, row: Row) -> Row:
    """Lanes for a figure that nothing uncertain moves."""
    stock = None if row.stock is None else lanes.full(row.stock)
    return Row(row.key, row.label, lanes.full(row.planned), stock)
