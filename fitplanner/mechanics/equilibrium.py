"""Where the machine comes to rest: two compressions, found by complementarity.

Owns the one solver that serves the single plan, the search and the bands: vectorised over
lanes, topped out and bottomed are answers like any other. Refuses to know what a lane means.

At rest each end obeys v = clip(v - residual(v), least, most): inside its travel the spring
balances the load; at full extension it may push out harder, bottomed it may push less. The
residuals are axial balance at the fork and balance of the swing-arm about its pivot, with wheel
loads from the moments of every mass in the current pose. Newton steps with the exact Jacobian
at fixed tyre loads, the tyres carried along.
"""

import dataclasses
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from fitplanner.mechanics.arrays import Array, Number
from fitplanner.mechanics.geometry import Pose, pose
from fitplanner.mechanics.machine import (
    GRAVITY_M_S2,
    Body,
    Machine,
    lane_shapes,
    map_lanes,
    spread_lanes,
    weight_n,
)

_TOLERANCE_MM = 1e-11
_LAST_STEP_MM = 1e-8  # a whole Newton step that short leaves nothing but rounding
_FULL_STEPS = 10
_MOST_STEPS = 200
_CHUNK = 16384


@dataclass(frozen=True)
class Rest:
    """A pose at rest with what it carries; arrays of lanes.

    Attributes:
        front_load_n, rear_load_n: wheel loads at the contact points.
        front_residual_n, rear_residual_n: unit force less what the load asks, at the unit's
            own line (fork) and at the wheel (rear); zero inside the travel.
        topped_front, topped_rear, bottomed_front, bottomed_rear: at a stop.
        converged: the solver reached its tolerance.
    """

    pose: Pose
    front_load_n: Array
    rear_load_n: Array
    front_residual_n: Array
    rear_residual_n: Array
    topped_front: NDArray[np.bool_]
    topped_rear: NDArray[np.bool_]
    bottomed_front: NDArray[np.bool_]
    bottomed_rear: NDArray[np.bool_]
    converged: NDArray[np.bool_]


@dataclass(frozen=True)
class _Balance:
    """Residuals at a pose, and the linear system of the next step with the tyres in it.

    `load_step`: change of the front load per mm of fork, per mm of axle rise, and what the
    tyres' own lag adds (the rear load changes by as much the other way).
    """

    pose: Pose
    front_load: Array
    rear_load: Array
    front: Array
    rear: Array
    system: tuple[Array, Array]
    jacobian: tuple[Array, Array, Array, Array]
    load_step: tuple[Array, Array, Array]


def wheel_loads(
    at: Pose, sprung: Body, machine: Machine, gravity_m_s2: Number = GRAVITY_M_S2
) -> tuple[Array, Array]:
    """Front and rear wheel load [N] from the moments about the contact points."""
    g = np.asarray(gravity_m_s2, dtype=float)
    x, _ = at.place(sprung.x_mm, sprung.z_mm)
    front = g * (np.asarray(sprung.mass_kg) * x / at.wheelbase_mm + machine.front_unsprung_kg)
    total = np.asarray(sprung.mass_kg) + machine.front_unsprung_kg + machine.rear_unsprung_kg
    return front, g * total - front


