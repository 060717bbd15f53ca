"""What is usual of a leverage table, and how one gets mistyped.

Owns level, course and smoothness of the table; ranges are common practice, no source. Refuses
joints: a linkage drawn by its joints is smooth by itself, and what it does shows when solved.
"""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from fitplanner.documents.machine import LeverageTable
from fitplanner.library.slips.finding import shown
from fitplanner.library.slips.sign import Plain, Sign

LINKAGE = "rear.linkage"
_KEY = "rear.linkage.leverage"
LEVEL = (1.75, 4.1)
"""Leverage on the mean that is usual."""
_COURSE = (0.5, 1.04)
_LEAST_ROWS = 5
_ROUGH = 0.02


@dataclass(frozen=True)
class _Odd:
    """The row without which a smooth line fits best.

    `off`: how far it lies off that line; `rest`: how far the others do; both as leverage.
    """

    row: int
    expected: float
    off: float
    rest: float

    @property
    def jumps(self) -> bool:
        return self.off > max(_ROUGH * self.expected, 4 * self.rest)


def leverage(v: Plain) -> Iterator[Sign]:
    """Level, course, smoothness and length of a leverage table."""
    table = v[LINKAGE]
    if not isinstance(table, LeverageTable):
        return
    ratio = np.array(table.leverage)
    mean, course = float(np.exp(np.mean(np.log(ratio)))), float(ratio[-1] / ratio[0])
    yield Sign(
        "leverage level",
        _KEY,
        (LINKAGE, "rear.leverage_factor"),
        mean,
        *LEVEL,
        f"Leverage runs from {ratio.min():.2f} to {ratio.max():.2f}; 2 to 4 is common.",
        "Leverage is wheel travel per shock travel; check the table.",
        "stop" if np.all(ratio < 1) else "caution",
    )
    yield Sign(
        "leverage course",
        _KEY,
        (LINKAGE,),
        course,
        *_COURSE,
        "The leverage rises through the travel, so the rear gets softer as it sinks."
        if course > 1
        else f"The leverage falls from {ratio[0]:.2f} to {ratio[-1]:.2f}; that is much.",
        "Check the order of the table, and its first and last row.",
    )
    yield from _smooth(table)
    last, travel = table.wheel_travel_mm[-1], v["rear.travel_mm"]
    yield Sign(
        "table over travel",
        "rear.travel_mm",
        ("rear.travel_mm", LINKAGE),
        last / travel,
        0.9999,
        1.16,
        f"The leverage table goes to {shown(last)} but the rear wheel travel is {shown(travel)}.",
        "One of them is another machine's or incomplete; bottom the wheel and measure.",
    )


def _smooth(table: LeverageTable) -> Iterator[Sign]:
    odd = odd_row(table)
    if odd is None:
        return
    ratio = np.array(table.leverage)
    if odd.rest > _ROUGH * ratio.mean() or not odd.jumps:
        yield Sign(
            "leverage smooth",
            _KEY,
            (LINKAGE,),
            odd.rest / ratio.mean(),
            -_ROUGH,
            _ROUGH,
            "The leverage table is not smooth; a linkage always is.",
            "Plot it; measure again in equal steps of wheel travel.",
            linear=True,
        )
        return
    yield Sign(
        "leverage smooth",
        f"{_KEY}.{odd.row + 1}",
        (LINKAGE,),
        odd.off / odd.expected,
        -_ROUGH,
        _ROUGH,
        f"The leverage table jumps at row {odd.row + 1}: {ratio[odd.row]:.2f} at "
        f"{shown(table.wheel_travel_mm[odd.row])}.",
        f"The other rows suggest {odd.expected:.2f}.",
        linear=True,
    )


def odd_row(table: LeverageTable) -> _Odd | None:
    """The row that fits least to the others; None where the table is too short to tell."""
    y, ratio = np.array(table.wheel_travel_mm), np.array(table.leverage)
    if len(y) < _LEAST_ROWS:
        return None
    t = y / y[-1]
    degree = min(3, len(y) - 3)
    odd = _Odd(0, float(ratio[0]), 0.0, float(np.inf))
    for row in range(len(y)):
        others = np.arange(len(y)) != row
        line: NDArray[np.float64] = np.polynomial.polynomial.polyfit(
            t[others], ratio[others], degree
        )
        at = np.polynomial.polynomial.polyval(t, line)
        rest = float(np.max(np.abs((at - ratio)[others])))
        if rest < odd.rest:
            odd = _Odd(row, float(at[row]), abs(float(ratio[row] - at[row])), rest)
    return odd


@dataclass(frozen=True)
class Retyped:
    """The table as it may have been meant: what the mend is called and says."""

    table: LeverageTable
    key: str
    mend: str
    action: str
    read: str


def retyped(table: LeverageTable) -> Iterator[Retyped]:
    """Tables that may have been meant: the inverse, turned round, one row as the others suggest."""
    ratio = table.leverage
    if all(0.3 <= 1 / each <= 8 for each in ratio):
        yield Retyped(
            _with(table, [1 / each for each in ratio]),
            _KEY,
            f"A leverage of {ratio[0]:.3g} reads like shock travel per wheel travel; wheel travel "
            f"per shock travel is {1 / ratio[0]:.3g}.",
            "Take as shock travel per wheel travel",
            "read as shock travel per wheel travel",
        )
    yield Retyped(
        _with(table, ratio[::-1]),
        _KEY,
        "The table may be upside down: the first row belongs to the hanging wheel.",
        "Turn the leverage round",
        "turned round",
    )
    odd = odd_row(table)
    if odd is not None and odd.jumps:
        expected = round(odd.expected, 3)
        yield Retyped(
            _with(table, [*ratio[: odd.row], expected, *ratio[odd.row + 1 :]]),
            f"{_KEY}.{odd.row + 1}",
            f"The other rows suggest {odd.expected:.2f}.",
            f"Enter {odd.expected:.2f} in row {odd.row + 1}",
            f"row {odd.row + 1} read as {expected:g}: {ratio[odd.row]:g}",
        )


def _with(table: LeverageTable, leverage: list[float]) -> LeverageTable:
    return LeverageTable(wheel_travel_mm=table.wheel_travel_mm, leverage=leverage)
