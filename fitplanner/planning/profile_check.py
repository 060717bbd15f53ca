"""Slips in a machine profile, with those that only the solved machine shows.

Owns the questions put to the stock machine under a common rider: does it sag, bind, clear and
park like a motorcycle? Ranges are common practice, no source. Refuses to correct a figure: the
likely mend is handed back as data.
"""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace

import numpy as np

from fitplanner.documents.job import Choices, Job, SagWindows, Window
from fitplanner.documents.machine import LinkagePoints, MachineKind, MachineProfile
from fitplanner.documents.rider import Rider, RidingStyle
from fitplanner.library.slips import lint
from fitplanner.library.slips.finding import Finding, shown
from fitplanner.library.slips.leverage import LEVEL
from fitplanner.library.slips.sign import Plain, Sign
from fitplanner.library.styles import sag_windows
from fitplanner.mechanics.arrays import Array, Number
from fitplanner.mechanics.equilibrium import bottomed
from fitplanner.mechanics.machine import Machine
from fitplanner.mechanics.parked import park
from fitplanner.mechanics.reference import resolve
from fitplanner.planning.context import Context, context, stand_of
from fitplanner.planning.resolve import UnsolvableError, Values, catalogue_figures
from fitplanner.planning.setup import Stands, stand
from fitplanner.planning.targets import EndTarget, targets
from fitplanner.planning.unknown.figures import figures_of
from fitplanner.planning.ways import Build
from fitplanner.quantities import Kind

COMMON_RIDER = Rider(name="Common rider", stature_mm=1750.0, mass_kg=75.0, gear_mass_kg=8.0)
COMMON_CHILD = Rider(name="Common child", stature_mm=1400.0, mass_kg=35.0, gear_mass_kg=5.0)

_TOLERANCE = 0.03
"""How far, as a share of travel, a stock sag may lie outside every style's window."""

_BIND_ROOM_MM = {"fork": (2.0, 220.0), "rear": (2.0, 120.0)}
_CLEARANCE_MM = (0.0, 230.0)
_LEAN_DEG = (6.0, 17.5)
_NO_LEAN_DEG = -30.0
"""Stands for a machine that falls over or whose stand does not reach the ground."""

_FREE_MEND = (
    "Rider sag is right, so check rate and preload against each other, and the machine's mass."
)
_UNSURE = ("catalogue", "masses", "wheels", "fork", "rear", "seat", "stand")

_LOADS = (
    "masses.running_order_kg",
    "masses.front_share",
    "masses.front_unsprung_kg",
    "masses.rear_unsprung_kg",
    "seat.x_mm",
)
_SPRINGS = {
    "fork": (
        "fork.spring_rate_n_mm",
        "fork.spring_legs",
        "fork.preload_mm",
        "fork.travel_mm",
        "fork.displaced_area_mm2",
        "fork.air_volume_bottomed_ml",
        "fork.top_out_length_mm",
        "fork.top_out_rate_n_mm",
    ),
    "rear": (
        "rear.spring_rate_n_mm",
        "rear.preload_mm",
        "rear.linkage",
        "rear.travel_mm",
        "rear.leverage_factor",
        "rear.gas_pressure_kpa",
        "rear.rod_diameter_mm",
    ),
}
_STAND = (
    "stand.length_mm",
    "stand.angle_deg",
    "stand.pivot_z_mm",
    "stand.pivot_y_mm",
    "catalogue.state",
)
_BUILT = (
    "rear.linkage",
    "rear.travel_mm",
    "rear.arm_length_mm",
    "rear.pivot_height_mm",
    "wheels.front_radius_mm",
    "wheels.rear_radius_mm",
    "catalogue.wheelbase_mm",
    "catalogue.state",
)


def check_profile(profile: MachineProfile) -> tuple[Finding, ...]:
    """All findings about the figures and, where those are as usual, about the stock machine."""
    return lint(profile, solved_signs)


def common_job(profile: MachineProfile) -> Job:
    """The common rider (or child) on the stock machine, fuel as in the mass in running order."""
    child = profile.kind is MachineKind.CHILD
    return Job(
        rider=COMMON_CHILD if child else COMMON_RIDER,
        machine=profile,
        choices=Choices(fuel_share=profile.masses.running_order_fuel_share.value),
    )


def solved_signs(profile: MachineProfile, _: Plain) -> list[Sign]:
    """What the stock machine shows when solved: sags, springs, clearance, stand.

    Only where something lies out of its range are the figures moved by their spreads, one lane
    each, to see whether that explains it.
    """
    with np.errstate(all="ignore"):
        try:
            ctx = context(common_job(profile))
            read = _read(ctx, ctx.value, ctx.machine)
        except (UnsolvableError, ValueError) as error:
            return [_unsolved(str(error))]
        if not np.isfinite(read["front rider sag"]) or not np.isfinite(read["rear rider sag"]):
            return [_unsolved("no pose carries its weight")]
        signs = list(_signs(ctx, {name: float(value) for name, value in read.items()}))
        if any(sign.outside for sign in signs):
            spreads = _spreads(ctx)
            signs = [replace(sign, spread=spreads.get(sign.name, 0.0)) for sign in signs]
    return signs


