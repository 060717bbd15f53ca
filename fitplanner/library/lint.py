"""Slips in a machine profile that its figures show by themselves: units, rows, sums, signs.

Owns the usual ranges and the relations between figures; all are common practice, no source.
Refuses to solve the machine: what only springs under load show is found in planning. A finding
is a doubt with its likely mend, never a correction.
"""

from collections.abc import Callable, Iterator
from math import cos, radians, sin

import numpy as np
from numpy.typing import NDArray

from fitplanner.documents.base import Figure, Section, Source
from fitplanner.documents.machine import LeverageTable, MachineKind, MachineProfile
from fitplanner.library.slips.finding import Change, Finding, shown, worst_first
from fitplanner.mechanics.geometry import fork_offset_mm
from fitplanner.quantities import Kind

Band = tuple[float, float]
Floats = NDArray[np.float64]


def lint(profile: MachineProfile) -> tuple[Finding, ...]:
    """Everything odd in the figures of one profile, worst first."""
    rules: tuple[Callable[[MachineProfile], Iterator[Finding]], ...] = (
        _units,
        _masses,
        _steering,
        _rear,
        _leverage,
        _oil,
        _seat,
        _spreads,
    )
    return worst_first(finding for rule in rules for finding in rule(profile))


SLIPS: dict[Kind, tuple[tuple[str, float], ...]] = {
    Kind.LENGTH: (("in", 25.4), ("cm", 10.0)),
    Kind.MASS: (("lb", 0.45359237),),
    Kind.SPRING_RATE: (("lbf/in", 0.175126835), ("kgf/mm", 9.80665)),
    Kind.PRESSURE: (("bar", 100.0), ("psi", 6.894757)),
    Kind.CAPACITY: (("US gal", 3.785412),),
}
"""Units that get typed where the file wants mm, kg, N/mm, kPa, L; each with its factor."""

# Usual range of a full-size machine and of a child's.
_USUAL: dict[tuple[str, str], tuple[Band, Band]] = {
    ("masses", "front_unsprung_kg"): ((9.0, 24.0), (5.0, 12.0)),
    ("masses", "rear_unsprung_kg"): ((10.0, 32.0), (6.0, 14.0)),
    ("fork", "travel_mm"): ((140.0, 330.0), (80.0, 250.0)),
    ("fork", "preload_mm"): ((1.0, 45.0), (1.0, 40.0)),
    ("fork", "stanchion_showing_mm"): ((1.0, 50.0), (1.0, 40.0)),
    ("fork", "bump_gap_mm"): ((10.0, 100.0), (5.0, 80.0)),
    ("rear", "travel_mm"): ((140.0, 340.0), (80.0, 280.0)),
    ("rear", "spring_rate_n_mm"): ((30.0, 200.0), (15.0, 75.0)),
    ("rear", "preload_mm"): ((1.0, 35.0), (1.0, 30.0)),
    ("rear", "gas_pressure_kpa"): ((500.0, 1800.0), (300.0, 1500.0)),
    ("rear", "bump_length_mm"): ((3.0, 35.0), (2.0, 25.0)),
    ("rear", "bump_gap_mm"): ((10.0, 100.0), (5.0, 80.0)),
    ("seat", "edge_drop_mm"): ((12.0, 110.0), (8.0, 80.0)),
    ("seat", "foam_squash_mm"): ((5.0, 45.0), (3.0, 40.0)),
}
_USUAL_TOTAL_FORK_RATE = ((3.0, 20.0), (2.0, 11.0))
_USUAL_MASS_KG = {
    MachineKind.DUAL_SPORT: (100.0, 200.0),
    MachineKind.ADVENTURE: (130.0, 290.0),
    MachineKind.CHILD: (35.0, 85.0),
}
_USUAL_TANK_L = {MachineKind.ADVENTURE: (9.0, 35.0), MachineKind.CHILD: (1.5, 6.0)}
_FUEL_KG_PER_L = 0.75
_LIGHT_KG, _TANK_L = (85.0, 180.0), (4.0, 25.0)


