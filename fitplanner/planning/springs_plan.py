"""The chosen springs with their neighbours, sags against windows, and what pulls which way.

Owns the account of both ends' springs. Refuses to choose (`targets`) or to solve (`work`).
"""

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from fitplanner.documents.job import Window
from fitplanner.mechanics.machine import Machine, lane_shapes, weight_n
from fitplanner.mechanics.reserve import drop_reserve_mm
from fitplanner.planning.plan import End, SagFigures, SpringOption, SpringPlan
from fitplanner.planning.targets import EndTarget, Market
from fitplanner.planning.work import ON_WHEELS, PLANNED, RIDER_UP, STOCK, Work
from fitplanner.quantities import Kind, figure_in_text, mm_in_text

Array = NDArray[np.float64]

_SAMPLES = 61

FAST_AIR_EXPONENT = 1.2
"""Of a fast stroke: from memory."""


def force_curve(machine: Machine, end: End, lane: int | None = None) -> tuple[Array, Array]:
    """Vertical wheel travel [mm] and vertical wheel force [N] from full extension to bottomed.

    The front's rake and the arm's elevation are those of the chassis frame (pitch left out).
    Lanes give a leading axis.
    """
    lanes = np.zeros(np.broadcast_shapes((), *lane_shapes(machine)))
    low_x, high_x, low_y, high_y = (limit + lanes for limit in machine.limits)
    share = np.linspace(0.0, 1.0, _SAMPLES)
    if end == "front":
        low, high = np.asarray(low_x)[..., None], np.asarray(high_x)[..., None]
        travel = low + share * (high - low)
        cos = np.cos(np.asarray(machine.rake_rad))
        force = np.moveaxis(machine.fork.force(np.moveaxis(travel, -1, 0))[0], 0, -1)
        return travel * cos, force / cos
    low, high = np.asarray(low_y)[..., None], np.asarray(high_y)[..., None]
    travel = low + share * (high - low)
    shock_mm, ratio, _ = machine.leverage.evaluate(np.moveaxis(travel, -1, 0))
    force = machine.shock.force(shock_mm)[0] * ratio
    return travel, np.moveaxis(np.broadcast_to(force, shock_mm.shape), 0, -1)


def reserve_mm(machine: Machine, end: End, load_n: Array) -> Array:
    """Bottoming reserve at one end [mm] under a wheel load, rider up; lanes.

    A landing is a fast stroke: the fork's air counts with the exponent of one.
    """
    low_x, high_x, low_y, high_y = machine.limits
    if end == "front":
        work = replace(machine.fork, air_exponent=FAST_AIR_EXPONENT).energy(high_x)
        travel = (high_x - low_x) * np.cos(machine.rake_rad)
        sprung = load_n - weight_n(machine.front_unsprung_kg)
    else:
        work = machine.shock.energy(machine.shock.stroke_mm)
        travel = high_y - low_y
        sprung = load_n - weight_n(machine.rear_unsprung_kg)
    return drop_reserve_mm(work_n_mm=work, sprung_load_n=np.maximum(sprung, 1.0), travel_mm=travel)


def reserves_mm(work: Work) -> dict[End, Array]:
    """Bottoming reserve of every lane at each end, rider up [mm]."""
    machine, rest = work.lanes.machine, work.lanes.rest
    return {
        "front": reserve_mm(machine, "front", rest.front_load_n[RIDER_UP]),
        "rear": reserve_mm(machine, "rear", rest.rear_load_n[RIDER_UP]),
    }


def sag_figures(work: Work, end: End, which: int) -> SagFigures:
    """Sags of the stock or the planned machine at one end, with the band of its stiction."""
    at = 0 if end == "front" else 1
    held_up, pulled_down = work.stiction[which]
    first, last = (0, 1) if end == "front" else (2, 3)
    travel, stock_travel = (
        work.limits[each][last] - work.limits[each][first] for each in (which, STOCK)
    )

    def sag(state: int, lane: int) -> float:
        return work.lanes.sag(state, lane)[at]

    return SagFigures(
        free_mm=sag(ON_WHEELS, which),
        rider_mm=sag(RIDER_UP, which),
        free_band_mm=(sag(ON_WHEELS, held_up), sag(ON_WHEELS, pulled_down)),
        rider_band_mm=(sag(RIDER_UP, held_up), sag(RIDER_UP, pulled_down)),
        travel_mm=travel,
        stock_travel_mm=stock_travel,
    )


