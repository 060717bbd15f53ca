"""A plan built by hand, with plausible figures, for tests of what pages show.

An invented trail bike of 300 mm of travel and a rider whose toes reach the ground on it: about
42 mm are needed, parts marked 50.8 mm deliver 41 mm. Nothing here is computed; the figures are
chosen so that each kind of text, mark and warning occurs.
"""

from dataclasses import replace

import numpy as np

from fitplanner.body.reach import Footing
from fitplanner.planning.plan import (
    Band,
    Basis,
    Caution,
    Check,
    Consequence,
    Delivered,
    End,
    FootingFigures,
    Pictures,
    Plan,
    Plots,
    Requirement,
    SagFigures,
    Series,
    Severity,
    Split,
    SpringOption,
    SpringPlan,
    StateFigures,
    StatePair,
    States,
    WayAmount,
    WayId,
)
from fitplanner.quantities import Kind


def plan(**changes: object) -> Plan:
    """The plan, with whole fields replaced."""
    return replace(_PLAN, **changes)  # type: ignore[arg-type]


def check(key: str, severity: Severity, *, holds: bool, margin: float = 4.0) -> Check:
    """A check of a gap of at least 20 mm."""
    sign = 1.0 if holds else -1.0
    return Check(
        key=key,
        title=f"Gap of {key}",
        holds=holds,
        severity=severity,
        value=20.0 + sign * margin,
        limit=20.0,
        margin=sign * margin,
        kind=Kind.LENGTH,
        reason="The tyre must clear the mudguard at full bump.",
        basis=Basis.PRACTICE,
        source="common practice, no source",
    )


def _state(
    seat: float, fork: float, rear: float, rake: float, trail: float, base: float, front: float,
    rear_load: float, front_stop: str = "", rear_stop: str = "", lean: float | None = None,
) -> StateFigures:  # fmt: skip
    return StateFigures(
        seat, fork, rear, 27.0 - rake, rake, trail, base, front, rear_load, front_stop, rear_stop,
        lean,
    )  # fmt: skip


_STOCK = States(
    extended=_state(972.0, 0.0, 0.0, 27.1, 107.9, 1452.0, 0.0, 0.0, "topped out", "topped out"),
    on_wheels=_state(930.0, 33.1, 35.2, 27.0, 107.0, 1440.0, 489.5, 530.3),
    rider_up=_state(872.0, 71.4, 104.8, 27.6, 110.2, 1431.0, 760.4, 1073.3),
    stopped=_state(905.0, 60.2, 84.0, 27.4, 109.0, 1434.0, 720.0, 951.0),
    full_bump=_state(652.0, 300.0, 300.0, 26.4, 104.1, 1382.0, 0.0, 0.0, "bottomed", "bottomed"),
    parked=_state(958.0, 22.0, 19.0, 27.0, 107.2, 1445.0, 330.0, 360.0, lean=11.6),
)
_PLANNED = States(
    extended=_state(928.0, 48.3, 52.0, 27.0, 107.2, 1438.0, 0.0, 0.0, "topped out", "topped out"),
    on_wheels=_state(889.0, 82.0, 88.5, 27.1, 107.4, 1426.0, 490.1, 529.7),
    rider_up=_state(834.0, 112.8, 146.1, 27.5, 109.5, 1418.0, 762.0, 1071.7),
    stopped=_state(864.0, 101.0, 128.4, 27.3, 108.6, 1421.0, 722.0, 949.0),
    full_bump=_state(652.0, 300.0, 300.0, 26.4, 104.1, 1382.0, 0.0, 0.0, "bottomed", "bottomed"),
    parked=_state(917.0, 70.0, 71.0, 27.0, 107.3, 1430.0, 331.0, 359.0, lean=3.1),
)

_TOES = FootingFigures(Footing.BOTH_TOES, 887.0, 986.0, -71.0, 52.0, 0.0)
_BALLS = FootingFigures(Footing.BOTH_BALLS, 846.0, 945.0, -30.0, 28.0, 0.0)

_REQUIREMENT = Requirement(
    wanted=Footing.BOTH_BALLS,
    drop_mm=Band(42.0, 33.0, 51.0),
    planned_drop_mm=Band(41.0, 36.0, 46.0),
    reached=True,
    chance=0.8,
    need_here_mm=42.0,
    spare_mm=Band(-42.0, -51.0, -33.0),
    inside_leg_mm=Band(790.0, 782.0, 798.0),
    inside_leg_estimated=False,
    stock=_TOES,
    planned=_BALLS,
    widest=(
        ("Inside leg", 0.46),
        ("Foam gives under 75 kg", 0.21),
        ("Seat width where the thighs cross", 0.14),
        ("Share on the front wheel", 0.08),
        ("Shock preload", 0.05),
    ),
)

