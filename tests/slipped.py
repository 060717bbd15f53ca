"""Sound profiles, and the same with one slip planted in each.

Sound ones: the shipped machines with every figure drawn about its value within its spread, or
machines made up from scratch (`tests.invented`), or both with all but the catalogue page by rule.

Planted is what somebody mistypes or misreads (`KINDS`), in every figure where the file takes the
result at all. Left out is what nobody can see: figures that may be anything (`UNSEEN`), pounds of
force taken for newtons (stiction alone is a force, and differs fivefold between machines), digits
exchanged where the figure hardly changes or nothing pins it down, ends that are as good as equal.
A figure that is wrong by a few per cent is never planted: its spread hides it.
Factors of units: the inch and the pound are exact by definition, so is the standard gravity;
NIST SP 811, appendix B, from memory.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from itertools import pairwise
from math import cos, radians, sin, tan
from typing import Any

import numpy as np
from numpy.random import Generator
from pydantic import ValidationError

from fitplanner.documents.base import Figure, FigureSpec, Section
from fitplanner.documents.errors import DocumentError
from fitplanner.documents.machine import CatalogueState, LeverageTable, MachineProfile
from fitplanner.library.loader import load_library
from fitplanner.library.rules import load_rules
from fitplanner.library.slips.finding import Finding, mended
from fitplanner.library.stages import CATALOGUE
from fitplanner.quantities import Kind
from tests.invented import invented

Key = tuple[str, str]
LINKAGE, LEVERAGE = ("rear", "linkage"), ("rear", "leverage_factor")
Changes = dict[Key, Any]


@dataclass(frozen=True)
class Planted:
    """One slip: its kind, the figures that it stands in, the profile before and after."""

    kind: str
    keys: tuple[Key, ...]
    true: MachineProfile
    slipped: MachineProfile


def sound(count: int, *, seed: int) -> list[MachineProfile]:
    """Variations of the shipped machines."""
    chance = np.random.default_rng(seed)
    profiles = list(load_library().profiles.values())
    found: list[MachineProfile] = []
    while len(found) < count:
        try:
            found.append(_moved(profiles[len(found) % len(profiles)], chance))
        except ValidationError:
            continue
    return found


def made_up(count: int, *, seed: int) -> list[MachineProfile]:
    """Machines made up from scratch."""
    return invented(count, seed=seed)


def sheet_only(count: int, *, seed: int) -> list[MachineProfile]:
    """Machines of which only the catalogue page is known; every other figure is by rule."""
    rules = load_rules()
    found: list[MachineProfile] = []
    for true in [*sound(count // 2, seed=seed), *invented(count - count // 2, seed=seed)]:
        sections = {}
        for name, section in _sections(true):
            unknown = [
                spec.key for spec in section.specs() if (name, spec.key) not in CATALOGUE.figures
            ]
            by_rule = {
                key: None if rule is None else getattr(section, key).replace(rule=rule.key)
                for key in unknown
                if getattr(section, key) is not None
                for rule in (rules.for_((name, key)),)
            }
            sections[name] = section.replace(**by_rule)
        found.append(rules.fill(true.replace(**sections)))
    return found


def _moved(profile: MachineProfile, chance: Generator) -> MachineProfile:
    """Every figure drawn within two spreads; the travel stays within the leverage table."""
    sections = {}
    for name, section in _sections(profile):
        moved = {}
        for spec in section.specs():
            figure = getattr(section, spec.key)
            if isinstance(figure, Figure) and figure.spread > 0:
                normal = float(np.clip(chance.standard_normal(), -2, 2))
                value = figure.value + figure.spread * normal
                moved[spec.key] = figure.replace(value=float(np.clip(value, spec.low, spec.high)))
        linkage = getattr(section, "linkage", None)
        if isinstance(linkage, LeverageTable):
            last = linkage.wheel_travel_mm[-1]
            travel = moved["travel_mm"]
            moved["travel_mm"] = travel.replace(value=min(travel.value, last))
        sections[name] = section.replace(**moved)
    return profile.replace(**sections)


def _sections(profile: MachineProfile) -> Iterator[tuple[str, Section]]:
    for name in type(profile).model_fields:
        section = getattr(profile, name)
        if isinstance(section, Section):
            yield name, section


def _figures(profile: MachineProfile) -> Iterator[tuple[Key, FigureSpec, float]]:
    for name, section in _sections(profile):
        for spec in section.specs():
            figure = getattr(section, spec.key)
            if isinstance(figure, Figure) and figure.value != 0:
                yield (name, spec.key), spec, figure.value


UNSEEN: dict[Key, str] = {
    ("controls", "feet_ahead_mm"): "anything from behind the hips to far ahead may be true",
    ("chain", "sprocket_above_mm"): "a few millimetres about nothing, either way",
    ("fork", "stanchion_showing_mm"): "anything from flush to some centimetres may be true",
    ("stand", "foot_ahead_mm"): "anything from under the pivot to far ahead may be true",
    ("masses", "front_share"): "so near to one half that the other wheel's share looks as true",
    ("rear", "leverage_factor"): "one, unless somebody measured; nobody types it",
    ("catalogue", "rider_mass_kg"): "counts only where the state has a rider",
}

PINNED: set[Key] = {
    ("fork", "travel_mm"),
    ("fork", "spring_rate_n_mm"),
    ("fork", "spring_free_mm"),
    ("fork", "displaced_area_mm2"),
    ("rear", "travel_mm"),
    ("rear", "arm_length_mm"),
    ("rear", "pivot_height_mm"),
    ("rear", "spring_rate_n_mm"),
    ("rear", "spring_free_mm"),
    ("masses", "running_order_kg"),
    ("masses", "front_unsprung_kg"),
    ("masses", "mass_height_mm"),
    ("wheels", "front_section_mm"),
    ("seat", "x_mm"),
    ("controls", "peg_x_mm"),
    ("controls", "peg_z_mm"),
    ("controls", "bar_x_mm"),
    ("stand", "pivot_x_mm"),
    ("stand", "length_mm"),
    ("stand", "pivot_z_mm"),
}
"""Figures for which others leave less room than half their size."""

_UNITS: dict[str, tuple[Kind, float]] = {
    "inches as mm": (Kind.LENGTH, 1 / 25.4),
    "cm as mm": (Kind.LENGTH, 0.1),
    "mm as inches": (Kind.LENGTH, 25.4),
    "lb as kg": (Kind.MASS, 1 / 0.45359237),
    "kg as lb": (Kind.MASS, 0.45359237),
    "lbf/in as N/mm": (Kind.SPRING_RATE, 1 / 0.1751268),
    "N/mm as lbf/in": (Kind.SPRING_RATE, 0.1751268),
    "kgf/mm as N/mm": (Kind.SPRING_RATE, 1 / 9.80665),
    "N/mm as kgf/mm": (Kind.SPRING_RATE, 9.80665),
    "bar as kPa": (Kind.PRESSURE, 0.01),
    "psi as kPa": (Kind.PRESSURE, 1 / 6.894757),
    "US gal as L": (Kind.CAPACITY, 1 / 3.785412),
    "L as US gal": (Kind.CAPACITY, 3.785412),
    "kgf as N": (Kind.FORCE, 1 / 9.80665),
}


def _typed(value: float) -> float:
    """As somebody writes it: four digits."""
    return float(f"{value:.4g}")


def _unit(name: str) -> Callable[[MachineProfile, Generator], Iterator[Changes]]:
    kind, factor = _UNITS[name]

    def plant(profile: MachineProfile, _: Generator) -> Iterator[Changes]:
        for key, spec, value in _figures(profile):
            if spec.kind is kind and key not in UNSEEN:
                yield {key: _typed(value * factor)}

    return plant


def _point(profile: MachineProfile, _: Generator) -> Iterator[Changes]:
    for key, _spec, value in _figures(profile):
        if key not in UNSEEN:
            yield {key: _typed(value * 10)}
            yield {key: _typed(value / 10)}


def _digits(profile: MachineProfile, _: Generator) -> Iterator[Changes]:
    """Two neighbouring digits exchanged, where that changes the figure by half or more.

    Only in figures that others pin down: a gap, a rubber or foam may be half as large again.
    """
    for key, _spec, value in _figures(profile):
        if key not in PINNED:
            continue
        text = f"{abs(value):.3g}"
        for place, (one, two) in enumerate(pairwise(text)):
            if one.isdigit() and two.isdigit():
                swapped = float(text[:place] + two + one + text[place + 2 :])
                if abs(swapped / abs(value) - 1) >= 0.5:
                    yield {key: swapped if value > 0 else -swapped}


def _each(**factors: float) -> Callable[[MachineProfile, Generator], Iterator[Changes]]:
    def plant(profile: MachineProfile, _: Generator) -> Iterator[Changes]:
        for name, factor in factors.items():
            section, _, field = name.partition("__")
            figure = getattr(getattr(profile, section), field)
            if figure is not None:
                yield {(section, field): figure.value * factor}

    return plant


def _share(profile: MachineProfile, _: Generator) -> Iterator[Changes]:
    for key in (("masses", "running_order_fuel_share"), ("lamps", "dip_percent")):
        yield {key: getattr(getattr(profile, key[0]), key[1]).value / 100}


def _slope(profile: MachineProfile, _: Generator) -> Iterator[Changes]:
    angle = profile.stand.angle_deg.value
    yield {("stand", "angle_deg"): _typed(100 * tan(radians(angle)))}


def _swap(*pairs: tuple[Key, Key]) -> Callable[[MachineProfile, Generator], Iterator[Changes]]:
    def plant(profile: MachineProfile, _: Generator) -> Iterator[Changes]:
        for one, two in pairs:
            here, there = (getattr(getattr(profile, key[0]), key[1]).value for key in (one, two))
            # Two ends within 3 % of each other are as true either way.
            if abs(here / there - 1) > 0.03:
                yield {one: there, two: here}

    return plant


def _from_front(profile: MachineProfile, _: Generator) -> Iterator[Changes]:
    """Counted from the front axle; the tank and the lowest point lie half way, so not those."""
    base = profile.catalogue.wheelbase_mm.value
    for section, field in (("seat", "x_mm"), ("controls", "peg_x_mm"), ("stand", "pivot_x_mm")):
        yield {(section, field): base - getattr(getattr(profile, section), field).value}
    yield {("controls", "bar_x_mm"): base - profile.controls.bar_x_mm.value}


def _offset_for_trail(profile: MachineProfile, _: Generator) -> Iterator[Changes]:
    rake, radius = radians(profile.catalogue.rake_deg.value), profile.wheels.front_radius_mm.value
    trail = profile.catalogue.trail_mm.value
    yield {("catalogue", "trail_mm"): round(radius * sin(rake) - trail * cos(rake), 1)}


def _rake(profile: MachineProfile, chance: Generator) -> Iterator[Changes]:
    """A rake or trail with a wrong digit, so that the axle comes to lie behind the axis."""
    rake, radius = radians(profile.catalogue.rake_deg.value), profile.wheels.front_radius_mm.value
    yield {
        ("catalogue", "trail_mm"): round((radius * sin(rake) + chance.uniform(5, 30)) / cos(rake))
    }
    lower = 10 * (profile.catalogue.rake_deg.value // 10) - 1
    yield {("catalogue", "rake_deg"): lower - chance.uniform(0, 2)}


def _state(profile: MachineProfile, _: Generator) -> Iterator[Changes]:
    """Shows by what was measured at the stand: by rule, that follows whatever state is said."""
    if profile.stand.length_mm.rule:
        return
    for state in CatalogueState:
        if state is not profile.catalogue.state:
            yield {("catalogue", "state"): state}


def _legs(profile: MachineProfile, _: Generator) -> Iterator[Changes]:
    yield {("fork", "spring_legs"): 3 - profile.fork.spring_legs}
    rate, other = profile.fork.spring_rate_n_mm.value, 2.0
    if profile.fork.spring_legs == 2:
        yield {("fork", "spring_rate_n_mm"): rate * other}


def _stroke(profile: MachineProfile, _: Generator) -> Iterator[Changes]:
    linkage = profile.rear.linkage
    leverage = np.mean(linkage.leverage) if isinstance(linkage, LeverageTable) else 2.8
    yield {("rear", "travel_mm"): round(profile.rear.travel_mm.value / float(leverage), 1)}


def _leverage(
    change: Callable[[list[float], Generator], list[float]],
) -> Callable[[MachineProfile, Generator], Iterator[Changes]]:
    def plant(profile: MachineProfile, chance: Generator) -> Iterator[Changes]:
        table = profile.rear.linkage
        if isinstance(table, LeverageTable):
            ratio = change(table.leverage, chance)
            yield {("rear", "linkage"): table.model_copy(update={"leverage": ratio})}

    return plant


def _row(ratio: list[float], chance: Generator) -> list[float]:
    """One row off by 6 to 30 %; of a linkage's table that is beyond any reading."""
    row = int(chance.integers(len(ratio)))
    factor = 1 + float(chance.choice([-1, 1])) * float(chance.uniform(0.06, 0.3))
    return [*ratio[:row], round(ratio[row] * factor, 3), *ratio[row + 1 :]]


