"""Slips in a machine profile that only the solved machine shows.

Owns the questions put to the stock machine under a common rider: does it stand, sag, clear and
park like a motorcycle? Ranges are common practice, no source. Refuses to correct a figure.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass

import numpy as np

from fitplanner.documents.job import Choices, Job, SagWindows, Window
from fitplanner.documents.machine import MachineKind, MachineProfile
from fitplanner.documents.rider import Rider, RidingStyle
from fitplanner.library.lint import SLIPS, lint
from fitplanner.library.slips.finding import Finding, shown, worst_first
from fitplanner.library.styles import sag_windows
from fitplanner.mechanics.equilibrium import Rest, bottomed
from fitplanner.mechanics.parked import park
from fitplanner.planning.context import Context, context, stand_of
from fitplanner.planning.resolve import UnsolvableError
from fitplanner.planning.setup import Stands, stand
from fitplanner.planning.targets import EndTarget, targets
from fitplanner.planning.ways import Build
from fitplanner.quantities import Kind

COMMON_RIDER = Rider(name="Common rider", stature_mm=1750.0, mass_kg=75.0, gear_mass_kg=8.0)
COMMON_CHILD = Rider(name="Common child", stature_mm=1400.0, mass_kg=35.0, gear_mass_kg=5.0)

_TOLERANCE = 0.03
"""How far, as a share of travel, a stock sag may lie outside every style's window."""

_LEAST_BIND_ROOM_MM = 2.0
_LEAN_DEG = (5.0, 20.0)


@dataclass(frozen=True)
class _Solved:
    ctx: Context
    stands: Stands
    full: Rest


def check_profile(profile: MachineProfile) -> tuple[Finding, ...]:
    """All findings of `lint` and, where those let it be solved, of the stock machine."""
    found = lint(profile)
    if any(finding.severity == "stop" for finding in found):
        return found
    rules: tuple[Callable[[_Solved], Iterator[Finding]], ...] = (
        _stops,
        _springs,
        _sags,
        _clearance,
        _stand,
    )
    with np.errstate(all="ignore"):
        try:
            solved = _solve(profile)
        except (UnsolvableError, ValueError) as error:
            return worst_first(iter((*found, _unsolved(str(error)))))
        rest = solved.stands.rest
        if not (np.all(rest.converged) and np.all(np.isfinite(rest.pose.pitch_rad))):
            return worst_first(iter((*found, _unsolved("no pose carries its weight"))))
        told = {finding.key for finding in found}
        more = [f for rule in rules for f in rule(solved) if f.key not in told]
    return worst_first(iter((*found, *more)))


def common_job(profile: MachineProfile) -> Job:
    """The common rider (or child) on the stock machine, fuel as in the mass in running order."""
    child = profile.kind is MachineKind.CHILD
    return Job(
        rider=COMMON_CHILD if child else COMMON_RIDER,
        machine=profile,
        choices=Choices(fuel_share=profile.masses.running_order_fuel_share.value),
    )


def _solve(profile: MachineProfile) -> _Solved:
    ctx = context(common_job(profile))
    stands = stand(Build(profile, ctx.machine), ctx.carried)
    return _Solved(ctx, stands, bottomed(ctx.machine))


def _unsolved(reason: str) -> Finding:
    return Finding(
        "catalogue",
        "stop",
        f"No machine can be built from these figures: {reason}.",
        "Check wheelbase, radii, swing-arm, pivot height and the linkage's joints.",
    )


def _stops(solved: _Solved) -> Iterator[Finding]:
    rest = solved.stands.rest
    for key, end, topped, sunk in (
        ("fork.spring_rate_n_mm", "fork", rest.topped_front, rest.bottomed_front),
        ("rear.spring_rate_n_mm", "rear", rest.topped_rear, rest.bottomed_rear),
    ):
        if topped[Stands.ON_WHEELS]:
            yield Finding(
                key,
                "caution",
                f"On its wheels the {end} stays topped out: it has no free sag.",
                "The spring is too stiff or has too much preload; check rate, unit and preload.",
            )
        if sunk[Stands.RIDER_UP]:
            yield Finding(
                key,
                "caution",
                f"With {_rider(solved)} the {end} is bottomed.",
                "The spring is too soft; check rate, unit and the number of springs.",
            )


def _springs(solved: _Solved) -> Iterator[Finding]:
    profile = solved.ctx.profile
    stroke = float(np.asarray(solved.ctx.machine.shock.stroke_mm))
    for name, section, travel in (
        ("fork", profile.fork, profile.fork.travel_mm.value),
        ("rear", profile.rear, stroke),
    ):
        room = section.spring_free_mm.value - section.preload_mm.value - travel
        left = room - section.spring_solid_mm.value
        if left < _LEAST_BIND_ROOM_MM:
            yield Finding(
                f"{name}.spring_solid_mm",
                "stop" if left < 0 else "caution",
                f"The {name} spring is {shown(room)} long when bottomed and solid at "
                f"{shown(section.spring_solid_mm.value)}: it binds.",
                "Check free length, solid length and preload; all are the spring's own.",
            )
        low, high = section.preload_min_mm.value, section.preload_max_mm.value
        if not low <= section.preload_mm.value <= high:
            yield Finding(
                f"{name}.preload_mm",
                "caution",
                f"Preload {shown(section.preload_mm.value)} lies outside what the {name} unit "
                f"accepts, {shown(low)} to {shown(high)}.",
                "Preload is the spring's shortening at full extension, not its set length.",
            )