_WAYS = (
    WayAmount(
        WayId.FORK_LIMITER, "Extension limiter, fork", 50.8, False, True, 60.0, 5.0, 45.3, 0.0,
        "Spacer on the damper rod, one in each leg.",
    ),
    WayAmount(
        WayId.SHOCK_LIMITER, "Extension limiter, shock", 17.0, True, True, 25.0, 1.0, 50.9, 0.0,
        "Gas-charged unit: work for a shop that can discharge and fill it.",
    ),
    WayAmount(
        WayId.RAISED_STANCHIONS, "Stanchions raised in the clamps", 0.0, False, True, 10.0, 1.0,
        0.0, 0.0, "Leaves the tube clear of the handlebar up to 10 mm.",
    ),
    WayAmount(WayId.LOWER_SEAT, "Lower seat", 0.0, False, False, 0.0, 1.0, 0.0, 0.0, ""),
)  # fmt: skip


def _option(
    rate: float, preload: float, free: float, rider: float, free_ok: bool, rider_ok: bool,
    reserve: float, chosen: bool = False, stock: bool = False,
) -> SpringOption:  # fmt: skip
    return SpringOption(
        rate, preload, free, rider, free_ok, rider_ok, reserve, chosen, stock
    )  # fmt: skip


_FRONT = SpringPlan(
    end="front",
    rate_n_mm=8.2,
    preload_mm=9.5,
    rate_by_hand=False,
    preload_by_hand=False,
    ideal=(8.13, 9.8),
    legs=1,
    stock_rate_n_mm=8.6,
    stock_preload_mm=8.0,
    stock_sag=SagFigures(33.1, 71.4, (29.6, 36.7), (67.9, 74.9), 300.0, 300.0),
    sag=SagFigures(33.7, 64.5, (30.0, 37.4), (60.8, 68.2), 251.7, 300.0),
    free_window_mm=(12.6, 32.7),
    rider_window_mm=(55.4, 68.0),
    yields="Free sag yields: it lands 1 mm above its window, because rider sag counts for more.",
    pulls="The lighter rider asks for 7.6 N/mm, the shorter travel for 9.1 N/mm to keep the "
    "bottoming reserve; sag wins, reserve falls by a fifth.",
    options=(
        _option(7.8, 12.0, 30.1, 66.0, True, True, 88.0),
        _option(8.0, 10.7, 32.0, 65.2, True, True, 91.0),
        _option(8.2, 9.5, 33.7, 64.5, False, True, 94.0, chosen=True),
        _option(8.4, 8.2, 35.6, 64.0, False, True, 97.0),
        _option(8.6, 7.1, 37.2, 63.5, False, True, 100.0, stock=True),
    ),
)
_REAR = SpringPlan(
    end="rear",
    rate_n_mm=54.0,
    preload_mm=10.0,
    rate_by_hand=True,
    preload_by_hand=False,
    ideal=(51.6, 11.2),
    legs=1,
    stock_rate_n_mm=54.0,
    stock_preload_mm=7.0,
    stock_sag=SagFigures(35.2, 104.8, (28.0, 42.0), (97.0, 112.0), 300.0, 300.0),
    sag=SagFigures(36.5, 94.1, (29.0, 44.0), (86.5, 101.6), 248.0, 300.0),
    free_window_mm=(12.4, 41.3),
    rider_window_mm=(74.4, 86.8),
    yields="Rider sag yields: the spring was set by hand.",
    pulls="The lighter rider asks for a softer spring, the shorter travel for a stiffer one.",
    options=(
        _option(50.0, 12.6, 30.9, 88.0, True, False, 61.0),
        _option(52.0, 11.3, 33.5, 86.0, True, True, 66.0),
        _option(54.0, 10.0, 36.5, 94.1, True, False, 71.0, chosen=True, stock=True),
        _option(56.0, 8.8, 39.0, 83.0, True, True, 75.0),
    ),
)

_CONSEQUENCES = (
    Consequence("fork oil", "Oil level", 100.0, 100.0, Kind.LENGTH, 0,
                "Measured bottomed, spring out: the limiter leaves it as it was."),
    Consequence("fork oil", "Oil in one leg", 620.0, 612.0, Kind.VOLUME, 0,
                "The limiter itself displaces 8 mL."),
    Consequence("side-stand", "Lean when parked", 11.6, 3.1, Kind.ANGLE, 1,
                "Too upright: a breath of wind tips it over."),
    Consequence("side-stand", "Stand length", 308.0, 267.0, Kind.LENGTH, 0,
                "Restores the lean of the stock machine."),
    Consequence("headlamp", "Height, rider up", 872.0, 833.0, Kind.LENGTH, 0, ""),
    Consequence("headlamp", "Aim", -0.012, -0.0104, Kind.PERCENT, 1,
                "Set it again on the wall, rider up."),
    Consequence("chain", "Slack to set on the stand", 38.0, 30.0, Kind.LENGTH, 0,
                "Keeps the least free play at the tight point."),
    Consequence("legroom", "Knee angle on the pegs", 84.0, 84.0, Kind.ANGLE, 0,
                "Lower suspension leaves it as it was."),
    Consequence("clearance", "Ground clearance, on wheels", 340.0, 300.0, Kind.LENGTH, 0, ""),
    Consequence("clearance", "Lean until the peg touches", 51.0, 48.6, Kind.ANGLE, 1, ""),
    Consequence("clearance", "Spare thread on the adjuster", None, 6.0, Kind.LENGTH, 1, ""),
)  # fmt: skip