def _balance(
    machine: Machine, sprung: Body, g: Array, v: tuple[Array, Array], radii: tuple[Array, Array]
) -> _Balance:
    at = pose(machine, v[0], v[1], radii[0], radii[1])
    front_load, rear_load = wheel_loads(at, sprung, machine, g)
    fork_force, fork_rate = machine.fork.force(v[0])
    shock_mm, ratio, ratio_slope = machine.leverage.evaluate(v[1])
    shock_force, shock_rate = machine.shock.force(shock_mm)
    wheel_rate = shock_rate * ratio**2 + shock_force * ratio_slope

    (sin_rake, cos_rake), (sin_arm, cos_arm), (sin_pitch, cos_pitch) = at.rake, at.arm, at.pitch
    tan_arm = sin_arm / cos_arm
    arm_share = cos_pitch + tan_arm * sin_pitch
    turn = tan_arm * cos_pitch - sin_pitch  # its slope; also the axle's way forward per mm of rise
    front_sprung = front_load - g * machine.front_unsprung_kg
    rear_sprung = rear_load - g * machine.rear_unsprung_kg
    front = fork_force - front_sprung * cos_rake
    rear = shock_force * ratio - rear_sprung * arm_share

    w, step = at.wheelbase_mm, at.front_radius_mm - at.rear_radius_mm
    x_world, z_world = at.place(sprung.x_mm, sprung.z_mm)
    over_axle = z_world - at.rear_radius_mm
    pitch_x, pitch_y = -cos_rake / w, arm_share / w
    pull = g * sprung.mass_kg / w
    arm_x = x_world / w
    load_x = pull * (-over_axle * pitch_x + arm_x * (sin_rake - step * cos_rake / w))
    load_y = pull * (-over_axle * pitch_y - turn + arm_x * (turn + step * arm_share / w))

    # A tyre gives by its load, and the load moves with the pitch that this makes.
    load_radius = pull * (arm_x * step - over_axle) / w
    front_tyre, rear_tyre = machine.front_tyre_n_mm, machine.rear_tyre_n_mm
    give = 1.0 / np.asarray(front_tyre) + 1.0 / np.asarray(rear_tyre)
    settled = _loaded_radii(machine, front_load, rear_load)
    lag = settled[0] - at.front_radius_mm - settled[1] + at.rear_radius_mm
    stiffer = 1.0 + load_radius * give
    load_x, load_y = load_x / stiffer, load_y / stiffer
    load_0 = load_radius * lag / stiffer
    pitch_x, pitch_y = pitch_x - give * load_x / w, pitch_y - give * load_y / w
    pitch_0 = (lag - give * load_0) / w

    by_front, by_rear = front_sprung * sin_rake, -rear_sprung * turn
    return _Balance(
        pose=at,
        front_load=front_load,
        rear_load=rear_load,
        front=front,
        rear=rear,
        system=(
            front - load_0 * cos_rake + by_front * pitch_0,
            rear + load_0 * arm_share + by_rear * pitch_0,
        ),
        jacobian=(
            fork_rate - load_x * cos_rake + by_front * pitch_x,
            -load_y * cos_rake + by_front * pitch_y,
            load_x * arm_share + by_rear * pitch_x,
            wheel_rate
            + load_y * arm_share
            + by_rear * pitch_y
            - rear_sprung * sin_pitch / (cos_arm**3 * machine.arm_length_mm),
        ),
        load_step=(load_x, load_y, load_0),
    )


def _step(
    balance: _Balance, v: tuple[Array, Array], limits: tuple[Array, Array, Array, Array]
) -> tuple[Array, Array]:
    """Where one semismooth Newton step with the active stops held leads."""
    (a, b, c, d), (x, y), (front, rear) = balance.jacobian, v, balance.system
    low_x, high_x, low_y, high_y = limits
    with np.errstate(divide="ignore", invalid="ignore"):
        guess_x, guess_y = x - front / np.abs(a), y - rear / np.abs(d)
        under_x, under_y = guess_x <= low_x, guess_y <= low_y
        held_x, held_y = under_x | (guess_x >= high_x), under_y | (guess_y >= high_y)
        stop_x, stop_y = np.where(under_x, low_x, high_x), np.where(under_y, low_y, high_y)
        det = a * d - b * c
        free_x = x + (b * rear - d * front) / det
        free_y = y + (c * front - a * rear) / det
        beside_x = x - (front + b * (stop_y - y)) / a
        beside_y = y - (rear + c * (stop_x - x)) / d
    to_x = np.where(held_x, stop_x, np.where(held_y, beside_x, free_x))
    to_y = np.where(held_y, stop_y, np.where(held_x, beside_y, free_y))
    to_x, to_y = np.where(np.isfinite(to_x), to_x, x), np.where(np.isfinite(to_y), to_y, y)
    return _within(to_x, low_x, high_x), _within(to_y, low_y, high_y)


def _within(value: Array, low: Array, high: Array) -> Array:
    return np.minimum(np.maximum(value, low), high)


def _loaded_radii(machine: Machine, front_n: Array, rear_n: Array) -> tuple[Array, Array]:
    """Radii under wheel loads; a lifted wheel is a free one, a flattened one half of that."""
    front, rear = np.asarray(machine.front_radius_mm), np.asarray(machine.rear_radius_mm)
    return (
        np.maximum(front - np.maximum(front_n, 0.0) / machine.front_tyre_n_mm, 0.5 * front),
        np.maximum(rear - np.maximum(rear_n, 0.0) / machine.rear_tyre_n_mm, 0.5 * rear),
    )


