"""Limits of fork and shock as parts: limiters, offers, coil bind, preload, oil.

Owns these limits with their reasons and where each comes from. Refuses to compute values.
"""

from collections.abc import Iterator

from fitplanner.documents.machine import MachineProfile, WayOffer
from fitplanner.planning.checks.limit import ASSUMED, Limit, source_of
from fitplanner.planning.facts import Facts
from fitplanner.planning.plan import (
    Basis,
    Severity,
    WayAmount,
)
from fitplanner.planning.work import Work
from fitplanner.quantities import Kind

_L = Kind.LENGTH

LEAST_REMAINING_TRAVEL = 0.5
"""Share of the stock travel under which a unit's damping has no room left: assumption."""

LEAST_BIND_ROOM_MM = 2.0

FAR_PAST_OFFER = 1.25
"""Past this share of what a machine accepts an amount is no matter of care any more: assumption."""


def units(work: Work, found: Facts, ways: tuple[WayAmount, ...]) -> Iterator[Limit]:
    """Limiters against travel, offers, coil bind, preload and air over the oil."""
    profile, planned = work.ctx.profile, work.planned
    stroke = float(work.machine.shock.stroke_mm)
    for key, name, amount, room in (
        ("fork-limiter", "Fork", planned.fork_limiter_mm, profile.fork.travel_mm.value),
        ("shock-limiter", "Shock", planned.shock_limiter_mm, stroke),
    ):
        length = float(amount)
        if length > 0:
            yield Limit(
                f"{key}-fits",
                f"Length of the limiter, {name.lower()}",
                length,
                _L,
                "A limiter as long as the unit's own travel leaves none",
                Severity.STOP,
                Basis.ASSUMPTION,
                "geometry",
                most=room * (1 - 1e-9) if length < room else room * 0.999,
            )
            yield Limit(
                f"{key}-travel",
                f"Share of the travel kept, {name.lower()}",
                1 - length / room,
                Kind.PERCENT,
                "Share of the stock travel that is left",
                Severity.STOP,
                Basis.ASSUMPTION,
                ASSUMED,
                least=LEAST_REMAINING_TRAVEL,
            )
    for way in ways:
        if way.amount_mm > 0:
            far_past = way.amount_mm > FAR_PAST_OFFER * way.maximum_mm
            yield Limit(
                f"{way.way.value}-offered",
                f"{way.label}: what this machine accepts",
                way.amount_mm,
                _L,
                way.note or "The profile says how far this machine accepts this way",
                Severity.STOP if far_past else Severity.CAUTION,
                *source_of(*_offers(profile, way)),
                most=way.maximum_mm,
                decimals=1,
            )
    for end, room in (("Fork", found.bind_front_mm[1]), ("Shock", found.bind_rear_mm[1])):
        yield Limit(
            f"{end.lower()}-bind",
            f"Room before the {end.lower()} spring binds",
            room,
            _L,
            "Room between the coils at full bump, a spring as long and solid as the stock one",
            Severity.STOP,
            Basis.ASSUMPTION,
            ASSUMED,
            least=LEAST_BIND_ROOM_MM,
        )
    for end, preload, low, high in (
        ("Fork", planned.fork_preload_mm, profile.fork.preload_min_mm, profile.fork.preload_max_mm),
        (
            "Shock",
            planned.shock_preload_mm,
            profile.rear.preload_min_mm,
            profile.rear.preload_max_mm,
        ),
    ):
        yield Limit(
            f"{end.lower()}-preload",
            f"Preload, {end.lower()}",
            float(preload),
            _L,
            "Less leaves the spring loose at full extension, more robs free sag",
            Severity.CAUTION,
            *source_of(low, high),
            least=low.value,
            most=high.value,
            decimals=1,
        )
    backed_off = float(
        planned.shock_limiter_mm - planned.shock_preload_mm + work.stock.shock_preload_mm
    )
    if backed_off > 0:
        yield Limit(
            "shock-collar",
            "Collar of the shock spring, backed off by",
            backed_off,
            _L,
            "Farther than to the least preload on the stock shock: see that the thread goes that "
            "far, or a shorter spring is due",
            Severity.NOTE,
            *source_of(profile.rear.preload_min_mm, profile.rear.preload_mm),
            most=float(work.stock.shock_preload_mm) - profile.rear.preload_min_mm.value,
            decimals=1,
        )
    air = profile.fork.air_volume_bottomed_ml.value - (
        found.oil.fill_ml - profile.fork.oil_volume_ml.value
    )
    yield Limit(
        "fork-air",
        "Air left above the fork oil",
        air,
        Kind.VOLUME,
        "Of one leg, bottomed, spring in; without air the fork locks solid before it bottoms",
        Severity.STOP,
        Basis.ASSUMPTION,
        ASSUMED,
        least=0.3 * profile.fork.air_volume_bottomed_ml.value,
    )


def _offers(profile: MachineProfile, way: WayAmount) -> tuple[WayOffer, ...]:
    """What the profile says of a way, if anything."""
    offer: WayOffer | None = getattr(profile.ways, way.way.value)
    return () if offer is None else (offer,)