_CHECKS = (
    check("mudguard", Severity.NOTE, holds=True, margin=15.0),
    Check("stand", "Lean when parked", False, Severity.STOP, 3.1, 7.0, -3.9, Kind.ANGLE,
          "On its old stand the machine stands too upright and falls to the far side on a slope "
          "of two degrees. Shorten the stand by 41 mm or fit another.",
          Basis.PRACTICE, "common practice, no source", 1),
    Check("sag", "Rider sag, rear", False, Severity.CAUTION, 94.1, 86.8, -7.3, Kind.LENGTH,
          "The spring set by hand is too soft for the rider with the travel that is left.",
          Basis.PRACTICE, "trail window, 30 to 35 % of the travel that remains", None),
    Check("lamp", "Headlamp height", True, Severity.CAUTION, 833.0, 500.0, 333.0, Kind.LENGTH,
          "The lamp must stand neither too low nor too high.",
          Basis.STANDARD, "UN R53, 6.2", None),
    Check("bind", "Coil bind, fork", True, Severity.STOP, 31.0, 5.0, 26.0, Kind.LENGTH,
          "The spring must not close up before the fork bottoms.",
          Basis.MAKER, "spring maker's sheet", None),
    Check("free", "Free sag, front", False, Severity.NOTE, 33.7, 32.7, -1.0, Kind.LENGTH,
          "A little more free sag than the window asks for.",
          Basis.PRACTICE, "trail window, 5 to 13 % of the travel that remains", None),
)  # fmt: skip

_CAUTIONS = (
    Caution("Before you start", "Lowering changes approval and insurance in some places: ask."),
    Caution("Extension limiter, shock", "Gas under high pressure: never open the unit yourself."),
    Caution("fork oil", "The cap is under spring load: hold it while the last thread turns."),
    Caution("side-stand", "Hold the machine until you have tried it on level ground and slope."),
)

_TRAVEL = np.linspace(0.0, 300.0, 61)
_CUT = np.linspace(50.0, 300.0, 51)


def _force(x: "np.ndarray[tuple[int], np.dtype[np.float64]]", rate: float, start: float):  # type: ignore[no-untyped-def]
    return rate * (x - start) + 90.0 + 0.012 * np.clip(x - 200.0, 0.0, None) ** 2


_FORCES: dict[End, tuple[Series, ...]] = {
    "front": (
        Series("stock", _TRAVEL, _force(_TRAVEL, 9.8, 0.0)),
        Series("planned", _CUT, _force(_CUT, 9.4, 50.0)),
    ),
    "rear": (
        Series("stock", _TRAVEL, _force(_TRAVEL, 7.6, 0.0)),
        Series("planned", _CUT, _force(_CUT, 7.7, 50.0)),
    ),
}

_PLAN = Plan(
    requirement=_REQUIREMENT,
    split=Split(
        45.3, 50.9, 48.3, 0.375, -0.1, 0.0,
        "Both ends come down nearly alike, so that the steering stays as it was.",
    ),
    ways=_WAYS,
    springs={"front": _FRONT, "rear": _REAR},
    delivered=Delivered(
        50.8, Band(41.0, 37.0, 45.0), 41.0, 2.0, -1.2, 9.0,
        "More preload takes free sag away, so the machine stands higher than the parts promise.",
    ),
    states=StatePair(_STOCK, _PLANNED),
    consequences=_CONSEQUENCES,
    checks=_CHECKS,
    cautions=_CAUTIONS,
    assumptions=(
        "Swing-arm mass counted half to the wheel.",
        "Body weight on the feet, stopped: 20 %.",
        "A stiff boot lets the heel rise by 20°.",
    ),
    plots=Plots(
        wheel_force=_FORCES,
        leverage=(
            Series("stock", _TRAVEL, 3.1 - 0.7 * (_TRAVEL / 300.0) ** 1.4),
            Series("planned", _CUT, 3.1 - 0.7 * (_CUT / 300.0) ** 1.4),
        ),
    ),
    pictures=Pictures(side={}, front={}),
    summary="Fork and shock limited by 51 mm: 41 mm lower on the tape.",
)  # fmt: skip


def long_winded(plan: Plan) -> Plan:
    """The plan with a check whose words fill several lines."""
    first = plan.checks[1]
    return replace(
        plan,
        checks=(
            replace(first, title=f"{first.title}, on its old stand, with luggage and a full tank",
                    reason=first.reason * 3),
            *plan.checks,
        ),
    )  # fmt: skip