def _key(name: str) -> Key:
    section, _, field = name.partition(".")
    return section, field


def _pairs(*names: tuple[str, str]) -> tuple[tuple[Key, Key], ...]:
    return tuple((_key(one), _key(two)) for one, two in names)


KINDS: dict[str, Callable[[MachineProfile, Generator], Iterator[Changes]]] = {
    **{name: _unit(name) for name in _UNITS},
    "decimal mark one off": _point,
    "two digits exchanged": _digits,
    "share as per cent": _share,
    "slope as degrees": _slope,
    "half for the whole": _each(
        rear__rod_diameter_mm=0.5, controls__peg_y_mm=0.5, seat__arc_mm=0.5, seat__width_mm=0.5
    ),
    "both legs for one": _each(
        fork__displaced_area_mm2=2, fork__air_volume_bottomed_ml=2, fork__oil_surface_mm2=2
    ),
    "spring legs": _legs,
    "ends exchanged": _swap(
        *_pairs(
            ("wheels.front_section_mm", "wheels.rear_section_mm"),
            ("wheels.front_radius_mm", "wheels.rear_radius_mm"),
            ("fork.spring_rate_n_mm", "rear.spring_rate_n_mm"),
            ("fork.spring_free_mm", "rear.spring_free_mm"),
            ("fork.spring_solid_mm", "rear.spring_solid_mm"),
        )
    ),
    "neighbours exchanged": _swap(
        *_pairs(
            ("fork.spring_free_mm", "fork.spring_solid_mm"),
            ("rear.spring_free_mm", "rear.spring_solid_mm"),
            ("fork.preload_min_mm", "fork.preload_max_mm"),
            ("rear.preload_min_mm", "rear.preload_max_mm"),
            ("controls.bar_x_mm", "controls.bar_z_mm"),
            ("controls.peg_x_mm", "controls.peg_z_mm"),
            ("lamps.headlamp_x_mm", "lamps.headlamp_z_mm"),
            ("stand.pivot_y_mm", "stand.pivot_z_mm"),
            ("seat.foam_mm", "seat.foam_squash_mm"),
        )
    ),
    "from the front axle": _from_front,
    "other sign": _each(lamps__plate_x_mm=-1),
    "offset for trail": _offset_for_trail,
    "rake and trail": _rake,
    "catalogue state": _state,
    "shock's travel for wheel's": _stroke,
    "leverage inverted": _leverage(lambda ratio, _: [round(1 / each, 4) for each in ratio]),
    "leverage upside down": _leverage(lambda ratio, _: ratio[::-1]),
    "leverage row": _leverage(_row),
}
"""Every kind of slip, with what it may do to a profile."""


