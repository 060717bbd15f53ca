"""Every limit that the plan is held to, worst first.

Owns limits, severities, reasons and where each limit comes from. Refuses to compute: values come
from the solved states and from `consequences`.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import numpy as np

from fitplanner.body.reach import Footing
from fitplanner.documents.machine import MachineKind
from fitplanner.documents.rider import Experience
from fitplanner.mechanics.lamps import HEADLAMP_UN, HEADLAMP_US, REAR_PLATE_EU
from fitplanner.planning.consequences import Facts
from fitplanner.planning.halt import need_seat_mm
from fitplanner.planning.plan import (
    Basis,
    Check,
    End,
    Requirement,
    Severity,
    SpringPlan,
    StatePair,
    WayAmount,
    WayId,
)
from fitplanner.planning.work import ON_WHEELS, PLANNED, RIDER_UP, Work
from fitplanner.quantities import Kind, figure_in_text

_L = Kind.LENGTH

LEAST_REMAINING_TRAVEL = 0.5
"""Share of the stock travel under which a unit's damping has no room left: assumption."""

LEAST_RESERVE_SHARE = 0.6
LEAST_BUMP_GAP_MM = 5.0
LEAST_BIND_ROOM_MM = 2.0
MOST_TRAIL_CHANGE_MM = 12.0
MOST_RAKE_CHANGE_DEG = 1.0
MOST_AIM_CHANGE = 0.005
LEAST_KNEE_DEG = 70.0
LEAST_FOAM_MM = 25.0
LEAST_STAND_LENGTH_MM = 60.0
MOST_FOOT_SHARE = 1.0
MOST_LEG_BAND_MM = 25.0
LEAST_FRONT_LOAD_SHARE = 0.25

LEAST_CLEARANCE_MM = {
    MachineKind.TRAIL: 260.0,
    MachineKind.ENDURO: 260.0,
    MachineKind.MOTOCROSS: 260.0,
    MachineKind.DUAL_SPORT: 210.0,
    MachineKind.ADVENTURE: 160.0,
    MachineKind.CHILD: 160.0,
}
"""Ground clearance on its wheels under which the sort of riding suffers: assumptions."""


@dataclass(frozen=True)
class _Limit:
    """One bound: the value must not lie under `least` or above `most`."""

    key: str
    title: str
    value: float
    kind: Kind
    reason: str
    severity: Severity
    basis: Basis
    source: str
    least: float | None = None
    most: float | None = None
    decimals: int | None = None

    def check(self) -> Check:
        """The bound that is nearer (or broken) is the one told."""
        bounds = []
        if self.least is not None:
            bounds.append((self.value - self.least, self.least))
        if self.most is not None:
            bounds.append((self.most - self.value, self.most))
        margin, limit = min(bounds)
        return Check(
            key=self.key,
            title=self.title,
            holds=bool(margin >= -1e-6),
            severity=self.severity,
            value=self.value,
            limit=limit,
            margin=margin,
            kind=self.kind,
            reason=self.reason,
            basis=self.basis,
            source=self.source,
            decimals=self.decimals,
        )


_STOP, _CAUTION, _NOTE = Severity.STOP, Severity.CAUTION, Severity.NOTE
_PRACTICE = "common practice, no source"
_ASSUMED = "assumption of this program"


def checks(
    work: Work,
    found: Facts,
    need: Requirement,
    springs: Mapping[End, SpringPlan],
    states: StatePair,
    ways: tuple[WayAmount, ...],
) -> tuple[Check, ...]:
    """All checks, those that do not hold first, by severity and then by margin."""
    limits = [
        *_footing(work, need),
        *_units(work, found, ways),
        *_carrying(work, states),
        *_sags(springs),
        *_room(work, found),
        *_steering(states, found),
        *_standing(work, found),
        *_comfort(work, found),
    ]
    order = {_STOP: 0, _CAUTION: 1, _NOTE: 2}
    return tuple(
        sorted(
            (limit.check() for limit in limits),
            key=lambda c: (c.holds, order[c.severity], c.margin / max(abs(c.limit), 1.0)),
        )
    )


