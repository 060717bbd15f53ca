"""The drop that the rider needs, with its band, and what widens the band.

Owns first-order bands: every figure with a spread is moved by one standard deviation through
the vectorised resolver and solver, one lane each, and the effects add as independent ones.
Valid while spreads are small against the machine (the usual few per cent). Refuses sampling.
"""

from dataclasses import dataclass
from math import erf, sqrt

import numpy as np
from numpy.typing import NDArray

from fitplanner.body.reach import Footing, footing_of
from fitplanner.documents.base import Figure, Section
from fitplanner.documents.machine import MachineProfile
from fitplanner.mechanics.equilibrium import equilibrium
from fitplanner.mechanics.machine import Machine
from fitplanner.mechanics.reference import resolve
from fitplanner.planning.context import Context
from fitplanner.planning.halt import Halt, need_seat_mm, seat_of, squash_mm
from fitplanner.planning.memory import remembered
from fitplanner.planning.plan import Band, FootingFigures, Requirement
from fitplanner.planning.resolve import Values, catalogue_figures
from fitplanner.planning.rider import NORMAL_90, Fitted
from fitplanner.planning.setup import Setup, bodies, built, with_own_springs
from fitplanner.planning.unsaid import SEAT_HEIGHT, seat_height
from fitplanner.planning.work import Work

Array = NDArray[np.float64]

_SECTIONS = ("catalogue", "masses", "wheels", "fork", "rear", "seat")
_MOST_NAMED = 5


@dataclass(frozen=True)
class Spread:
    """Effect of one standard deviation of each uncertain figure of the machine [mm].

    Columns of `effect_mm`: seat `stopped` stock, seat `stopped` planned, drop on wheels; the
    needed seat's own change through the seat's shape is taken off the first two.
    """

    labels: tuple[str, ...]
    effect_mm: Array


@dataclass(frozen=True)
class _Variants:
    """One lane for each uncertain figure, moved by its spread, and lane 0 untouched."""

    labels: tuple[str, ...]
    value: Values
    machine: Machine

    @property
    def count(self) -> int:
        return len(self.labels) + 1


@remembered(16)
def _variants(profile: MachineProfile) -> _Variants:
    rows: list[tuple[str, str, str, float, float]] = []
    for section in _SECTIONS:
        part: Section = getattr(profile, section)
        for spec in part.specs():
            at_seat = (section, spec.key) == SEAT_HEIGHT
            figure = seat_height(profile) if at_seat else getattr(part, spec.key)
            if isinstance(figure, Figure) and figure.spread > 0:
                rows.append((section, spec.key, spec.label, figure.value, figure.spread))
    overrides: dict[tuple[str, str], Array] = {}
    for lane, (section, key, _, middle, spread) in enumerate(rows, start=1):
        values = np.full(len(rows) + 1, middle)
        values[lane] += spread
        overrides[section, key] = values
    labels = tuple(label for _, _, label, _, _ in rows)
    machine = resolve(catalogue_figures(profile, overrides)).machine
    return _Variants(labels, Values(profile, overrides), machine)


def machine_spread(ctx: Context, planned: Setup, stock: Setup) -> Spread:
    """Effects of the profile's spreads on the stock and the planned machine."""
    variants = _variants(ctx.profile)
    both = _beside(
        with_own_springs(stock, variants.value),
        with_own_springs(planned, variants.value),
        variants.count,
    )
    on_wheels, over_need = _heights(ctx, variants.value, variants.machine, both)
    columns = np.stack([over_need[0], over_need[1], on_wheels[0] - on_wheels[1]], axis=-1)
    return Spread(variants.labels, columns[1:] - columns[0])


def _beside(stock: Setup, planned: Setup, count: int) -> Setup:
    """Both setups as lanes (2, count)."""
    return Setup(
        **{
            name: np.stack(
                [np.broadcast_to(getattr(setup, name), (count,)) for setup in (stock, planned)]
            )
            for name in stock.__dict__
        }
    )


def _heights(ctx: Context, value: Values, machine: Machine, setup: Setup) -> tuple[Array, Array]:
    """Seat on wheels, and seat `stopped` less the seat that the footing needs; lanes."""
    made = built(machine, ctx.profile, setup)
    lanes = made.machine
    rest = equilibrium(lanes, bodies(lanes, ctx.carried, made.seat_drop_mm))
    seat_z = value("catalogue", "seat_height_mm") - made.seat_drop_mm
    height = rest.pose.height(value("seat", "x_mm"), seat_z)
    share = 1.0 + float(ctx.carried.feet.mass_kg) / ctx.rider.total_kg
    squash = squash_mm(value, ctx.rider.total_kg, share)
    need = need_seat_mm(ctx.rider, seat_of(value, made.seat_narrower_mm), made.sole_mm)
    return height[0], height[2] - squash - (need if np.all(np.isfinite(need)) else 0.0)


