"""What else changes with the plan, as rows for pages and papers.

Owns topics, labels and notes. Refuses to compute (`facts`) and to judge (`checks`).
"""

from fitplanner.planning.facts import Facts, Oil, Pair
from fitplanner.planning.plan import Consequence
from fitplanner.planning.work import PLANNED, RIDER_UP, STOCK, Work
from fitplanner.quantities import Kind, figure_in_text

_L = Kind.LENGTH


def consequences(work: Work, found: Facts) -> tuple[Consequence, ...]:
    """The account as rows for pages and papers."""
    fork_n, shock_n = _unit_loads(work)

    def row(
        topic: str,
        label: str,
        pair: Pair,
        kind: Kind = _L,
        note: str = "",
        digits: int | None = None,
    ) -> Consequence:
        return Consequence(topic, label, pair[0], pair[1], kind, digits, note)

    rows = [
        row("Travel", "Fork travel, along the fork", found.travel_front_mm),
        row("Travel", "Rear wheel travel", found.travel_rear_mm),
        row(
            "Travel",
            "Bottoming reserve, front",
            found.reserve_front_mm,
            note="Height of a drop that the springs take up undamped, for comparison only",
        ),
        row(
            "Travel",
            "Bottoming reserve, rear",
            found.reserve_rear_mm,
            note="Height of a drop that the springs take up undamped, for comparison only",
        ),
        row("Travel", "Gap at full bump, front", found.gap_front_mm),
        row("Travel", "Gap at full bump, rear", found.gap_rear_mm),
        row("Clearance", "Ground clearance on its wheels", found.clearance_mm),
        row("Clearance", "Break-over angle on its wheels", found.break_over_deg, Kind.ANGLE),
        row("Clearance", "Lean until a peg touches, rider up", found.peg_lean_deg, Kind.ANGLE),
        row("Balance", "Centre of mass above the ground, rider up", found.com_height_mm),
        row("Balance", "Swing-arm angle on its wheels", found.arm_deg, Kind.ANGLE),
        *_oil(found.oil),
        *_stacks(work),
        row("Springs", "Room before the fork spring binds", found.bind_front_mm),
        row("Springs", "Room before the shock spring binds", found.bind_rear_mm),
        row("Springs", "Force along the fork, rider up", fork_n, Kind.FORCE),
        row("Springs", "Force on the shock, rider up", shock_n, Kind.FORCE),
        row(
            "Side-stand",
            "Stand length, pivot to foot",
            found.stand_length_mm,
            note="Restores the stock lean; cut only after measuring on the machine",
        ),
        row("Side-stand", "Lean on this stand", found.stand_lean_deg, Kind.ANGLE),
        Consequence(
            "Side-stand",
            "Lean if the old stand stays",
            found.stand_lean_deg[0],
            found.old_stand_lean_deg,
            Kind.ANGLE,
            note="" if found.old_stand_holds else "It falls over",
        ),
        row("Side-stand", "Share of the weight on the stand", found.stand_share, Kind.PERCENT),
        row(
            "Side-stand", "Tilt left on the worst parking slope", found.stand_margin_deg, Kind.ANGLE
        ),
        row("Headlamp", "Headlamp above the ground, on its wheels", found.lamp_height_mm),
        Consequence(
            "Headlamp",
            "Change of the beam's inclination, rider up",
            0.0,
            found.lamp_aim_percent / 100,
            Kind.PERCENT,
            decimals=2,
            note="Aim again after the work; the local rule decides",
        ),
        Consequence("Headlamp", "Spot on a wall 10 m ahead moves by", 0.0, found.lamp_spot_mm, _L),
        row("Headlamp", "Rear plate's lower edge, on its wheels", found.plate_height_mm),
        row(
            "Chain",
            "Free play to set, wheels hanging",
            found.chain_play_mm,
            note="So that the tightest point keeps the least play",
        ),
        row("Legroom", "Knee angle on the pegs", found.knee_deg, Kind.ANGLE),
        row("Legroom", "Hip angle on the pegs", found.hip_deg, Kind.ANGLE),
    ]
    return tuple(rows)


def _oil(oil: Oil) -> tuple[Consequence, ...]:
    """What to pour with its level, and beside a kit maker's figure the one worked out."""
    both = "Both legs take the same; drained oil is measured, not guessed"
    pour = "Oil to pour, one leg"
    level = Consequence(
        "Fork oil",
        "Its level, bottomed, spring out",
        oil.level_stock_mm,
        oil.level_mm,
        _L,
        note="From the tube's rim down; more is less oil",
    )
    if oil.kit_ml is None:
        less = (
            "; what the limiter itself takes up comes off"
            if oil.calculated_ml > oil.stock_ml
            else ""
        )
        note = f"Keeps the compression ratio{less}. {both}"
        return (
            Consequence("Fork oil", pour, oil.stock_ml, oil.calculated_ml, Kind.VOLUME, note=note),
            level,
        )
    softer = oil.kit_ml < oil.calculated_ml
    carried = (
        ""
        if oil.other_kit_mm is None
        else f" for a limiter of {figure_in_text(oil.other_kit_mm, _L)}; carried over to this "
        "length in proportion"
    )
    return (
        Consequence(
            "Fork oil",
            pour,
            oil.stock_ml,
            oil.kit_ml,
            Kind.VOLUME,
            note=f"The limiter's maker says so{carried}. {both}",
        ),
        level,
        Consequence(
            "Fork oil",
            "To compare: for the stock compression ratio",
            None,
            oil.calculated_ml,
            Kind.VOLUME,
            note=f"Not to pour: the fork is {'softer' if softer else 'harder'} near its bottom "
            "with the maker's fill than it would be with this",
        ),
    )


def _stacks(work: Work) -> tuple[Consequence, ...]:
    """How much shorter each spring with its spacer or collar has to sit.

    A limiter takes its length from the room of the spring, the wanted preload gives some back;
    for springs as long as the stock ones.
    """
    stock, planned = work.stock, work.planned
    fork = float(planned.fork_limiter_mm - planned.fork_preload_mm + stock.fork_preload_mm)
    shock = float(planned.shock_limiter_mm - planned.shock_preload_mm + stock.shock_preload_mm)
    spring = "For a spring as long as stock; a shorter spring takes its own difference off"
    legs = (
        ". The spring sits in one leg, yet both legs must stop at the same length"
        if work.ctx.profile.fork.spring_legs == 1 and planned.fork_limiter_mm
        else ""
    )
    return (
        _stack("Fork spring with its spacer", ("shorter by", "longer by"), fork, spring + legs),
        _stack("Collar of the shock spring", ("backed off by", "wound on by"), shock, spring),
    )


def _stack(part: str, words: tuple[str, str], less_mm: float, note: str) -> Consequence:
    word = words[0] if less_mm >= 0 else words[1]
    return Consequence("Springs", f"{part}, {word}", None, abs(less_mm), _L, 1, note)


def _unit_loads(work: Work) -> tuple[Pair, Pair]:
    """Force along the fork and at the shock, rider up, stock and planned [N]."""
    machine, at = work.lanes.machine, work.lanes.rest.pose
    fork = machine.fork.force(at.fork_compression_mm)[0][RIDER_UP]
    shock_mm, _, _ = machine.leverage.evaluate(at.rear_compression_mm)
    shock = machine.shock.force(shock_mm)[0][RIDER_UP]
    return (
        (float(fork[STOCK]), float(fork[PLANNED])),
        (float(shock[STOCK]), float(shock[PLANNED])),
    )