def _units(profile: MachineProfile) -> Iterator[Finding]:
    child = profile.kind is MachineKind.CHILD
    bands = {key: pair[child] for key, pair in _USUAL.items()}
    low, high = _USUAL_TOTAL_FORK_RATE[child]
    legs = profile.fork.spring_legs
    bands["fork", "spring_rate_n_mm"] = (low / legs, high / legs)
    bands["masses", "running_order_kg"] = _USUAL_MASS_KG.get(profile.kind, _LIGHT_KG)
    bands["masses", "tank_l"] = _USUAL_TANK_L.get(profile.kind, _TANK_L)
    for (name, key), (low, high) in bands.items():
        section: Section = getattr(profile, name)
        spec = next(spec for spec in section.specs() if spec.key == key)
        value: float = getattr(section, key).value
        if value == 0 or low <= value <= high:
            continue
        text = (
            f"{spec.label}: {shown(value, spec.kind)} is unusual, "
            f"{shown(low, spec.kind)} to {shown(high, spec.kind)} is common."
        )
        for unit, factor in SLIPS.get(spec.kind, ()):
            if low <= value * factor <= high:
                enter = shown(value * factor, spec.kind)
                yield Finding(
                    f"{name}.{key}",
                    "caution",
                    text,
                    f"If it was read in {unit}, enter {enter}.",
                    (
                        Change(
                            (name, key),
                            value * factor,
                            f"read as {unit}: {value:g}",
                            f"{value:g} {unit}",
                        ),
                    ),
                    f"Take as {unit}: {enter}",
                )
                break
        else:
            mend = "Check the figure and its unit where it was read."
            yield Finding(f"{name}.{key}", "caution", text, mend)


def _masses(profile: MachineProfile) -> Iterator[Finding]:
    m = profile.masses
    total, front = m.running_order_kg.value, m.front_unsprung_kg.value
    fuel = m.tank_l.value * m.running_order_fuel_share.value * _FUEL_KG_PER_L
    parts = front + m.rear_unsprung_kg.value + fuel
    if parts > 0.55 * total:
        yield Finding(
            "masses.running_order_kg",
            "stop" if parts >= total else "caution",
            f"Wheels and fuel come to {shown(parts, Kind.MASS)} of a machine of "
            f"{shown(total, Kind.MASS)}; little or nothing is left for the rest.",
            "Check the mass in running order, both unsprung masses and the tank.",
        )
    if m.running_order_fuel_share.value < 0.5:
        yield Finding(
            "masses.running_order_fuel_share",
            "note",
            "The mass in running order is stated with a tank less than half full.",
            "If the data sheet gives a dry mass, say 0 % here; else running order means 90 %.",
        )
    if m.payload_kg.value < (35.0 if profile.kind is MachineKind.CHILD else 80.0):
        yield Finding(
            "masses.payload_kg",
            "caution",
            f"A payload of {shown(m.payload_kg.value, Kind.MASS)} carries no rider with gear.",
            "Payload is permitted total mass less mass in running order; take both from the plate.",
        )


_USUAL_OFFSET_MM = ((30.0, 85.0), (15.0, 70.0))


def _steering(profile: MachineProfile) -> Iterator[Finding]:
    c, radius = profile.catalogue, profile.wheels.front_radius_mm.value
    rake = radians(c.rake_deg.value)
    offset = float(fork_offset_mm(wheel_radius_mm=radius, rake_rad=rake, trail_mm=c.trail_mm.value))
    low, high = _USUAL_OFFSET_MM[profile.kind is MachineKind.CHILD]
    if low <= offset <= high:
        return
    least, most = ((radius * sin(rake) - d) / cos(rake) for d in (high, low))
    yield Finding(
        "catalogue.trail_mm",
        "stop" if offset < 0 else "caution",
        f"Rake {shown(c.rake_deg.value, Kind.ANGLE)} and trail {shown(c.trail_mm.value)} put the "
        f"front axle {shown(offset)} ahead of the steering axis; {shown(low)} to {shown(high)} "
        "is common.",
        f"With this rake and tyre the trail lies between {shown(least)} and {shown(most)}; "
        "rake is measured from the vertical.",
    )