def planted(profiles: list[MachineProfile], *, seed: int) -> tuple[list[Planted], int]:
    """One slip in each profile, kinds in turn; and how many the file itself refused."""
    chance = np.random.default_rng(seed)
    kinds = list(KINDS)
    chance.shuffle(kinds)
    slips: list[Planted] = []
    refused = number = 0
    for profile in profiles:
        while True:
            kind = kinds[number % len(kinds)]
            number += 1
            ways = list(KINDS[kind](profile, chance))
            chance.shuffle(ways)
            made = None
            for changes in ways:
                after = slipped(profile, changes)
                if any(_by_rule(profile, key) for key in changes):
                    continue
                if after is not None:
                    made = Planted(kind, tuple(changes), profile, after)
                    break
                refused += 1
            if made is not None:
                slips.append(made)
                break
    return slips, refused


def slipped(profile: MachineProfile, changes: Changes) -> MachineProfile | None:
    """The profile with other values; None where the file does not take them."""
    sections: dict[str, dict[str, object]] = {}
    for (section, field), value in changes.items():
        present = getattr(getattr(profile, section), field)
        new = present.replace(value=float(value)) if isinstance(present, Figure) else value
        sections.setdefault(section, {})[field] = new
    try:
        made = profile.replace(
            **{name: getattr(profile, name).replace(**new) for name, new in sections.items()}
        )
        return load_rules().fill(made) if _by_rule(profile, LEVERAGE) else made
    except (ValidationError, DocumentError):
        return None


