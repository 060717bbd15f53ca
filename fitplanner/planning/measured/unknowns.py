"""What is not known on the bench, as one vector: the machine's figures, the marks, the parts.

Owns which figures are free and how a fitted vector becomes a corrected profile. Refuses to solve.
"""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from fitplanner.documents.base import Figure, Source
from fitplanner.documents.bench import Place
from fitplanner.documents.machine import LeverageTable, MachineProfile
from fitplanner.mechanics.arrays import Array
from fitplanner.planning.measured.basis import FITTED
from fitplanner.planning.measured.tape import AIR, BUILT, MARK, OIL, STAND_LENGTH, Bench
from fitplanner.planning.plan import WayId
from fitplanner.planning.unknown.account import Address
from fitplanner.planning.unknown.figures import INSIDE_LEG, Unsure
from fitplanner.planning.ways import WAYS
from fitplanner.quantities import Kind

MARK_MM, MARK_SPREAD_MM = 600.0, 300.0
"""Anywhere on a fender or a tail."""

_WAY_SPREAD_MM = {
    WayId.FORK_LIMITER: 1.0,
    WayId.SHOCK_LIMITER: 1.0,
    WayId.RAISED_STANCHIONS: 1.0,
    WayId.LOWER_SEAT: 3.0,
    WayId.SHORTER_SHOCK: 1.0,
    WayId.LONGER_RODS: 0.5,
    WayId.SMALLER_TYRES: 2.0,
}
"""One standard deviation of a part's size and of its fitting: assumptions.

Ways that no tape on the machine sees are left out.
"""

_RATE_SPREAD, _PRELOAD_SPREAD_MM, _STAND_SPREAD_MM = 0.02, 1.0, 2.0
"""A bought spring against its stamp, a preload and a stand against what was set: assumptions."""

_LOOSE, _MISSING = 4.0, 0.6
"""Spreads where something is wrong: as many times the usual, and as a share of the amount."""

_MARKS = (Place.FRONT_AXLE, Place.REAR_AXLE)
_TOLD = 0.05
"""A figure is corrected once it moved or narrowed by this share of its spread."""

_READ = 0.9
"""Left of its spread, below which a figure counts as measured."""


def machine_unknowns(bench: Bench) -> tuple[Unsure, ...]:
    """Every figure of the machine that has a spread."""
    return tuple(each for each in bench.case.figures if each.address != INSIDE_LEG)


def marks(middle_mm: dict[str, float] | None = None) -> tuple[Unsure, ...]:
    """The marks on fender and tail, by default anywhere."""
    at = middle_mm or {}
    return tuple(
        _own(
            (MARK, place.value),
            f"Mark above the {place.value.replace('_', ' ')}",
            at.get(place.value, MARK_MM),
            MARK_SPREAD_MM,
        )
        for place in _MARKS
    )


def built_unknowns(bench: Bench, *, loose: bool = False) -> tuple[Unsure, ...]:
    """What was built in, as it may have come out.

    `loose` where readings say that it did not come out as planned: a part may then be missing or
    the wrong one.
    """
    setup, stock = bench.case.planned, bench.case.stock
    wider = _LOOSE if loose else 1.0
    rows = []
    for way, spread in _WAY_SPREAD_MM.items():
        amount = float(setup.amount_mm(way))
        if amount:
            wide = max(spread, amount * _MISSING) if loose else spread
            rows.append(_own((BUILT, f"{way.value}_mm"), WAYS[way].label, amount, wide))
    for unit, label in (("fork", "Fork"), ("shock", "Shock")):
        rate, preload = f"{unit}_rate_n_mm", f"{unit}_preload_mm"
        stamped, wound = float(getattr(setup, rate)), float(getattr(setup, preload))
        bought = stamped != getattr(stock, rate)
        if bought:
            spread = wider * _RATE_SPREAD * stamped
            rows.append(
                replace(
                    _own((BUILT, rate), f"{label} spring rate, new", stamped, spread),
                    kind=Kind.SPRING_RATE,
                )
            )
        if bought or wound != getattr(stock, preload) or getattr(setup, f"{unit}_limiter_mm"):
            wide = wider * _PRELOAD_SPREAD_MM
            rows.append(_own((BUILT, preload), f"{label} preload, new", wound, wide))
    rows.append(_own(STAND_LENGTH, "Side-stand, new", bench.new_stand_mm, _STAND_SPREAD_MM))
    return tuple(rows)


def _own(address: Address, label: str, value: float, spread: float) -> Unsure:
    return Unsure(address, label, Kind.LENGTH, value, spread, 0.0, 3000.0, Source.ASSUMED, "")


def corrected(
    profile: MachineProfile,
    unknowns: Sequence[Unsure],
    at: Array,
    covariance: Array,
    readings: int,
) -> tuple[MachineProfile, dict[Address, tuple[Figure, Figure]]]:
    """The profile with its fitted figures, and each of them before and after.

    Spreads are those of each figure by itself: what the readings say of figures together (a
    stiffer spring with less preload sags alike) a profile cannot hold, so bands worked out from it
    are a little wide.
    """
    changes: dict[Address, tuple[Figure, Figure]] = {}
    sections: dict[str, dict[str, object]] = {}
    rows = {each.address: row for row, each in enumerate(unknowns)}
    for address, (shift, spread) in _shifts(unknowns, rows, at, covariance).items():
        section, key = address
        row = rows.get(address)
        before = _before(profile, address)
        if abs(shift) < _TOLD * before.spread and spread > (1 - _TOLD) * before.spread:
            continue
        value = before.value + shift
        if row is not None:
            value = float(np.clip(value, unknowns[row].low, unknowns[row].high))
        was = f"{before.source.value}, {before.note}" if before.note else before.source.value
        after = Figure(
            value=value,
            spread=spread,
            source=Source.MEASURED if spread < _READ * before.spread else before.source,
            note=f"{FITTED}{readings} readings of this machine; before: {was}",
        )
        changes[address] = (before, after)
        sections.setdefault(section, {})[key] = after
    return _written(profile, sections), changes


def _shifts(
    unknowns: Sequence[Unsure], rows: dict[Address, int], at: Array, covariance: Array
) -> dict[Address, tuple[float, float]]:
    """Change and posterior spread of each of the machine's figures."""
    found = {
        each.address: (
            float(at[row] * each.spread),
            float(np.sqrt(covariance[row, row]) * each.spread),
        )
        for row, each in enumerate(unknowns)
        if each.address[0] not in (BUILT, MARK)
    }
    if OIL in rows and abs(at[rows[OIL]]) > 0.0:
        # The air makes room for the oil, or the oil for the air.
        direction = np.zeros(len(at))
        direction[rows[OIL]] = -unknowns[rows[OIL]].spread
        if AIR in rows:
            direction[rows[AIR]] = unknowns[rows[AIR]].spread
        found[AIR] = (
            float(direction @ at),
            float(np.sqrt(direction @ covariance @ direction)),
        )
    return found


def _before(profile: MachineProfile, address: Address) -> Figure:
    figure: Figure = getattr(getattr(profile, address[0]), address[1])
    return figure


def _written(profile: MachineProfile, sections: dict[str, dict[str, object]]) -> MachineProfile:
    rear, linkage = sections.get("rear", {}), profile.rear.linkage
    travel = rear.get("travel_mm")
    if isinstance(travel, Figure) and isinstance(linkage, LeverageTable):
        last = linkage.wheel_travel_mm[-1]
        rear["travel_mm"] = travel.replace(value=min(travel.value, last))
    return profile.replace(
        **{name: getattr(profile, name).replace(**keys) for name, keys in sections.items()}
    )