def equilibrium(
    machine: Machine,
    sprung: Body,
    *,
    gravity_m_s2: Number = GRAVITY_M_S2,
    start_mm: tuple[Number, Number] | None = None,
) -> Rest:
    """Rest of `machine` carrying `sprung`, for all lanes at once.

    Args:
        machine: fields broadcast with each other and with `sprung`.
        sprung: everything that the springs carry, as one mass at its centre.
        gravity_m_s2: smaller for a machine that leans (its share in the machine's plane).
        start_mm: fork compression and axle rise to start from; the result does not depend
            on it.

    Returns:
        Rest with arrays of the broadcast shape. Residuals inside the travel are below
        1e-9 of the load.
    """
    least_x, most_x, least_y, most_y = machine.limits
    starts = (0.0, 0.0) if start_mm is None else start_mm
    shape = np.broadcast_shapes(
        *lane_shapes(machine),
        *lane_shapes(sprung),
        np.shape(gravity_m_s2),
        *(np.shape(start) for start in starts),
    )
    if shape and np.prod(shape) > _CHUNK:
        return _in_chunks(machine, sprung, np.asarray(gravity_m_s2, dtype=float), shape)
    limits = (least_x, most_x, least_y, most_y)
    g = np.asarray(gravity_m_s2, dtype=float)
    if start_mm is None:
        start_mm = (0.7 * least_x + 0.3 * most_x, 0.7 * least_y + 0.3 * most_y)
    x = np.clip(np.broadcast_to(np.asarray(start_mm[0], dtype=float), shape), least_x, most_x)
    y = np.clip(np.broadcast_to(np.asarray(start_mm[1], dtype=float), shape), least_y, most_y)
    radii = _loaded_radii(machine, *wheel_loads(pose(machine, x, y), sprung, machine, g))
    for count in range(_MOST_STEPS):
        balance = _balance(machine, sprung, g, (x, y), radii)
        to_x, to_y = _step(balance, (x, y), limits)
        dx, dy = to_x - x, to_y - y
        load_x, load_y, load_0 = balance.load_step
        shift = load_x * dx + load_y * dy + load_0
        to_radii = _loaded_radii(machine, balance.front_load + shift, balance.rear_load - shift)
        moved = np.maximum(np.abs(dx), np.abs(dy))
        for old, new in zip(radii, to_radii, strict=True):
            moved = np.maximum(moved, np.abs(new - old))
        settled = moved < (_TOLERANCE_MM if count < _FULL_STEPS else _LAST_STEP_MM)
        # A lane that is no number any more will not settle, and holds up no other.
        if np.all(settled | ~np.isfinite(moved)):
            if np.any(moved > _TOLERANCE_MM):
                balance = _balance(machine, sprung, g, (to_x, to_y), to_radii)
            break
        if count >= _FULL_STEPS and count % 4:
            to_x, to_y = x + 0.5 ** (count % 4) * dx, y + 0.5 ** (count % 4) * dy
        x, y, radii = to_x, to_y, to_radii
    loads = (balance.front_load, balance.rear_load)
    rest = _rest(balance.pose, loads, (balance.front, balance.rear), limits, settled)
    spread: Rest = spread_lanes(rest, shape)
    return spread


def _rest(
    at: Pose,
    loads: tuple[Array, Array],
    residuals: tuple[Array, Array],
    limits: tuple[Array, Array, Array, Array],
    settled: NDArray[np.bool_],
) -> Rest:
    low_x, high_x, low_y, high_y = limits
    return Rest(
        pose=at,
        front_load_n=loads[0],
        rear_load_n=loads[1],
        front_residual_n=residuals[0],
        rear_residual_n=residuals[1],
        topped_front=at.fork_compression_mm <= low_x,
        topped_rear=at.rear_compression_mm <= low_y,
        bottomed_front=at.fork_compression_mm >= high_x,
        bottomed_rear=at.rear_compression_mm >= high_y,
        converged=settled,
    )