def _by_rule(profile: MachineProfile, key: Key) -> bool:
    """Whether a rule filled the figure in; with the leverage factor, the table."""
    figure = getattr(getattr(profile, key[0]), LEVERAGE[1] if key == LINKAGE else key[1])
    return isinstance(figure, Figure) and bool(figure.rule)


def seen(slip: Planted, findings: tuple[Finding, ...]) -> tuple[bool, bool]:
    """Whether the slip was found, and whether a mend brings the true figures back."""
    right = any(finding.changes and _restores(slip, finding) for finding in findings)
    return right or any(finding.figure in slip.keys for finding in findings), right


def _restores(slip: Planted, finding: Finding) -> bool:
    try:
        profile = mended(slip.slipped, finding)
    except ValidationError:
        return False
    return all(
        _same(getattr(getattr(profile, name), field), getattr(getattr(slip.true, name), field))
        for name, field in slip.keys
    )


def _same(one: object, two: object) -> bool:
    """Within the figure's spread or the rounding of four digits; a row of leverage within 2 %."""
    if isinstance(one, Figure) and isinstance(two, Figure):
        return abs(one.value - two.value) <= max(2e-3 * abs(two.value), two.spread)
    if isinstance(one, LeverageTable) and isinstance(two, LeverageTable):
        pairs = zip(one.leverage, two.leverage, strict=True)
        return all(abs(a - b) <= 0.02 * b for a, b in pairs)
    return one == two
