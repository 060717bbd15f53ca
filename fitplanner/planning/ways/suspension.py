"""Ways inside and around the suspension: limiters, shorter shock, clamps, link rods.

Owns their effects on travel, geometry and full-bump gaps. Springs and oil follow elsewhere.
"""

from dataclasses import replace

import numpy as np

from fitplanner.documents.machine import LinkagePoints
from fitplanner.library.linkage import linkage_points
from fitplanner.mechanics import fourbar
from fitplanner.mechanics.arrays import Array, Number
from fitplanner.mechanics.leverage import LeverageCurve, hermite_curve
from fitplanner.planning.kit import poured_ml
from fitplanner.planning.plan import WayId
from fitplanner.planning.resolve import UnsolvableError
from fitplanner.planning.ways.build import Build, Way

_MOST_SHARE = 0.999
_BEYOND_MM = 80.0
_KNOTS = 57


def _limit_fork(build: Build, amount_mm: Number) -> Build:
    """Less travel from the extended end, and the oil that goes with it."""
    fork = build.machine.fork
    stroke = np.asarray(fork.stroke_mm)
    cut = np.minimum(fork.cut_mm + np.asarray(amount_mm), stroke * _MOST_SHARE)
    figures = build.profile.fork
    if figures.kit_oil_volume_ml is None:
        air = fork.air_bottomed_ml * (stroke - cut) / stroke
    else:
        air = fork.air_bottomed_ml + 2 * (
            figures.oil_volume_ml.value - poured_ml(figures, amount_mm)
        )
    return replace(build, machine=build.machine.with_fork(cut_mm=cut, air_bottomed_ml=air))


def _limit_shock(build: Build, amount_mm: Number) -> Build:
    shock = build.machine.shock
    room = np.asarray(shock.stroke_mm) - shock.cut_mm
    cut = shock.cut_mm + np.minimum(np.asarray(amount_mm), room * _MOST_SHARE)
    return replace(build, machine=build.machine.with_shock(cut_mm=cut))


def _shorten_shock(build: Build, amount_mm: Number) -> Build:
    """A body shorter between its eyes with the stroke as built: both ends move up by as much."""
    machine = build.machine
    curve = machine.leverage.extended(_BEYOND_MM)
    cut = machine.shock.cut_mm + np.asarray(amount_mm)
    stroke = machine.shock.stroke_mm + np.asarray(amount_mm)
    before = machine.leverage.rise_at(machine.shock.stroke_mm)
    deeper = curve.rise_at(stroke) - before
    shorter = replace(machine, leverage=curve).with_shock(cut_mm=cut, stroke_mm=stroke)
    return replace(build, machine=shorter, rear_gap_mm=build.rear_gap_mm - deeper)


def _raise_stanchions(build: Build, amount_mm: Number) -> Build:
    machine = replace(build.machine, raise_mm=build.machine.raise_mm + np.asarray(amount_mm))
    return replace(build, machine=machine, front_gap_mm=build.front_gap_mm - amount_mm)


def _lengthen_rods(build: Build, amount_mm: Number) -> Build:
    """Longer link rods: the linkage is solved anew, so leverage and travel change with it."""
    drawn = build.profile.rear.linkage
    if not isinstance(drawn, LinkagePoints) or drawn.frame_point_mm is None:
        raise UnsolvableError(
            "longer link rods: this machine's profile gives no linkage points with a rod; "
            "enter the linkage's joints or leave the rods as they are"
        )
    machine = build.machine
    before = machine.leverage.rise_at(machine.shock.stroke_mm)
    curve = _longer_rod_curve(build, drawn, np.asarray(amount_mm, dtype=float))
    deeper = curve.rise_at(machine.shock.stroke_mm) - before
    return replace(
        build,
        machine=replace(machine, leverage=curve),
        rear_gap_mm=build.rear_gap_mm - deeper,
    )


def _longer_rod_curve(build: Build, drawn: LinkagePoints, amount_mm: Array) -> LeverageCurve:
    arm = np.asarray(build.machine.arm_length_mm, dtype=float)[..., None]
    extended = np.arcsin(np.asarray(build.machine.axle_low_mm, dtype=float)[..., None] / arm)
    stock = linkage_points(drawn, extended)
    points = replace(stock, rod_length_mm=np.asarray(stock.rod_length_mm) + amount_mm[..., None])
    travel = build.profile.rear.travel_mm.value
    knots = np.linspace(0.0, travel + _BEYOND_MM, _KNOTS)
    solved = fourbar.motion_ratio(
        points, arm_length_mm=arm, extended_alpha_rad=extended, axle_rise_mm=knots
    )
    good = np.all(solved.assembled & (solved.ratio > 0), axis=tuple(range(solved.ratio.ndim - 1)))
    used = int(np.argmin(good)) if not np.all(good) else len(knots)
    if used == 0 or knots[used - 1] < 0.6 * travel:
        raise UnsolvableError(
            "longer link rods: with rods this long the linkage does not go through its travel; "
            "take shorter ones"
        )
    start = (
        fourbar.four_bar(stock, extended).length_mm - fourbar.four_bar(points, extended).length_mm
    )
    return hermite_curve(
        knots[:used],
        solved.ratio[..., :used],
        solved.ratio_slope_per_mm[..., :used],
        start[..., 0],
    )


WAYS = (
    Way(WayId.SHORTER_SHOCK, "Shorter shock", _shorten_shock, undone=1.0, specialist=True),
    Way(WayId.LONGER_RODS, "Longer link rods", _lengthen_rods, undone=1.0),
    Way(WayId.FORK_LIMITER, "Extension limiter, fork", _limit_fork, undone=1.0),
    Way(WayId.SHOCK_LIMITER, "Extension limiter, shock", _limit_shock, undone=1.0, specialist=True),
    Way(
        WayId.RAISED_STANCHIONS,
        "Stanchions raised in the clamps",
        _raise_stanchions,
        undone=1.0,
    ),
)
