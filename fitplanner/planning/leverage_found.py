"""A leverage table from readings of wheel travel against shock travel.

Owns what is asked of the readings, the rows of the table and the spread that goes with it, in a
mechanic's words. Refuses text; the smoothing is `mechanics.leverage_readings`.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from fitplanner.documents.base import Figure, Source
from fitplanner.documents.machine import LeverageTable, Rear
from fitplanner.library.slips.notes import UNFIT
from fitplanner.mechanics.leverage_readings import LEAST_READINGS, ReadLeverage, read_leverage
from fitplanner.planning.linkage import row_count
from fitplanner.quantities import Kind
from fitplanner.quantities.sentences import figure_in_text, mm_in_text

Floats = NDArray[np.float64]

MOST_MM = 450.0
"""Travel beyond which a reading is a slip."""
_CARRIED_ON = 0.1
_PLACES = 81
_BELIEVABLE = (0.3, 8.0)
_RATIO_TRAVEL_MM = 40.0
"""Wheel travel over which a shock has come further than any ratio is large."""
_PASTED_SPREAD = 0.03
"""Of a leverage table that somebody else wrote: assumption, as the rule for a usual curve."""


class ReadingsError(ValueError):
    """Readings from which no leverage follows; the message, with figures as tokens, has the mend.

    `row` is the reading at fault, counted from 0, or None.
    """

    def __init__(self, text: str, row: int | None = None) -> None:
        self.row = row
        super().__init__(text if row is None else f"Row {row + 1}: {text}")


@dataclass(frozen=True, eq=False)
class LeverageFound:
    """What the readings say.

    Attributes:
        table: for the profile, with the readings.
        factor: 1 with the spread of the leverage as a share of itself.
        rise_mm, leverage, spread: the curve and its standard deviation, shape (K,).
        off_mm: shock travel read less that of the curve, for each reading.
        misfits: rows that may be wrong, the likeliest first; else empty.
        remarks: sentences, with figures as tokens.
    """

    table: LeverageTable
    factor: Figure
    rise_mm: Floats
    leverage: Floats
    spread: Floats
    off_mm: tuple[float, ...]
    misfits: tuple[int, ...]
    remarks: tuple[str, ...]


def leverage_found(
    wheel_mm: Sequence[float], shock_mm: Sequence[float], *, spread_mm: float, travel_mm: float
) -> LeverageFound:
    """The leverage that goes with readings counted from the hanging wheel, in any order.

    Args:
        wheel_mm, shock_mm: what was read, one each.
        spread_mm: how far a reading is off, one standard deviation.
        travel_mm: the rear wheel travel, which the table has to cover.

    Raises:
        ReadingsError: too few, out of range, or no leverage follows from them.
    """
    wheel, shock = np.asarray(wheel_mm, float), np.asarray(shock_mm, float)
    _judge(wheel, shock, travel_mm)
    end = max(travel_mm, float(wheel.max()))
    try:
        read = read_leverage(wheel, shock, spread_mm=spread_mm, travel_mm=end)
    except ValueError as error:
        raise ReadingsError(
            "Shock travel does not grow with wheel travel: count both from the hanging wheel."
        ) from error
    rise = np.linspace(0.0, end, _PLACES)
    leverage, spread = read.leverage(rise), read.spread(rise)
    if not (_BELIEVABLE[0] <= leverage.min() and leverage.max() <= _BELIEVABLE[1]):
        raise ReadingsError(
            f"The readings give a leverage of {leverage.min():.2f} to {leverage.max():.2f}, which "
            "no rear suspension has: check the units, and which column is the wheel's."
        )
    rows = np.linspace(0.0, end, row_count(end))
    table = LeverageTable(
        wheel_travel_mm=[*(round(float(each), 1) for each in rows[:-1]), end],
        leverage=[round(float(each), 4) for each in read.leverage(rows)],
        read_wheel_mm=[float(each) for each in wheel],
        read_shock_mm=[float(each) for each in shock],
    )
    common = float(np.sqrt(np.mean(spread**2)))
    return LeverageFound(
        table=table,
        factor=Figure(
            value=1.0,
            spread=round(common, 4),
            source=Source.MEASURED,
            origin=f"{len(wheel)} readings of wheel and shock travel{_unfit(read)}",
        ),
        rise_mm=rise,
        leverage=leverage,
        spread=spread,
        off_mm=tuple(float(each) for each in read.off_mm),
        misfits=read.misfits,
        remarks=tuple(_remarks(read, wheel, leverage, travel_mm - 2.0 * spread_mm, travel_mm)),
    )


def with_leverage(
    rear: Rear, wheel_mm: Sequence[float], leverage: Sequence[float], travel_mm: float
) -> Rear:
    """The rear end with a leverage table from elsewhere in the place of what it has.

    Readings from which the old one was found go with it, and it is known as an estimate.

    Raises:
        ReadingsError: the rows are no leverage over wheel travel.
    """
    wheel, ratio = np.asarray(wheel_mm, float), np.asarray(leverage, float)
    if len(wheel) < 2 or np.any(np.diff(wheel) <= 0.0) or wheel[0] != 0.0:
        raise ReadingsError(
            "A leverage table begins with the hanging wheel, at 0, and its wheel travel grows "
            "from row to row: check the order of the rows."
        )
    if not (_BELIEVABLE[0] <= ratio.min() and ratio.max() <= _BELIEVABLE[1]):
        raise ReadingsError(
            f"A leverage of {ratio.min():.2f} to {ratio.max():.2f} has no rear suspension. "
            "Readings of shock travel are pasted under 'Leverage from readings'."
        )
    if wheel[-1] < travel_mm:
        raise ReadingsError(
            f"The table ends at {mm_in_text(float(wheel[-1]))} of wheel travel, before the rear "
            f"wheel travel of {mm_in_text(travel_mm)}."
        )
    factor = Figure(
        value=1.0,
        spread=_PASTED_SPREAD,
        source=Source.ESTIMATED,
        origin=f"leverage table pasted, {len(wheel)} rows",
    )
    table = LeverageTable(
        wheel_travel_mm=[float(each) for each in wheel], leverage=[float(each) for each in ratio]
    )
    return rear.replace(linkage=table, leverage_factor=factor)


def _unfit(read: ReadLeverage) -> str:
    """For the origin: that a reading was used which does not go with the others."""
    if not read.misfits:
        return ""
    return f", of which row {read.misfits[0] + 1} {UNFIT}"


def _judge(wheel: Floats, shock: Floats, travel_mm: float) -> None:
    if _are_ratios(wheel, shock):
        raise ReadingsError(
            f"The second column does not grow and lies between {shock.min():.2f} and "
            f"{shock.max():.2f}: these are leverage ratios and not shock travel. Paste them into "
            "the leverage table of the rear end, where this window was opened."
        )
    for row, pair in enumerate(zip(wheel, shock, strict=True)):
        for what, value in zip(("wheel", "shock"), pair, strict=True):
            if not 0.0 <= value <= MOST_MM:
                raise ReadingsError(
                    f"{what} travel of {mm_in_text(value)} is not between {mm_in_text(0.0)} and "
                    f"{mm_in_text(MOST_MM)}; check the figure and its unit.",
                    row,
                )
        if (pair[0] == 0.0 and pair[1] != 0.0) or (pair[1] == 0.0 and pair[0] > 20.0):
            raise ReadingsError(
                "one travel is zero and the other is not; count both from the hanging wheel.", row
            )
    if len(np.unique(wheel[wheel > 0.0])) < LEAST_READINGS - 1 or len(wheel) < LEAST_READINGS:
        raise ReadingsError(
            f"Give at least {LEAST_READINGS} readings from hanging to the end of the travel; "
            "eight or more make a good curve."
        )
    last = float(wheel.max())
    if last < travel_mm * (1.0 - _CARRIED_ON):
        raise ReadingsError(
            f"The readings end at {mm_in_text(last)} of wheel travel, before the rear wheel "
            f"travel of {mm_in_text(travel_mm)}: read on until the wheel is at its stop."
        )


def _are_ratios(wheel: Floats, shock: Floats) -> bool:
    """Whether the second column looks like leverage: all of one small size over a long travel."""
    low, high = _BELIEVABLE
    return bool(
        len(wheel) >= LEAST_READINGS
        and np.ptp(wheel) > _RATIO_TRAVEL_MM
        and shock.min() >= low
        and shock.max() <= high
    )


def _remarks(
    read: ReadLeverage, wheel: Floats, leverage: Floats, enough_mm: float, travel_mm: float
) -> list[str]:
    said = []
    if read.hanging_strays:
        said.append(
            "The rows go together, but not with where the wheel hangs, from which they are "
            "counted: read the hanging position again."
        )
    elif read.misfits:
        row, *others = read.misfits
        off = _fine(read.off_mm[row])
        said.append(
            f"Row {row + 1} does not go with the others: its shock travel is {off} off. "
            "Measure it again, or take the row out."
        )
        if others:
            named = ", ".join(str(each + 1) for each in others)
            said.append(f"It may as well be row {named}.")
    if float(np.median(leverage)) < 1.0:
        said.append(
            "The shock moves further than the wheel: check which column is the wheel's, "
            "it comes first."
        )
    last = float(wheel.max())
    if last < enough_mm:
        said.append(
            f"The last {mm_in_text(travel_mm - last)} of wheel travel were not read: "
            "the curve is carried on."
        )
    return said


def _fine(value_mm: float) -> str:
    return figure_in_text(value_mm, Kind.LENGTH, signed=True, decimals=1)
