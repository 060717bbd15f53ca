"""How much each person has to spare under one setup, and where the line lies that parts them.

Owns the vectorised question who reaches. Refuses to count.
"""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from fitplanner.body.reach import Footing
from fitplanner.body.survey import Population
from fitplanner.documents.rider import Rider
from fitplanner.mechanics.arrays import Array
from fitplanner.planning.context import Context
from fitplanner.planning.halt import need_seat_mm, stop
from fitplanner.planning.loads import Loads, loads_of_people
from fitplanner.planning.people.crowd import People, people
from fitplanner.planning.people.setups import Springs, for_people
from fitplanner.planning.setup import Setup, built

_EXACT_MM = 1e-6
_LEG_SHARES = 0.365, 0.595
_LINE_STEPS = 6


@dataclass(frozen=True)
class Spare:
    """Arrays over the people: whether each reaches the footing, as a plan of his says it.

    `spare_mm`: how far the seat under him may still rise, negative where it is too high.
    `seat_mm`: that seat, foam squashed, `bare_seat_mm` as a tape would read it.
    """

    reached: NDArray[np.bool_]
    spare_mm: Array
    seat_mm: Array
    bare_seat_mm: Array

    def share(self, raised_mm: float = 0.0) -> float:
        """Who would still reach with the seat this much higher, as a share of all."""
        if raised_mm == 0.0:
            return float(np.mean(self.reached))
        return float(np.mean(self.spare_mm >= raised_mm - _EXACT_MM))


def spare(
    ctx: Context, setup: Setup, who: People, springs: Springs, carried: Loads | None = None
) -> Spare:
    """Seat all of them on the machine built as `setup` and look at their feet.

    `carried` where it is known already: bodies as `loads_of_people` has them.
    """
    carried = carried or loads_of_people(ctx.profile, who, ctx.job.choices)
    made = built(ctx.machine, ctx.profile, for_people(ctx, setup, carried, springs))
    at = stop(made, ctx.value, who, carried)
    shape = np.shape(who.mass_kg)
    need = np.broadcast_to(need_seat_mm(who, at.seat, made.sole_mm), shape)
    seat = np.broadcast_to(at.seat_mm, shape)
    left = need - seat
    reached = seat <= need + _EXACT_MM
    if who.document.footing is Footing.ONE_FOOT_FLAT and at.one is not None:
        # At its lean a foot may reach from a seat that is higher: it counts as just reached.
        reached = np.broadcast_to(at.one.reached, shape)
        left = np.where(reached, np.maximum(left, 0.0), left)
    return Spare(reached, left, seat, np.broadcast_to(at.bare_seat_mm, shape))


def reach_line_mm(
    ctx: Context,
    setup: Setup,
    pattern: Rider,
    population: Population,
    mass_kg: Callable[[Array, Array], Array],
    stature_mm: Array,
    springs: Springs,
) -> Array:
    """The shortest inside leg [mm] that reaches, at each stature.

    `mass_kg` says what a body of a stature and an inside leg [mm] weighs [kg]. Regula falsi between
    the legs that a body of that stature may have; NaN where all of those reach, or none.
    """
    low, high = (share * stature_mm for share in _LEG_SHARES)

    def left(leg_mm: Array) -> Array:
        who = people(
            pattern,
            population,
            stature_mm=stature_mm,
            inside_leg_mm=leg_mm,
            mass_kg=mass_kg(stature_mm, leg_mm),
        )
        return spare(ctx, setup, who, springs).spare_mm

    at_low, at_high = left(low), left(high)
    crossed = (at_low < 0) & (at_high > 0)
    for _ in range(_LINE_STEPS):
        rise = np.where(crossed, at_high - at_low, 1.0)
        leg = np.where(crossed, low - at_low * (high - low) / rise, low)
        found = left(leg)
        # The spare grows nearly as the leg does, so the nearer end is all but there.
        short = found < 0
        low, at_low = np.where(short, leg, low), np.where(short, found, at_low)
        high, at_high = np.where(short, high, leg), np.where(short, at_high, found)
    line: Array = np.where(crossed, np.where(np.abs(at_low) < np.abs(at_high), low, high), np.nan)
    return line