def _rear(profile: MachineProfile) -> Iterator[Finding]:
    rear, base = profile.rear, profile.catalogue.wheelbase_mm.value
    arm, rise = rear.arm_length_mm.value, rear.pivot_height_mm.value
    hangs = rise - profile.wheels.rear_radius_mm.value
    if abs(hangs) >= arm:
        yield Finding(
            "rear.pivot_height_mm",
            "stop",
            f"The swing-arm of {shown(arm)} cannot reach from a pivot at {shown(rise)} to the "
            "axle.",
            "Measure pivot to axle and pivot to ground again.",
        )
    elif not -0.10 * arm <= hangs <= 0.42 * arm:
        yield Finding(
            "rear.pivot_height_mm",
            "caution",
            f"The pivot lies {shown(hangs)} above the rear axle, much for a swing-arm of "
            f"{shown(arm)}.",
            "Measure the pivot from the ground in the state that the catalogue names.",
        )
    if not 0.33 <= arm / base <= 0.48:
        yield Finding(
            "rear.arm_length_mm",
            "caution",
            f"A swing-arm of {shown(arm)} is {arm / base:.2f} of the wheelbase; 0.33 to 0.48 "
            "is common.",
            "Measure from the middle of the pivot to the middle of the axle.",
        )
    front, back = profile.fork.travel_mm.value, rear.travel_mm.value
    if not 0.65 <= front / back <= 1.5:
        key = "fork.travel_mm" if front < back else "rear.travel_mm"
        yield Finding(
            key,
            "caution",
            f"Travel is {shown(front)} at the fork but {shown(back)} at the rear wheel.",
            "One of them may be incomplete: the rear travel is the wheel's, not the shock's.",
        )


def _leverage(profile: MachineProfile) -> Iterator[Finding]:
    linkage, key = profile.rear.linkage, "rear.linkage.leverage"
    if not isinstance(linkage, LeverageTable):
        return
    y, ratio = np.array(linkage.wheel_travel_mm), np.array(linkage.leverage)
    if np.all(ratio < 1):
        yield Finding(
            key,
            "stop",
            f"A leverage of {ratio[0]:.3g} reads like shock travel per wheel travel.",
            f"Enter wheel travel per shock travel, here {1 / ratio[0]:.3g}.",
        )
        return
    if ratio.min() < 1.7 or ratio.max() > 4.2:
        yield Finding(
            key,
            "caution",
            f"Leverage runs from {ratio.min():.2f} to {ratio.max():.2f}; 2 to 4 is common.",
            "Leverage is wheel travel per shock travel; check the table.",
        )
    yield from _rough(y, ratio)
    travel = profile.rear.travel_mm.value
    if y[-1] > 1.15 * travel:
        yield Finding(
            "rear.travel_mm",
            "caution",
            f"The leverage table goes to {shown(y[-1])} but the rear wheel travel is "
            f"{shown(travel)}.",
            "One of them is another machine's or incomplete; bottom the wheel and measure.",
        )
    if ratio[-1] > 1.02 * ratio[0]:
        yield Finding(
            key,
            "note",
            "The leverage rises through the travel, so the rear gets softer as it sinks.",
            "Check that the table is not upside down.",
        )


_LEAST_ROWS = 5
_ROUGH = 0.02