def _footing(work: Work, need: Requirement) -> Iterator[_Limit]:
    rider = work.ctx.rider
    if need.wanted is not Footing.NONE:
        planned = need.planned
        yield _Limit(
            "footing",
            "Wanted footing reached",
            need.planned_drop_mm.value,
            _L,
            "Drop of the seat, stopped, against the drop that the rider needs on this seat",
            _CAUTION,
            Basis.ASSUMPTION,
            "reach model: taut leg over the seat's edge",
            least=need.planned_drop_mm.value + _short_mm(work, need),
        )
        if planned.weight_share > 0:
            yield _Limit(
                "one-foot",
                "Weight on the one foot",
                planned.weight_share,
                Kind.PERCENT,
                "Held by one leg at the lean that reaches the ground, as a share of the rider's "
                "own weight with gear",
                _CAUTION,
                Basis.ASSUMPTION,
                _ASSUMED,
                most=MOST_FOOT_SHARE,
            )
    half = (need.inside_leg_mm.high - need.inside_leg_mm.low) / 2
    yield _Limit(
        "inside-leg",
        "Inside leg known well enough to buy parts",
        half,
        _L,
        "Half the 90 % band; measured with a book against the crotch it is a few millimetres"
        + ("; this one is only estimated from the stature" if rider.inside_leg_estimated else ""),
        _CAUTION,
        Basis.ASSUMPTION,
        "ANSUR II standard error where estimated (Gordon et al. 2014)",
        most=MOST_LEG_BAND_MM,
    )
    if rider.document.experience is Experience.NEW and need.wanted.rank < Footing.BOTH_BALLS.rank:
        yield _Limit(
            "experience",
            "Footing for a new rider",
            float(need.wanted.rank),
            Kind.RATIO,
            "Riders new off the road usually want the balls of both feet down",
            _NOTE,
            Basis.PRACTICE,
            _PRACTICE,
            least=float(Footing.BOTH_BALLS.rank),
            decimals=0,
        )


def _short_mm(work: Work, need: Requirement) -> float:
    """How far the planned seat is above (positive) or under the seat that the footing needs."""
    at = work.halts[PLANNED]
    if need.wanted is Footing.ONE_FOOT_FLAT and at.one is not None and at.one.reached:
        return min(float(at.seat_mm - need_seat_mm(work.ctx.rider, at.seat)), 0.0)
    return float(at.seat_mm - need_seat_mm(work.ctx.rider, at.seat))