def requirement(work: Work, spread: Spread) -> Requirement:
    """Needed and planned drop, `stopped`, with their bands."""
    ctx = work.ctx
    before, after = work.halts
    wanted = ctx.rider.document.footing
    need = float(before.need_mm)
    drop = max(float(before.seat_mm) - need, 0.0) if np.isfinite(need) else 0.0
    planned = float(before.bare_seat_mm - after.bare_seat_mm)
    leg_sd = ctx.rider.inside_leg_sd_mm if wanted is not Footing.NONE else 0.0
    need_sd = float(np.hypot(leg_sd, np.linalg.norm(spread.effect_mm[:, 0])))
    planned_sd = float(np.linalg.norm(spread.effect_mm[:, 1] - spread.effect_mm[:, 0]))
    spare, spare_before = spare_mm(after, wanted), spare_mm(before, wanted)
    spare_sd = float(np.hypot(leg_sd, np.linalg.norm(spread.effect_mm[:, 1])))
    leg_half = NORMAL_90 * ctx.rider.inside_leg_sd_mm
    leg = ctx.rider.inside_leg_mm
    reached = bool(float(after.seat_mm) <= float(after.need_mm) + 1e-6)
    if wanted is Footing.ONE_FOOT_FLAT and after.one is not None:
        reached = bool(after.one.reached)
    return Requirement(
        wanted=wanted,
        drop_mm=_band(drop, need_sd),
        need_here_mm=max(planned - spare, 0.0) if np.isfinite(spare) else 0.0,
        planned_drop_mm=_band(planned, planned_sd),
        reached=reached,
        chance=chance_of(spare, spare_sd),
        spare_mm=_band(spare_before if np.isfinite(spare_before) else 0.0, need_sd),
        inside_leg_mm=Band(leg, leg - leg_half, leg + leg_half),
        inside_leg_estimated=ctx.rider.inside_leg_estimated,
        stock=_footing(before, ctx.rider),
        planned=_footing(after, ctx.rider),
        widest=_widest(spread, leg_sd),
    )


def spare_mm(at: Halt, wanted: Footing) -> float:
    """How far the seat is under (positive) or above the seat that the wanted footing needs.

    One foot at its lean may reach from a seat that is higher: that counts as just reached.
    """
    spare = float(at.need_mm - at.seat_mm)
    if wanted is Footing.ONE_FOOT_FLAT and at.one is not None and at.one.reached:
        return max(spare, 0.0)
    return spare


def chance_of(spare: float, sd: float) -> float:
    """Chance that a normal spare of this mean and spread is not negative."""
    if not np.isfinite(spare) or sd <= 0.0:
        return 1.0 if spare >= -1e-6 else 0.0
    return 0.5 * (1.0 + erf(spare / (sd * sqrt(2.0))))


def _band(value: float, sd: float) -> Band:
    return Band(value, value - NORMAL_90 * sd, value + NORMAL_90 * sd)


def drop_half_band_mm(spread: Spread) -> float:
    """Half the 90 % band of the drop on wheels."""
    return float(NORMAL_90 * np.linalg.norm(spread.effect_mm[:, 2]))


def _widest(spread: Spread, leg_sd: float) -> tuple[tuple[str, float], ...]:
    parts = [("Inside leg", leg_sd**2)]
    parts += [
        (label, float(effect**2))
        for label, effect in zip(spread.labels, spread.effect_mm[:, 0], strict=True)
    ]
    total = sum(share for _, share in parts)
    if total <= 0:
        return ()
    ranked = sorted(((label, share / total) for label, share in parts), key=lambda p: -p[1])
    return tuple(ranked[:_MOST_NAMED])


def _footing(at: Halt, rider: Fitted) -> FootingFigures:
    both = footing_of(int(at.both.footing))
    figures = FootingFigures(
        footing=both,
        seat_mm=float(at.seat_mm),
        half_arc_mm=float(at.both.half_arc_mm),
        margin_mm=float(at.both.margin_mm),
        heel_lift_mm=float(at.both.heel_lift_mm),
        gap_mm=float(at.both.ground_gap_mm),
    )
    one = at.one
    if one is None or not one.reached:
        return figures
    return FootingFigures(
        **{
            **figures.__dict__,
            "footing": both if both.rank > Footing.ONE_FOOT_FLAT.rank else Footing.ONE_FOOT_FLAT,
            "lean_deg": float(np.degrees(one.lean_rad)),
            "foot_load_n": float(one.foot_load_n),
            "weight_share": float(one.weight_share),
        }
    )