def _widest(key: str) -> Window:
    windows = [getattr(sag_windows(style), key) for style in RidingStyle]
    return Window(low=min(w.low for w in windows), high=max(w.high for w in windows))


def _all_styles() -> SagWindows:
    return SagWindows(**{key: _widest(key) for key in SagWindows.model_fields})


def _sags(solved: _Solved) -> Iterator[Finding]:
    ctx, rest, wide = solved.ctx, solved.stands.rest, _all_styles()
    low_x, high_x, low_y, high_y = ctx.machine.limits
    front = (rest.pose.fork_compression_mm - low_x) / (high_x - low_x)
    rear = (rest.pose.rear_compression_mm - low_y) / (high_y - low_y)
    body = ctx.machine.sprung
    aims = targets(ctx.machine, ctx.carried.on_wheels(body), ctx.carried.rider_up(body), wide)
    ends = (
        ("fork", front, aims[0], ctx.front_market.legs, wide.rider_front, wide.free_front),
        ("rear", rear, aims[1], 0, wide.rider_rear, wide.free_rear),
    )
    for name, share, aim, legs, rider, free in ends:
        up, alone = float(share[Stands.RIDER_UP]), float(share[Stands.ON_WHEELS])
        if _outside(up, rider):
            now: float = getattr(ctx.profile, name).spring_rate_n_mm.value
            yield Finding(
                f"{name}.spring_rate_n_mm",
                "caution",
                f"With {_rider(solved)} the {name} sags {_share(up)} of its travel; "
                f"{_share(rider.low)} to {_share(rider.high)} is common.",
                _spring_mend(now, aim, legs, getattr(ctx.profile, name).preload_mm.value),
            )
        elif _outside(alone, free):
            yield Finding(
                f"{name}.preload_mm",
                "caution",
                f"On its wheels the {name} sags {_share(alone)} of its travel; "
                f"{_share(free.low)} to {_share(free.high)} is common.",
                "Rider sag is right, so check rate and preload against each other, and the "
                "machine's mass.",
            )


def _share(share: float) -> str:
    return shown(round(share, 2), Kind.PERCENT)


def _outside(share: float, window: Window) -> bool:
    return not window.low - _TOLERANCE <= share <= window.high + _TOLERANCE


def _spring_mend(now_n_mm: float, aim: EndTarget, legs: int, preload_mm: float) -> str:
    """The rate that would hold the rider, and the slip that it points to; no legs: a shock."""
    rest_n = aim.unit.rest(aim.rider.x_mm)[0]
    fits = float((aim.rider.force_n - rest_n) / (aim.rider.x_mm + preload_mm)) / max(legs, 1)
    if fits <= 0:
        return "Not even the softest spring would do; check masses, leverage and preload."
    words = f"About {shown(fits, Kind.SPRING_RATE)} would suit"
    for unit, factor in SLIPS[Kind.SPRING_RATE]:
        if 0.7 < now_n_mm * factor / fits < 1.4:
            enter = shown(now_n_mm * factor, Kind.SPRING_RATE)
            return f"{words}: if it was read in {unit}, enter {enter}."
    if legs == 2 and 1.5 < now_n_mm / fits < 2.8:
        return f"{words}: the rate is of one spring, or only one leg holds one."
    if legs == 1 and 0.4 < now_n_mm / fits < 0.65:
        return f"{words}: check whether both legs hold a spring."
    return f"{words}; check rate, preload, leverage and masses."


def _clearance(solved: _Solved) -> Iterator[Finding]:
    profile = solved.ctx.profile
    clearance = profile.catalogue.ground_clearance_mm.value
    left = float(solved.full.pose.height(profile.controls.low_point_x_mm.value, clearance))
    if left < 0:
        yield Finding(
            "catalogue.ground_clearance_mm",
            "caution",
            f"Bottomed, the lowest point lies {shown(-left)} under the ground.",
            "Check ground clearance, its state, and both travels.",
        )


def _stand(solved: _Solved) -> Iterator[Finding]:
    ctx = solved.ctx
    parked = park(ctx.machine, ctx.carried.on_wheels(ctx.machine.sprung), stand_of(ctx.profile))
    lean = float(np.degrees(parked.lean.lean_rad))
    if not parked.holds or not _LEAN_DEG[0] <= lean <= _LEAN_DEG[1]:
        least, most = (shown(each, Kind.ANGLE) for each in _LEAN_DEG)
        text = (
            f"The machine leans {shown(lean, Kind.ANGLE)} on its side-stand"
            if np.isfinite(lean)
            else "The side-stand does not reach the ground"
        )
        yield Finding(
            "stand.length_mm",
            "caution",
            f"{text}; {least} to {most} is common.",
            "Check the stand's length, pivot and angle; all are those of the upright machine.",
        )


def _rider(solved: _Solved) -> str:
    return f"a rider of {shown(solved.ctx.rider.total_kg, Kind.MASS)} with gear"