def _units(work: Work, found: Facts, ways: tuple[WayAmount, ...]) -> Iterator[_Limit]:
    profile, planned = work.ctx.profile, work.planned
    stroke = float(work.machine.shock.stroke_mm)
    for key, name, amount, room in (
        ("fork-limiter", "Fork", planned.fork_limiter_mm, profile.fork.travel_mm.value),
        ("shock-limiter", "Shock", planned.shock_limiter_mm, stroke),
    ):
        length = float(amount)
        if length > 0:
            yield _Limit(
                f"{key}-fits",
                f"{name} limiter shorter than the travel",
                length,
                _L,
                "A limiter as long as the unit's own travel leaves none",
                _STOP,
                Basis.ASSUMPTION,
                "geometry",
                most=room * (1 - 1e-9) if length < room else room * 0.999,
            )
            yield _Limit(
                f"{key}-travel",
                f"{name} keeps enough travel",
                1 - length / room,
                Kind.PERCENT,
                "Share of the stock travel that is left",
                _CAUTION,
                Basis.ASSUMPTION,
                _ASSUMED,
                least=LEAST_REMAINING_TRAVEL,
            )
    for way in ways:
        if way.amount_mm > 0:
            yield _Limit(
                f"{way.way.value}-offered",
                f"{way.label} as this machine accepts it",
                way.amount_mm,
                _L,
                way.note or "The profile says how far this machine accepts this way",
                _CAUTION,
                Basis.MAKER,
                "machine profile",
                most=way.maximum_mm,
                decimals=1,
            )
    for end, room in (("Fork", found.bind_front_mm[1]), ("Shock", found.bind_rear_mm[1])):
        yield _Limit(
            f"{end.lower()}-bind",
            f"{end} spring does not bind",
            room,
            _L,
            "Room between the coils at full bump, a spring as long and solid as the stock one",
            _STOP,
            Basis.ASSUMPTION,
            _ASSUMED,
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
        yield _Limit(
            f"{end.lower()}-preload",
            f"{end} preload within its range",
            float(preload),
            _L,
            "Less leaves the spring loose at full extension, more robs free sag",
            _CAUTION,
            Basis.MAKER,
            "machine profile",
            least=low.value,
            most=high.value,
            decimals=1,
        )
    air = profile.fork.air_volume_bottomed_ml.value - (
        found.oil.fill_ml - profile.fork.oil_volume_ml.value
    )
    yield _Limit(
        "fork-air",
        "Air left above the fork oil",
        air,
        Kind.VOLUME,
        "Of one leg, bottomed, spring in; without air the fork locks solid before it bottoms",
        _STOP,
        Basis.ASSUMPTION,
        _ASSUMED,
        least=0.3 * profile.fork.air_volume_bottomed_ml.value,
    )


def _carrying(work: Work, states: StatePair) -> Iterator[_Limit]:
    profile, choices = work.ctx.profile, work.ctx.job.choices
    carried = work.ctx.rider.total_kg + choices.luggage_front_kg + choices.luggage_rear_kg
    yield _Limit(
        "payload",
        "Rider and luggage within what the machine may carry",
        carried,
        Kind.MASS,
        "The maker's plate decides; frame, brakes and tyres are built for it",
        _STOP,
        Basis.MAKER,
        "machine profile",
        most=profile.masses.payload_kg.value,
    )
    rest = work.lanes.rest
    low_x, high_x, low_y, high_y = work.limits[PLANNED]
    at = rest.pose
    for end, state_mm, low, high in (
        ("Fork", at.fork_compression_mm[:, PLANNED], low_x, high_x),
        ("Rear", at.rear_compression_mm[:, PLANNED], low_y, high_y),
    ):
        yield _Limit(
            f"{end.lower()}-carries",
            f"{end} spring carries machine and rider",
            float(high - state_mm[RIDER_UP]),
            _L,
            "Travel left to bump with the rider up",
            _STOP,
            Basis.ASSUMPTION,
            "equilibrium",
            least=0.1 * (high - low),
        )
        yield _Limit(
            f"{end.lower()}-free",
            f"{end} not topped out on its wheels",
            float(state_mm[ON_WHEELS] - low),
            _L,
            "Without free sag the wheel cannot follow a hollow and the unit knocks at its stop",
            _CAUTION,
            Basis.PRACTICE,
            _PRACTICE,
            least=1.0,
        )
    total = states.planned.rider_up.front_load_n + states.planned.rider_up.rear_load_n
    yield _Limit(
        "front-load",
        "Weight on the front wheel, rider up",
        states.planned.rider_up.front_load_n / total,
        Kind.PERCENT,
        "Too little makes the steering vague; luggage belongs forward",
        _CAUTION,
        Basis.ASSUMPTION,
        _ASSUMED,
        least=LEAST_FRONT_LOAD_SHARE,
    )
    solved = bool(np.all(rest.converged)) and bool(np.all(work.halts[PLANNED].rest.converged))
    yield _Limit(
        "solved",
        "A state of rest was found",
        1.0 if solved else 0.0,
        Kind.RATIO,
        "Springs and loads have no state of rest: look for a figure with a wrong unit",
        _STOP,
        Basis.ASSUMPTION,
        "equilibrium",
        least=1.0,
        decimals=0,
    )


def _sags(springs: Mapping[End, SpringPlan]) -> Iterator[_Limit]:
    for end, plan in springs.items():
        name = "Fork" if end == "front" else "Rear"
        for word, value, (low, high) in (
            ("rider sag", plan.sag.rider_mm, plan.rider_window_mm),
            ("free sag", plan.sag.free_mm, plan.free_window_mm),
        ):
            yield _Limit(
                f"{name.lower()}-{word.replace(' ', '-')}",
                f"{name} {word} in its window",
                value,
                _L,
                plan.yields,
                _CAUTION if word == "rider sag" else _NOTE,
                Basis.PRACTICE,
                f"{_PRACTICE}; window of the riding style on the remaining travel",
                least=low - 0.05,
                most=high + 0.05,
            )


def _room(work: Work, found: Facts) -> Iterator[_Limit]:
    for end, pair in (("Front", found.reserve_front_mm), ("Rear", found.reserve_rear_mm)):
        yield _Limit(
            f"{end.lower()}-reserve",
            f"{end} bottoming reserve",
            pair[1],
            _L,
            f"Against {figure_in_text(pair[0], _L)} stock; a hard landing bottoms sooner",
            _CAUTION,
            Basis.ASSUMPTION,
            _ASSUMED,
            least=LEAST_RESERVE_SHARE * max(pair[0], 0.0),
        )
    for end, pair in (("Front", found.gap_front_mm), ("Rear", found.gap_rear_mm)):
        yield _Limit(
            f"{end.lower()}-gap",
            f"{end} tyre clear at full bump",
            pair[1],
            _L,
            "Tyre to the nearest part with the unit bottomed",
            _STOP,
            Basis.ASSUMPTION,
            _ASSUMED,
            least=LEAST_BUMP_GAP_MM,
        )
    yield _Limit(
        "clearance",
        "Ground clearance on its wheels",
        found.clearance_mm[1],
        _L,
        f"Was {figure_in_text(found.clearance_mm[0], _L)}; logs, steps and ruts come nearer",
        _CAUTION,
        Basis.ASSUMPTION,
        _ASSUMED,
        least=LEAST_CLEARANCE_MM[work.ctx.profile.kind],
    )
    wheel_top = 2 * work.ctx.profile.wheels.rear_radius_mm.value
    seat = work.ctx.profile.catalogue.seat_height_mm.value - float(
        np.asarray(work.planned.lower_seat_mm)
    )
    yield _Limit(
        "seat-over-wheel",
        "Seat above the rear wheel",
        seat,
        _L,
        "A seat lower than the top of the rear tyre cannot be built",
        _STOP,
        Basis.ASSUMPTION,
        "geometry",
        least=wheel_top,
    )
    foam = work.ctx.profile.seat.foam_mm.value - float(work.planned.lower_seat_mm)
    if float(work.planned.lower_seat_mm) > 0:
        yield _Limit(
            "foam",
            "Foam left in the lower seat",
            foam,
            _L,
            "Thinner foam is felt as the seat's base; a lower seat may carry a firmer one",
            _CAUTION,
            Basis.ASSUMPTION,
            _ASSUMED,
            least=LEAST_FOAM_MM,
        )


def _steering(states: StatePair, found: Facts) -> Iterator[_Limit]:
    stock, planned = states.stock.rider_up, states.planned.rider_up
    yield _Limit(
        "trail",
        "Change of trail, rider up",
        abs(planned.trail_mm - stock.trail_mm),
        _L,
        f"From {figure_in_text(stock.trail_mm, _L)} to {figure_in_text(planned.trail_mm, _L)}; "
        "less trail steers quicker and holds its line less",
        _CAUTION,
        Basis.ASSUMPTION,
        _ASSUMED,
        most=MOST_TRAIL_CHANGE_MM,
    )
    yield _Limit(
        "rake",
        "Change of rake, rider up",
        abs(planned.rake_deg - stock.rake_deg),
        Kind.ANGLE,
        f"From {figure_in_text(stock.rake_deg, Kind.ANGLE)} to "
        f"{figure_in_text(planned.rake_deg, Kind.ANGLE)}",
        _CAUTION,
        Basis.ASSUMPTION,
        _ASSUMED,
        most=MOST_RAKE_CHANGE_DEG,
    )
    yield _Limit(
        "lamp-aim",
        "Headlamp aim, rider up",
        abs(found.lamp_aim_percent) / 100,
        Kind.PERCENT,
        "Change of the beam's inclination: aim again after the work, the local rule decides",
        _NOTE,
        Basis.ASSUMPTION,
        _ASSUMED,
        most=MOST_AIM_CHANGE,
        decimals=2,
    )
    height = found.lamp_height_mm[1]
    for key, rule, window in (
        ("un", "UN rule", HEADLAMP_UN),
        ("us", "United States rule", HEADLAMP_US),
    ):
        yield _Limit(
            f"lamp-height-{key}",
            f"Headlamp height, {rule}",
            height,
            _L,
            "Above the ground on its wheels; whether this rule applies is for local rules to say",
            _NOTE,
            Basis.STANDARD,
            window.source,
            least=window.lowest_mm,
            most=window.highest_mm,
        )
    yield _Limit(
        "plate-height",
        "Rear plate's lower edge",
        found.plate_height_mm[1],
        _L,
        "Above the ground on its wheels; local rules decide",
        _NOTE,
        Basis.STANDARD,
        REAR_PLATE_EU.source,
        least=REAR_PLATE_EU.lowest_mm,
    )


def _standing(work: Work, found: Facts) -> Iterator[_Limit]:
    yield _Limit(
        "stand",
        "Stands on the shortened side-stand",
        found.stand_margin_deg[1],
        Kind.ANGLE,
        "Tilt left before it tips on the worst of the slopes that a stand must hold on: 6 % to "
        "either side, 6 % nose down, 8 % nose up",
        _STOP if not found.new_stand_holds else _CAUTION,
        Basis.STANDARD,
        "Directive 93/31/EEC, 6.2.2 (from memory)",
        least=min(1.0, max(found.stand_margin_deg[0], 0.0)),
    )
    stock = found.stand_lean_deg[0]
    yield _Limit(
        "old-stand",
        "Leans enough if the old side-stand stays",
        found.old_stand_lean_deg,
        Kind.ANGLE,
        f"Was {figure_in_text(stock, Kind.ANGLE)}; too upright it falls to the far side: lower "
        "the machine, then change the side-stand",
        _CAUTION,
        Basis.PRACTICE,
        _PRACTICE,
        least=stock - 2.0,
    )
    yield _Limit(
        "stand-length",
        "Side-stand long enough to be built",
        found.stand_length_mm[1],
        _L,
        "Length that restores the stock lean; it must still fold rearward and upward",
        _CAUTION,
        Basis.STANDARD,
        "49 CFR 571.123 S5.2.4 for the folding; the length is an assumption",
        least=LEAST_STAND_LENGTH_MM,
    )


def _comfort(work: Work, found: Facts) -> Iterator[_Limit]:
    yield _Limit(
        "knee",
        "Knee angle on the pegs",
        found.knee_deg[1],
        Kind.ANGLE,
        f"Was {figure_in_text(found.knee_deg[0], Kind.ANGLE)}; a lower seat folds the knee, lower "
        "suspension does not",
        _NOTE,
        Basis.ASSUMPTION,
        "Drillis and Contini 1966 for the lengths; the limit is an assumption",
        least=LEAST_KNEE_DEG,
    )
    raised = float(work.planned.raised_stanchions_mm)
    if raised > 0:
        showing = work.ctx.profile.fork.stanchion_showing_mm.value + raised
        yield _Limit(
            f"{WayId.RAISED_STANCHIONS.value}-bar",
            "Stanchions clear of the handlebar",
            showing,
            _L,
            "Showing above the top clamp; check bar, hoses and cables lock to lock",
            _NOTE,
            Basis.ASSUMPTION,
            _ASSUMED,
            most=25.0,
        )