def spring_plan(work: Work, end: End, reserves: Array) -> SpringPlan:
    """The account of one end."""
    ctx, front = work.ctx, end == "front"
    market = ctx.front_market if front else ctx.rear_market
    windows = ctx.windows
    free, rider = (
        (windows.free_front, windows.rider_front)
        if front
        else (windows.free_rear, windows.rider_rear)
    )
    rate, preload, stock_rate, stock_preload = (
        float(v)
        for setup in (work.planned, work.stock)
        for v in (
            (setup.fork_rate_n_mm, setup.fork_preload_mm)
            if front
            else (setup.shock_rate_n_mm, setup.shock_preload_mm)
        )
    )
    sag, stock_sag = sag_figures(work, end, PLANNED), sag_figures(work, end, STOCK)
    options = tuple(
        _option(
            work, end, row, free, rider, sag.travel_mm, float(reserves[row[0]]), rate, stock_rate
        )
        for row in work.options[end]
    )
    return SpringPlan(
        end=end,
        rate_n_mm=rate,
        preload_mm=preload,
        rate_by_hand=market.rate_by_hand is not None,
        preload_by_hand=market.preload_by_hand is not None,
        ideal=_ideal(work.aims[0 if front else 1], market),
        legs=market.legs,
        stock_rate_n_mm=stock_rate,
        stock_preload_mm=stock_preload,
        stock_sag=stock_sag,
        sag=sag,
        free_window_mm=(free.low * sag.travel_mm, free.high * sag.travel_mm),
        rider_window_mm=(rider.low * sag.travel_mm, rider.high * sag.travel_mm),
        yields=_yields(end, sag, free, rider),
        pulls=_pulls(
            work, sag, reserves, stock_rate, rate, by_hand=market.rate_by_hand is not None
        ),
        options=options,
    )


def _ideal(aim: EndTarget, market: Market) -> tuple[float, float] | None:
    """Rate of one spring and preload that meet both targets; None where they cannot be set."""
    rate, preload = (float(v) for v in aim.ideal())
    if rate <= 0 or not market.preload_low_mm <= preload <= market.preload_high_mm:
        return None
    return rate / market.legs, preload


def _option(
    work: Work,
    end: End,
    row: tuple[int, float, float],
    free: Window,
    rider: Window,
    travel: float,
    reserve_mm: float,
    chosen_rate: float,
    stock_rate: float,
) -> SpringOption:
    lane, rate, preload = row
    at = 0 if end == "front" else 1
    free_mm, rider_mm = work.lanes.sag(ON_WHEELS, lane)[at], work.lanes.sag(RIDER_UP, lane)[at]
    return SpringOption(
        rate_n_mm=rate,
        preload_mm=preload,
        free_sag_mm=free_mm,
        rider_sag_mm=rider_mm,
        free_ok=free.low * travel - 0.05 <= free_mm <= free.high * travel + 0.05,
        rider_ok=rider.low * travel - 0.05 <= rider_mm <= rider.high * travel + 0.05,
        reserve_mm=reserve_mm,
        chosen=rate == chosen_rate,
        stock=rate == stock_rate,
    )


def _outside(sag_mm: float, window: Window, travel_mm: float) -> float:
    low, high = window.low * travel_mm, window.high * travel_mm
    return min(sag_mm - low, 0.0) + max(sag_mm - high, 0.0)


def _small(miss_mm: float) -> str:
    """A miss that is not told as nothing."""
    return figure_in_text(miss_mm, Kind.LENGTH, decimals=1 if miss_mm < 1.0 else None)


def _yields(end: End, sag: SagFigures, free: Window, rider: Window) -> str:
    """Which window gives way, and by how much."""
    misses = {
        "free sag": _outside(sag.free_mm, free, sag.travel_mm),
        "rider sag": _outside(sag.rider_mm, rider, sag.travel_mm),
    }
    missed = {name: miss for name, miss in misses.items() if abs(miss) > 0.05}
    if not missed:
        return "Both sags lie inside their windows."
    parts = [
        f"{name} is {_small(abs(miss))} {'more' if miss > 0 else 'less'} than its window allows"
        for name, miss in missed.items()
    ]
    held = [name for name in misses if name not in missed]
    kept = f"; {held[0]} lies inside its window" if held else ""
    text = " and ".join(parts) + kept + "."
    return text[0].upper() + text[1:]


def _pulls(
    work: Work,
    sag: SagFigures,
    reserves: Array,
    stock_rate: float,
    rate: float,
    *,
    by_hand: bool,
) -> str:
    """Less travel asks for a stiffer spring, a lighter rider for a softer one: which wins."""
    before, after = float(reserves[STOCK]), float(reserves[PLANNED])
    change = (
        "the bottoming reserve, the drop height it takes, goes from "
        f"{mm_in_text(before)} to {mm_in_text(after)}"
    )
    shorter = sag.travel_mm < sag.stock_travel_mm - 0.05
    bump = "Shorter travel asks for a stiffer spring" if shorter else "The travel stays"
    bump = f"{bump}: {change}"
    if by_hand:
        wins = "the rate was set by hand"
    elif abs(rate - stock_rate) < 1e-9:
        wins = "the stock rate stays"
    elif rate < stock_rate:
        wins = "the rider's weight wins, the spring is softer than stock"
    elif shorter:
        wins = "sag in the shorter travel wins, the spring is stiffer than stock"
    else:
        wins = "the load wins, the spring is stiffer than stock"
    weight = figure_in_text(work.ctx.rider.total_kg, Kind.MASS)
    return f"{bump}; a rider of {weight} with gear asks for sag on target; {wins}."
