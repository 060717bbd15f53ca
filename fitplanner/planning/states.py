"""The six states as figures.

Owns the step from solved lanes to what a tape and a protractor would read. Refuses words beyond
"topped out" and "bottomed".
"""

from dataclasses import replace

import numpy as np

from fitplanner.mechanics.equilibrium import Rest
from fitplanner.mechanics.parked import Parked
from fitplanner.mechanics.stand import leaned
from fitplanner.planning.plan import StateFigures, StatePair, States
from fitplanner.planning.work import ON_WHEELS, PLANNED, RIDER_UP, STOCK, Work


def state_pair(work: Work) -> StatePair:
    """All states, stock and planned; the planned machine parks on its new stand."""
    return StatePair(
        _states(work, STOCK, work.old_stand[STOCK]), _states(work, PLANNED, work.new_stand)
    )


def _states(work: Work, which: int, parked: Parked) -> States:
    lanes = work.lanes.rest
    return States(
        extended=_figures(work, which, work.hanging[which]),
        on_wheels=_figures(work, which, lanes, (ON_WHEELS, which)),
        rider_up=_figures(work, which, lanes, (RIDER_UP, which)),
        stopped=_figures(work, which, work.halts[which].rest),
        full_bump=_figures(work, which, work.bottomed[which]),
        parked=_parked(work, which, parked),
    )


def seat_point(work: Work, which: int) -> tuple[float, float]:
    """The seat point in the chassis frame, lowered where planned."""
    drop = 0.0 if which == STOCK else float(work.made.seat_drop_mm)
    profile = work.ctx.profile
    return profile.seat.x_mm.value, profile.catalogue.seat_height_mm.value - drop


def _figures(work: Work, which: int, rest: Rest, lane: tuple[int, ...] = ()) -> StateFigures:
    def pick(values: object) -> float:
        array = np.asarray(values)
        return float(array[lane] if array.ndim else array)

    at = rest.pose
    height = at.height(*seat_point(work, which))
    return StateFigures(
        seat_height_mm=pick(height),
        fork_compression_mm=pick(at.fork_compression_mm),
        rear_compression_mm=pick(at.rear_compression_mm),
        pitch_deg=float(np.degrees(pick(at.pitch_rad))),
        rake_deg=float(np.degrees(pick(at.rake_rad))),
        trail_mm=pick(at.trail_mm),
        wheelbase_mm=pick(at.wheelbase_mm),
        front_load_n=pick(rest.front_load_n),
        rear_load_n=pick(rest.rear_load_n),
        front_stop=_stop(pick(rest.topped_front), pick(rest.bottomed_front)),
        rear_stop=_stop(pick(rest.topped_rear), pick(rest.bottomed_rear)),
    )


def _stop(topped: float, bottomed: float) -> str:
    return "topped out" if topped else "bottomed" if bottomed else ""


def _parked(work: Work, which: int, parked: Parked) -> StateFigures:
    plain = _figures(work, which, parked.rest)
    lean = float(parked.lean.lean_rad) if parked.lean.touches else 0.0
    _, height = leaned(
        y_mm=0.0,
        z_mm=plain.seat_height_mm,
        lean_rad=lean,
        crown_radius_mm=work.stand.crown_radius_mm,
    )
    return replace(
        plain,
        seat_height_mm=float(height),
        front_load_n=plain.front_load_n / float(np.cos(lean)),
        rear_load_n=plain.rear_load_n / float(np.cos(lean)),
        lean_deg=float(np.degrees(lean)),
    )