def _rough(y: Floats, ratio: Floats) -> Iterator[Finding]:
    """The row without which a smooth line fits best, where it lies off that line."""
    if len(y) < _LEAST_ROWS:
        return
    t = y / y[-1]
    degree = min(3, len(y) - 3)
    odd, expected, rest = 0, float(ratio[0]), np.inf
    for row in range(len(y)):
        others = np.arange(len(y)) != row
        line = np.polynomial.Polynomial.fit(t[others], ratio[others], degree)
        off = float(np.max(np.abs(line(t[others]) - ratio[others])))
        if off < rest:
            odd, expected, rest = row, float(line(t[row])), off
    key = f"rear.linkage.leverage.{odd + 1}"
    if rest > _ROUGH * ratio.mean():
        yield Finding(
            "rear.linkage.leverage",
            "caution",
            "The leverage table is not smooth; a linkage always is.",
            "Plot it; measure again in equal steps of wheel travel.",
        )
    elif abs(ratio[odd] - expected) > max(_ROUGH * expected, 4 * rest):
        yield Finding(
            key,
            "caution",
            f"The leverage table jumps at row {odd + 1}: {ratio[odd]:.2f} at {shown(y[odd])}.",
            f"The other rows suggest {expected:.2f}.",
        )


def _oil(profile: MachineProfile) -> Iterator[Finding]:
    f = profile.fork
    air = f.air_volume_bottomed_ml.value
    squeezed = 1 + f.displaced_area_mm2.value * f.travel_mm.value * 1e-3 / air
    if not 2.5 <= squeezed <= 12:
        yield Finding(
            "fork.air_volume_bottomed_ml",
            "caution",
            f"The air in a fork leg is squeezed {squeezed:.1f} times; 3 to 9 is common.",
            "Air and displaced area are of one leg; air is what is left bottomed, spring in.",
        )
    over_oil = f.oil_level_mm.value * f.oil_surface_mm2.value * 1e-3
    if over_oil < air:
        yield Finding(
            "fork.oil_level_mm",
            "caution",
            f"Over the oil there is room for {shown(over_oil, Kind.VOLUME)} with the spring out, "
            f"less than the {shown(air, Kind.VOLUME)} of air with it in.",
            "Check the oil level, the free oil surface and the air left when bottomed.",
        )


def _seat(profile: MachineProfile) -> Iterator[Finding]:
    seat, height = profile.seat, profile.catalogue.seat_height_mm.value
    if seat.arc_mm is not None:
        excess = seat.arc_mm.value / 2 - height
        if not 15 <= excess <= 170:
            yield Finding(
                "seat.arc_mm",
                "stop" if excess < 0 else "caution",
                f"Half the inside-leg arc is {shown(excess)} more than the seat height.",
                "The arc goes from the ground over the seat to the ground, whole, in the state "
                "of the seat height.",
            )
    along = seat.x_mm.value / profile.catalogue.wheelbase_mm.value
    if not 0.25 <= along <= 0.55:
        yield Finding(
            "seat.x_mm",
            "caution",
            f"The seat point lies at {along:.2f} of the wheelbase; 0.30 to 0.45 is common.",
            "Count it from the rear axle forward to where the rider sits when stopped.",
        )
    if seat.foam_squash_mm.value > seat.foam_mm.value:
        yield Finding(
            "seat.foam_squash_mm",
            "caution",
            "The foam gives more than its thickness.",
            "Check both figures of the foam.",
        )


def _spreads(profile: MachineProfile) -> Iterator[Finding]:
    """Readings and estimates that claim to be exact."""
    exact = []
    for name in type(profile).model_fields:
        section = getattr(profile, name)
        if not isinstance(section, Section):
            continue
        for spec in section.specs():
            figure = getattr(section, spec.key)
            if (
                isinstance(figure, Figure)
                and figure.spread == 0
                and figure.value != 0
                and figure.source in (Source.MEASURED, Source.ESTIMATED)
            ):
                exact.append((f"{name}.{spec.key}", spec.label))
    if exact:
        yield Finding(
            exact[0][0],
            "note",
            f"Read or estimated, but without a spread: {', '.join(label for _, label in exact)}.",
            "Say how far three readings differ; without it the plan's band is too narrow.",
        )
