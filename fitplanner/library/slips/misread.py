"""How a figure gets misread: what it may have been meant to be.

Owns the slips of the pen and of units, each as the change that would mend it and with how seldom
it is (common practice, no source). Refuses to say which one it was.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import pairwise
from math import atan, degrees
from typing import Any

from fitplanner.documents.machine import CatalogueState, LeverageTable, LinkagePoints
from fitplanner.library.slips.chassis import trail_of_offset_mm
from fitplanner.library.slips.joints import displaced
from fitplanner.library.slips.leverage import LINKAGE, retyped
from fitplanner.library.slips.sign import SPECS, Plain, said
from fitplanner.quantities import Kind
from fitplanner.quantities.units import (
    KG_PER_POUND,
    KPA_PER_PSI,
    L_PER_US_GALLON,
    MM_PER_INCH,
    N_PER_MM_PER_LBF_PER_IN,
    NEWTON_PER_KGF,
    NEWTON_PER_LBF,
)


@dataclass(frozen=True)
class Misreading:
    """What may have been meant.

    Attributes:
        key: the figure that a finding is told at, with the row of a table.
        values: the new values by section and field.
        mend: the sentence, figures as tokens; `action` what the button says.
        read: how the old value is read now; `typed` the text of the new one.
        seldom: how seldom it is, as a square of distances like `Sign.unlikely`.
    """

    key: str
    values: dict[str, Any]
    mend: str
    action: str
    read: str
    typed: str = ""
    seldom: float = 0.0


UNITS: dict[Kind, tuple[tuple[str, str, float], ...]] = {
    Kind.LENGTH: (("in", "inches", MM_PER_INCH), ("cm", "cm", 10.0)),
    Kind.MASS: (("lb", "lb", KG_PER_POUND),),
    Kind.SPRING_RATE: (
        ("lbf/in", "lbf/in", N_PER_MM_PER_LBF_PER_IN),
        ("kgf/mm", "kgf/mm", NEWTON_PER_KGF),
    ),
    Kind.PRESSURE: (("bar", "bar", 100.0), ("psi", "psi", KPA_PER_PSI)),
    Kind.CAPACITY: (("US gal", "US gallons", L_PER_US_GALLON),),
    Kind.FORCE: (("kgf", "kgf", NEWTON_PER_KGF), ("lbf", "lbf", NEWTON_PER_LBF)),
}
"""Units that get typed where the file wants mm, kg, N/mm, kPa, L, N: symbol, name, factor."""

_CANONICAL = {
    Kind.LENGTH: "mm",
    Kind.MASS: "kg",
    Kind.SPRING_RATE: "N/mm",
    Kind.CAPACITY: "L",
    Kind.FORCE: "N",
    Kind.PRESSURE: "kPa",
}

_HALVES = {
    "rear.rod_diameter_mm": "it is the radius",
    "fork.stanchion_diameter_mm": "it is the radius",
    "controls.peg_y_mm": "it is to the middle of the peg",
    "seat.width_mm": "it is half the width",
    "seat.lower_seat_width_mm": "it is half the width",
    "seat.arc_mm": "it is half the arc",
    "fork.spring_rate_n_mm": "it is half the rate",
}
_DOUBLES = {
    "wheels.front_radius_mm": "it is the diameter",
    "wheels.rear_radius_mm": "it is the diameter",
    "controls.peg_y_mm": "it is the width over both pegs",
    "fork.displaced_area_mm2": "it is the area of both legs",
    "fork.air_volume_bottomed_ml": "it is the air of both legs",
    "fork.oil_surface_mm2": "it is the surface of both legs",
    "fork.oil_volume_ml": "it is the oil of both legs",
    "fork.kit_oil_volume_ml": "it is the oil of both legs",
    "fork.spring_rate_n_mm": "it is the rate of both springs together",
}
_FROM_FRONT = (
    "seat.x_mm",
    "controls.peg_x_mm",
    "controls.bar_x_mm",
    "controls.low_point_x_mm",
    "masses.tank_x_mm",
    "stand.pivot_x_mm",
)
_SWAPS = (
    ("fork.travel_mm", "rear.travel_mm"),
    ("fork.spring_rate_n_mm", "rear.spring_rate_n_mm"),
    ("fork.spring_free_mm", "rear.spring_free_mm"),
    ("fork.spring_solid_mm", "rear.spring_solid_mm"),
    ("fork.preload_mm", "rear.preload_mm"),
    ("fork.spring_free_mm", "fork.spring_solid_mm"),
    ("rear.spring_free_mm", "rear.spring_solid_mm"),
    ("fork.preload_min_mm", "fork.preload_max_mm"),
    ("rear.preload_min_mm", "rear.preload_max_mm"),
    ("wheels.front_radius_mm", "wheels.rear_radius_mm"),
    ("wheels.front_section_mm", "wheels.rear_section_mm"),
    ("masses.front_unsprung_kg", "masses.rear_unsprung_kg"),
    ("controls.bar_x_mm", "controls.bar_z_mm"),
    ("controls.peg_x_mm", "controls.peg_z_mm"),
    ("lamps.headlamp_x_mm", "lamps.headlamp_z_mm"),
    ("stand.pivot_y_mm", "stand.pivot_z_mm"),
    ("seat.foam_mm", "seat.foam_squash_mm"),
    ("seat.width_mm", "seat.lower_seat_width_mm"),
)
_SIGNS = ("lamps.plate_x_mm",)
_STATES = {
    CatalogueState.EXTENDED: "with the wheels hanging",
    CatalogueState.ON_WHEELS: "on its wheels",
    CatalogueState.RIDER_UP: "with a rider",
}
_DIGITS_MATTER = 0.1
_UNIT, _WRONG_WAY, _POINT, _PART, _SWAP, TWO_DIGITS = 0.0, 2.0, 3.0, 1.0, 1.0, 6.0


def misreadings(v: Plain, key: str) -> Iterator[Misreading]:
    """What the figure at `key` may have been meant to be, with others that go along."""
    if key in SPECS:
        yield from _units(v, key)
        yield from _parts(v, key)
        yield from _point(v, key)
    yield from _swapped(v, key)
    if key == LINKAGE and isinstance(v[key], LeverageTable):
        for each in retyped(v[key]):
            yield Misreading(
                each.key, {key: each.table}, each.mend, each.action, each.read, seldom=_PART
            )
    if key == LINKAGE and isinstance(v[key], LinkagePoints):
        for moved in displaced(v):
            yield Misreading(
                moved.key, {key: moved.drawn}, moved.mend, moved.action, moved.read, seldom=_POINT
            )
    if key == "fork.spring_legs":
        yield _legs(v[key])
    if key == "catalogue.state":
        yield from _states(v[key])
    if key == "catalogue.trail_mm" and v[key] < 75:
        meant = trail_of_offset_mm(v, v[key])
        offset = _figure(key, meant, "it is the fork's offset and not the trail", v[key], _PART)
        yield replace(offset, action=f"Take as the fork's offset: trail {said(key, meant)}")
    if key == "rear.travel_mm" and isinstance(v[LINKAGE], LeverageTable):
        last = v[LINKAGE].wheel_travel_mm[-1]
        if last > 1.5 * v[key]:
            yield _figure(key, last, "it is the shock's travel and not the wheel's", v[key], _PART)


def _units(v: Plain, key: str) -> Iterator[Misreading]:
    kind, value = SPECS[key].kind, v[key]
    own = _CANONICAL.get(kind, "")
    for symbol, name, factor in UNITS.get(kind, ()):
        meant = _digits(value * factor)
        yield _unit(key, meant, symbol, name, f"{value:.6g}", _UNIT)
        meant = _digits(value / factor)
        if symbol == "in" or kind is not Kind.LENGTH:
            enter = said(key, meant)
            yield Misreading(
                key,
                {key: meant},
                f"If a figure in {own} was taken as {name}, enter {enter}.",
                f"Enter {enter}",
                f"read as {own}: {meant:.6g}",
                f"{meant:.6g} {own}",
                _WRONG_WAY,
            )
    if kind in (Kind.PERCENT, Kind.ANGLE) and key != "masses.front_share":
        if kind is Kind.PERCENT:
            yield _figure(key, value * 100, "it is a share of 1 and not per cent", value, _UNIT)
        else:
            meant = degrees(atan(value / 100))
            yield _figure(key, meant, "it is a slope in per cent and not degrees", value, _PART)
            meant = 90 - value
            yield _figure(key, meant, "it was read from the other axis", value, _PART)


def _parts(v: Plain, key: str) -> Iterator[Misreading]:
    value = v[key]
    if key in _HALVES:
        yield _figure(key, value * 2, _HALVES[key], value, _PART)
    if key in _DOUBLES:
        yield _figure(key, value / 2, _DOUBLES[key], value, _PART)
    if key in _FROM_FRONT:
        meant = v["catalogue.wheelbase_mm"] - value
        yield _figure(key, meant, "it was counted from the front axle", value, _PART)
    if key in _SIGNS:
        yield _figure(key, -value, "its sign was left out", value, _PART)


def _point(v: Plain, key: str) -> Iterator[Misreading]:
    for meant in (v[key] * 10, v[key] / 10):
        yield _figure(key, meant, "its decimal mark is one place off", v[key], _POINT)


def exchanged_digits(v: Plain, key: str) -> Iterator[Misreading]:
    """Two neighbouring digits exchanged: of many figures some such value would do.

    So it is asked only of a figure that is doubted first.
    """
    value = v[key]
    # Digits are exchanged in what was typed, and a share is typed in per cent.
    typed_as = 100.0 if SPECS[key].kind is Kind.PERCENT else 1.0
    text = f"{abs(value) * typed_as:.6g}"
    for place, (one, two) in enumerate(pairwise(text)):
        leads = not text[:place].strip("0.")
        if one == two or not (one.isdigit() and two.isdigit()) or (leads and "0" in (one, two)):
            continue
        swapped = float(text[:place] + two + one + text[place + 2 :]) / typed_as
        if swapped and abs(swapped / abs(value) - 1) > _DIGITS_MATTER:
            meant = swapped if value > 0 else -swapped
            yield _figure(key, meant, "two digits were exchanged", value, TWO_DIGITS)


def mistyped_digits(v: Plain, key: str) -> Iterator[float]:
    """What the figure would be with one digit another one: of many figures some would do.

    So it is never offered, but speaks against exchanged digits where it fits better.
    """
    typed_as = 100.0 if SPECS[key].kind is Kind.PERCENT else 1.0
    text = f"{abs(v[key]) * typed_as:.3g}"
    for place, digit in enumerate(text):
        if not digit.isdigit():
            continue
        for other in "0123456789":
            if other != digit:
                meant = float(text[:place] + other + text[place + 1 :]) / typed_as
                yield meant if v[key] > 0 else -meant


def _swapped(v: Plain, key: str) -> Iterator[Misreading]:
    for pair in _SWAPS:
        if key in pair and all(each in v for each in pair):
            one, two = pair
            labels = " and ".join(SPECS[each].label for each in pair)
            mend = f"{labels} may have been exchanged: {said(one, v[two])} and {said(two, v[one])}."
            yield Misreading(
                one if key == one else two,
                {one: v[two], two: v[one]},
                mend,
                "Exchange both figures",
                "exchanged",
                seldom=_SWAP,
            )


def _legs(legs: int) -> Misreading:
    other = 3 - legs
    one = other == 1
    return Misreading(
        "fork.spring_rate_n_mm",
        {"fork.spring_legs": other},
        "Perhaps only one leg holds a spring." if one else "Perhaps both legs hold a spring.",
        "One leg holds a spring" if one else "Both legs hold a spring",
        "",
        seldom=_UNIT,
    )


def _states(state: CatalogueState) -> Iterator[Misreading]:
    for other, words in _STATES.items():
        if other is not state:
            yield Misreading(
                "catalogue.state",
                {"catalogue.state": other},
                f"The figures fit a machine measured {words}; if it was not, check those of the "
                "side-stand and the ground clearance.",
                f"Taken {words}",
                "",
                seldom=_PART,
            )


def _unit(key: str, meant: float, symbol: str, name: str, number: str, seldom: float) -> Misreading:
    enter = said(key, meant)
    return Misreading(
        key,
        {key: meant},
        f"If it was read in {name}, enter {enter}.",
        f"Take as {name}: {enter}",
        f"read as {symbol}: {number}",
        f"{number} {symbol}",
        seldom,
    )


def _digits(value: float) -> float:
    """As many digits as anybody writes."""
    return float(f"{value:.6g}")


def _figure(key: str, meant: float, clause: str, value: float, seldom: float) -> Misreading:
    meant = _digits(meant)
    enter = said(key, meant)
    return Misreading(
        key,
        {key: meant},
        f"If {clause}, enter {enter}.",
        f"Enter {enter}",
        f"was {value:.6g}: {clause}",
        seldom=seldom,
    )
