"""Sound profiles, and the same with one slip planted in each.

Sound ones: the shipped machines with every figure drawn about its value within its spread, or
machines made up from scratch (`tests.invented`), or both with all but the catalogue page by rule.

Planted is what somebody mistypes or misreads, in every figure where the file takes the result at
all: `tests.slip_kinds`.
"""

from dataclasses import dataclass

import numpy as np
from numpy.random import Generator
from pydantic import ValidationError

from fitplanner.documents.base import Figure
from fitplanner.documents.errors import DocumentError
from fitplanner.documents.machine import LeverageTable, MachineProfile
from fitplanner.library.loader import load_library
from fitplanner.library.rules import load_rules
from fitplanner.library.slips.finding import Finding, mended
from fitplanner.library.stages import CATALOGUE
from tests.invented import invented
from tests.slip_kinds import KINDS, Changes, Key, sections_of

LINKAGE, LEVERAGE = ("rear", "linkage"), ("rear", "leverage_factor")


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
        for name, section in sections_of(true):
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
    for name, section in sections_of(profile):
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