def hanging(machine: Machine) -> Rest:
    """Wheels off the ground: each unit as far out as its springs and its own wheel take it.

    Heights count from the common tangent under both free tyres.
    """
    least_x, most_x, least_y, most_y = machine.limits
    pull_front = weight_n(machine.front_unsprung_kg) * np.cos(machine.rake_rad)
    pull_rear = weight_n(machine.rear_unsprung_kg)
    x, y = _broadcast(least_x + 0.0 * pull_front, least_y + 0.0 * pull_rear)
    for _ in range(_MOST_STEPS):
        force, rate = machine.fork.force(x)
        x_next = np.clip(x - (force + pull_front) / rate, least_x, most_x)
        shock_mm, ratio, slope = machine.leverage.evaluate(y)
        force, rate = machine.shock.force(shock_mm)
        residual = force * ratio + pull_rear
        y_next = np.clip(y - residual / (rate * ratio**2 + force * slope), least_y, most_y)
        moved = max(
            np.max(np.abs(x_next - x), initial=0.0), np.max(np.abs(y_next - y), initial=0.0)
        )
        x, y = x_next, y_next
        if moved < _TOLERANCE_MM:
            break
    at = pose(machine, x, y)
    none = np.zeros(np.shape(at.pitch_rad))
    limits = (least_x, most_x, least_y, most_y)
    return _rest(at, (none, none), (none, none), limits, np.ones(none.shape, dtype=bool))


def bottomed(machine: Machine) -> Rest:
    """Both ends at the end of their travel, with the wheel loads that hold them there."""
    limits = machine.limits
    _, x, _, y = limits
    shock_mm, ratio, _ = machine.leverage.evaluate(y)
    wheel_force = machine.shock.force(shock_mm)[0] * ratio
    fork_force = machine.fork.force(x)[0]
    radii = (np.asarray(machine.front_radius_mm), np.asarray(machine.rear_radius_mm))
    at = pose(machine, x, y, *radii)
    front_load = rear_load = fork_force
    for _ in range(_MOST_STEPS):
        front_load = fork_force / at.rake[1] + weight_n(machine.front_unsprung_kg)
        rear_load = wheel_force / at.arm_share + weight_n(machine.rear_unsprung_kg)
        new = _loaded_radii(machine, front_load, rear_load)
        moved = max(np.max(np.abs(n - o), initial=0.0) for n, o in zip(new, radii, strict=True))
        radii, at = new, pose(machine, x, y, *new)
        if moved < _TOLERANCE_MM:
            break
    none = np.zeros(np.shape(at.pitch_rad))
    done = np.ones(none.shape, dtype=bool)
    return _rest(at, (front_load, rear_load), (none, none), limits, done)


def _broadcast(*arrays: Array) -> tuple[Array, ...]:
    return tuple(np.array(a) for a in np.broadcast_arrays(*arrays))


def _in_chunks(machine: Machine, sprung: Body, g: Array, shape: tuple[int, ...]) -> Rest:
    """Cut the lanes so that a chunk's arrays stay in the processor's cache."""

    def flat(array: Array) -> Array:
        return np.broadcast_to(array, shape).reshape(-1)

    machine, sprung = map_lanes(machine, flat), map_lanes(sprung, flat)
    gravity = flat(g) if g.ndim else g

    def solve(start: int) -> Rest:
        lanes = slice(start, start + _CHUNK)

        def cut(array: Array) -> Array:
            return array[lanes]

        return equilibrium(
            map_lanes(machine, cut),
            map_lanes(sprung, cut),
            gravity_m_s2=gravity[lanes] if g.ndim else gravity,
        )

    parts = [solve(start) for start in range(0, int(np.prod(shape)), _CHUNK)]
    joined: Rest = _join(parts, shape)
    return joined


def _join(parts: list[Any], shape: tuple[int, ...]) -> Any:
    first = parts[0]
    if isinstance(first, tuple):
        return tuple(_join(list(each), shape) for each in zip(*parts, strict=True))
    if dataclasses.is_dataclass(first) and not isinstance(first, type):
        fields = {
            f.name: _join([getattr(part, f.name) for part in parts], shape)
            for f in dataclasses.fields(first)
        }
        return type(first)(**fields)
    if np.ndim(first) == 0:
        return first
    return np.concatenate(parts).reshape(shape)