def _read(ctx: Context, value: Values, machine: Machine) -> dict[str, Array]:
    """Every number that the checks look at, by the name of its sign; lanes as `machine` has."""
    rest = stand(Build(ctx.profile, machine), ctx.carried).rest
    low_x, high_x, low_y, high_y = machine.limits
    front = (rest.pose.fork_compression_mm - low_x) / (high_x - low_x)
    rear = (rest.pose.rear_compression_mm - low_y) / (high_y - low_y)
    front, rear = (np.where(rest.converged, share, np.nan) for share in (front, rear))
    point = (value("controls", "low_point_x_mm"), value("catalogue", "ground_clearance_mm"))
    parked = park(
        machine, ctx.carried.on_wheels(machine.sprung), stand_of(ctx.profile, value.overrides)
    )
    lean = np.where(parked.holds, np.degrees(parked.lean.lean_rad), np.nan)
    return {
        "front rider sag": front[Stands.RIDER_UP],
        "front free sag": front[Stands.ON_WHEELS],
        "rear rider sag": rear[Stands.RIDER_UP],
        "rear free sag": rear[Stands.ON_WHEELS],
        "fork bind": _room(value, "fork", value("fork", "travel_mm")),
        "rear bind": _room(value, "rear", machine.shock.stroke_mm),
        "bottomed clearance": np.asarray(bottomed(machine).pose.height(*point)),
        "lean": np.where(np.isfinite(lean), lean, _NO_LEAN_DEG),
    }


def _room(value: Values, end: str, stroke_mm: Number) -> Array:
    """What is left between the spring's coils when bottomed [mm]."""
    free, preload, solid = (
        np.asarray(value(end, key)) for key in ("spring_free_mm", "preload_mm", "spring_solid_mm")
    )
    return np.asarray(free - preload - stroke_mm - solid)


def _spreads(ctx: Context) -> dict[str, float]:
    """One standard deviation of every number read, first order: one figure moved in each lane."""
    rows = [
        ((name, spec.key), figure.value, figure.spread)
        for name, spec, figure in figures_of(ctx.profile)
        if figure.spread > 0 and name in _UNSURE
    ]
    overrides: dict[tuple[str, str], Array] = {}
    for lane, (address, middle, spread) in enumerate(rows, start=1):
        values = np.full(len(rows) + 1, middle)
        values[lane] += spread
        overrides[address] = values
    try:
        machine = resolve(catalogue_figures(ctx.profile, overrides)).machine
        read = _read(ctx, Values(ctx.profile, overrides), machine)
    except (UnsolvableError, ValueError):
        # A spread so wide that the figure moved by it gives no machine explains nothing.
        return {}
    moved = {name: np.nan_to_num(lanes[1:] - lanes[0]) for name, lanes in read.items()}
    return {name: float(np.linalg.norm(each)) for name, each in moved.items()}


def _signs(ctx: Context, read: Mapping[str, float]) -> Iterator[Sign]:
    yield from _sags(ctx, read)
    yield from _binds(ctx, read)
    yield from _drawn_leverage(ctx)
    yield _clearance(read["bottomed clearance"])
    yield _stand(read["lean"])


def _unsolved(reason: str) -> Sign:
    return Sign(
        "built",
        "catalogue",
        _BUILT,
        0.0,
        1.0,
        2.0,
        f"No machine can be built from these figures: {reason}.",
        "Check wheelbase, radii, swing-arm, pivot height and the linkage's joints.",
        "stop",
    )


def _binds(ctx: Context, read: Mapping[str, float]) -> Iterator[Sign]:
    for name, section in (("fork", ctx.profile.fork), ("rear", ctx.profile.rear)):
        left, (low, high) = read[f"{name} bind"], _BIND_ROOM_MM[name]
        solid = section.spring_solid_mm.value
        yield Sign(
            f"{name} bind",
            f"{name}.spring_solid_mm",
            tuple(
                f"{name}.{key}"
                for key in ("spring_solid_mm", "spring_free_mm", "preload_mm", "travel_mm")
            ),
            left,
            low,
            high,
            f"The {name} spring is {shown(left + solid)} long when bottomed and solid at "
            f"{shown(solid)}: " + ("it binds." if left < low else "much room is left."),
            "Check free length, solid length and preload; all are the spring's own.",
            "stop" if left < 0 else "caution",
            linear=True,
        )


