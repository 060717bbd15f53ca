"""Limits of riding: reserve, gaps, clearance, seat, steering, lamps.

Owns these limits with their reasons and where each comes from. Refuses to compute values.
"""

from collections.abc import Iterator

import numpy as np

from fitplanner.documents.machine import MachineKind
from fitplanner.mechanics.lamps import HEADLAMP_UN, HEADLAMP_US, REAR_PLATE_EU
from fitplanner.planning.checks.limit import ASSUMED, Limit
from fitplanner.planning.facts import Facts
from fitplanner.planning.plan import (
    Basis,
    Severity,
    StatePair,
)
from fitplanner.planning.work import Work
from fitplanner.quantities import Kind, figure_in_text

_L = Kind.LENGTH

LEAST_RESERVE_SHARE = 0.6
LEAST_BUMP_GAP_MM = 5.0
LEAST_FOAM_MM = 25.0
MOST_TRAIL_CHANGE_MM = 12.0
MOST_RAKE_CHANGE_DEG = 1.0
MOST_AIM_CHANGE = 0.005
LEAST_CLEARANCE_MM = {
    MachineKind.TRAIL: 260.0,
    MachineKind.ENDURO: 260.0,
    MachineKind.MOTOCROSS: 260.0,
    MachineKind.DUAL_SPORT: 210.0,
    MachineKind.ADVENTURE: 160.0,
    MachineKind.CHILD: 160.0,
}
"""Ground clearance on its wheels under which the sort of riding suffers: assumptions."""


def room(work: Work, found: Facts) -> Iterator[Limit]:
    """Reserve, full-bump gaps, clearance, seat over wheel and foam."""
    for end, pair in (("Front", found.reserve_front_mm), ("Rear", found.reserve_rear_mm)):
        yield Limit(
            f"{end.lower()}-reserve",
            f"{end} bottoming reserve, drop height it takes",
            pair[1],
            _L,
            f"Dropped from this height it uses up its travel, damping left out; stock "
            f"{figure_in_text(pair[0], _L)}, so a hard landing bottoms sooner"
            if pair[1] >= 0.0
            else "The springs do not even hold the machine up through their own travel",
            Severity.CAUTION if pair[1] >= 0.0 else Severity.STOP,
            Basis.ASSUMPTION,
            ASSUMED,
            least=LEAST_RESERVE_SHARE * max(pair[0], 0.0),
        )
    for end, pair in (("Front", found.gap_front_mm), ("Rear", found.gap_rear_mm)):
        yield Limit(
            f"{end.lower()}-gap",
            f"Gap at full bump, {end.lower()}",
            pair[1],
            _L,
            "Tyre to the nearest part with the unit bottomed",
            Severity.STOP,
            Basis.ASSUMPTION,
            ASSUMED,
            least=LEAST_BUMP_GAP_MM,
        )
    yield Limit(
        "clearance",
        "Ground clearance on its wheels",
        found.clearance_mm[1],
        _L,
        f"Was {figure_in_text(found.clearance_mm[0], _L)}; logs, steps and ruts come nearer",
        Severity.CAUTION,
        Basis.ASSUMPTION,
        ASSUMED,
        least=LEAST_CLEARANCE_MM[work.ctx.profile.kind],
    )
    wheel_top = 2 * work.ctx.profile.wheels.rear_radius_mm.value
    seat = work.ctx.profile.catalogue.seat_height_mm.value - float(
        np.asarray(work.planned.lower_seat_mm)
    )
    yield Limit(
        "seat-over-wheel",
        "Seat against the rear wheel",
        seat,
        _L,
        "A seat lower than the top of the rear tyre cannot be built",
        Severity.STOP,
        Basis.ASSUMPTION,
        "geometry",
        least=wheel_top,
    )
    foam = work.ctx.profile.seat.foam_mm.value - float(work.planned.lower_seat_mm)
    if float(work.planned.lower_seat_mm) > 0:
        yield Limit(
            "foam",
            "Foam left in the lower seat",
            foam,
            _L,
            "Thinner foam is felt as the seat's base; a lower seat may carry a firmer one",
            Severity.CAUTION,
            Basis.ASSUMPTION,
            ASSUMED,
            least=LEAST_FOAM_MM,
        )


def steering(states: StatePair, found: Facts) -> Iterator[Limit]:
    """Trail, rake, headlamp and plate."""
    stock, planned = states.stock.rider_up, states.planned.rider_up
    yield Limit(
        "trail",
        "Change of trail, rider up",
        abs(planned.trail_mm - stock.trail_mm),
        _L,
        f"From {figure_in_text(stock.trail_mm, _L)} to {figure_in_text(planned.trail_mm, _L)}; "
        "less trail steers quicker and holds its line less",
        Severity.CAUTION,
        Basis.ASSUMPTION,
        ASSUMED,
        most=MOST_TRAIL_CHANGE_MM,
    )
    yield Limit(
        "rake",
        "Change of rake, rider up",
        abs(planned.rake_deg - stock.rake_deg),
        Kind.ANGLE,
        f"From {figure_in_text(stock.rake_deg, Kind.ANGLE)} to "
        f"{figure_in_text(planned.rake_deg, Kind.ANGLE)}",
        Severity.CAUTION,
        Basis.ASSUMPTION,
        ASSUMED,
        most=MOST_RAKE_CHANGE_DEG,
        decimals=2,
    )
    yield Limit(
        "lamp-aim",
        "Headlamp aim, rider up",
        abs(found.lamp_aim_percent) / 100,
        Kind.PERCENT,
        "Change of the beam's inclination: aim again after the work, the local rule decides",
        Severity.NOTE,
        Basis.ASSUMPTION,
        ASSUMED,
        most=MOST_AIM_CHANGE,
        decimals=2,
    )
    height = found.lamp_height_mm[1]
    for key, rule, window in (
        ("un", "UN rule", HEADLAMP_UN),
        ("us", "United States rule", HEADLAMP_US),
    ):
        yield Limit(
            f"lamp-height-{key}",
            f"Headlamp height, {rule}",
            height,
            _L,
            "Above the ground on its wheels; whether this rule applies is for local rules to say",
            Severity.NOTE,
            Basis.STANDARD,
            window.source,
            least=window.lowest_mm,
            most=window.highest_mm,
        )
    yield Limit(
        "plate-height",
        "Rear plate's lower edge",
        found.plate_height_mm[1],
        _L,
        "Above the ground on its wheels; local rules decide",
        Severity.NOTE,
        Basis.STANDARD,
        REAR_PLATE_EU.source,
        least=REAR_PLATE_EU.lowest_mm,
    )