def _drawn_leverage(ctx: Context) -> Iterator[Sign]:
    """The leverage of joints; that of a table is looked at with the bare figures."""
    if not isinstance(ctx.profile.rear.linkage, LinkagePoints):
        return
    rise = np.linspace(0.0, ctx.profile.rear.travel_mm.value, 25)
    ratio = 1.0 / np.asarray(ctx.machine.leverage.evaluate(rise)[1])
    mean = float(np.exp(np.mean(np.log(ratio))))
    yield Sign(
        "drawn leverage",
        "rear.linkage",
        ("rear.linkage", "rear.arm_length_mm", "rear.travel_mm", "rear.leverage_factor"),
        mean,
        *LEVEL,
        f"The joints give a leverage of {ratio.min():.2f} to {ratio.max():.2f}; 2 to 4 is common.",
        "Check where the joints stand, above all the eyes of the shock.",
    )


def _widest(key: str) -> Window:
    windows = [getattr(sag_windows(style), key) for style in RidingStyle]
    return Window(low=min(w.low for w in windows), high=max(w.high for w in windows))


def _all_styles() -> SagWindows:
    return SagWindows(**{key: _widest(key) for key in SagWindows.model_fields})


def _sags(ctx: Context, read: Mapping[str, float]) -> Iterator[Sign]:
    wide, rider = _all_styles(), shown(ctx.rider.total_kg, Kind.MASS)

    def advice(end: int, legs: int, preload_mm: float) -> Callable[[], str]:
        def words() -> str:
            body = ctx.machine.sprung
            loads = ctx.carried.on_wheels(body), ctx.carried.rider_up(body)
            return _advice(targets(ctx.machine, *loads, wide)[end], legs, preload_mm)

        return words

    fork, rear = ctx.profile.fork, ctx.profile.rear
    for name, end, riding, free, mend in (
        (
            "fork",
            "front",
            wide.rider_front,
            wide.free_front,
            advice(0, fork.spring_legs, fork.preload_mm.value),
        ),
        ("rear", "rear", wide.rider_rear, wide.free_rear, advice(1, 1, rear.preload_mm.value)),
    ):
        of = (*_SPRINGS[name], *_LOADS)
        for window, what, key, words, said in (
            (riding, "rider", "spring_rate_n_mm", f"With a rider of {rider} with gear", mend),
            (free, "free", "preload_mm", "On its wheels", _FREE_MEND),
        ):
            sag = read[f"{end} {what} sag"]
            yield Sign(
                f"{end} {what} sag",
                f"{name}.{key}",
                of,
                sag,
                window.low - _TOLERANCE,
                window.high + _TOLERANCE,
                f"{words} the {name} sags {_share(sag)} of its travel; "
                f"{_share(window.low)} to {_share(window.high)} is common.",
                said,
                linear=True,
            )


def _share(share: float) -> str:
    return shown(round(share, 2), Kind.PERCENT)


def _advice(aim: EndTarget, legs: int, preload_mm: float) -> str:
    """The rate of one spring that would hold the rider."""
    rest_n = aim.unit.rest(aim.rider.x_mm)[0]
    fits = float((aim.rider.force_n - rest_n) / (aim.rider.x_mm + preload_mm)) / legs
    if fits <= 0:
        return "Not even the softest spring would do; check masses, leverage and preload."
    rate = shown(fits, Kind.SPRING_RATE)
    return f"About {rate} would suit; check rate, preload, leverage and masses."


def _clearance(left_mm: float) -> Sign:
    low, high = _CLEARANCE_MM
    side = "under" if left_mm < 0 else "above"
    return Sign(
        "bottomed clearance",
        "catalogue.ground_clearance_mm",
        (
            "catalogue.ground_clearance_mm",
            "catalogue.state",
            "fork.travel_mm",
            "rear.travel_mm",
        ),
        left_mm,
        low,
        high,
        f"Bottomed, the lowest point lies {shown(abs(left_mm))} {side} the ground.",
        "Check ground clearance, its state, and both travels.",
        linear=True,
    )


def _stand(lean_deg: float) -> Sign:
    least, most = (shown(each, Kind.ANGLE) for each in _LEAN_DEG)
    text = (
        "The machine does not stand on its side-stand"
        if lean_deg == _NO_LEAN_DEG
        else f"The machine leans {shown(lean_deg, Kind.ANGLE)} on its side-stand"
    )
    return Sign(
        "lean",
        "stand.length_mm",
        _STAND,
        lean_deg,
        *_LEAN_DEG,
        f"{text}; {least} to {most} is common.",
        "Check the stand's length, pivot and angle; all are those of the upright machine.",
        linear=True,
    )
