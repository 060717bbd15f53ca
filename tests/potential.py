"""Total potential energy of a machine at rest, written apart from the program.

Gravity on every mass at its height, springs, air, top-out spring, gas, bump rubber and tyres.
No force, no moment and no derivative is written down here: SciPy finds the rest as the least
energy, with gradients by complex step, so that nothing of the solver's balance is repeated.
Only rational functions and roots are used, so that the step off the real line is exact.
"""

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.interpolate import PchipInterpolator
from scipy.optimize import brentq, minimize, root

from fitplanner.mechanics.machine import Body, Machine

G = 9.80665
ATMOSPHERE_KPA = 101.325

Array = NDArray[Any]


def positive(value: Array) -> Array:
    """The positive part, by the real part."""
    return np.where(np.real(value) > 0, value, 0.0)


@dataclass(frozen=True)
class Potential:
    """Energy [N mm] of one machine over (fork, axle rise, front squash, rear squash) [mm]."""

    machine: Machine
    sprung: Body
    knots_mm: NDArray[np.float64]
    leverage: NDArray[np.float64]
    g_m_s2: float = G

    def shock_mm(self, y: Array) -> Array:
        """Shock travel as the integral of SciPy's monotone cubic through 1/leverage."""
        pieces = PchipInterpolator(self.knots_mm, 1 / self.leverage).antiderivative()
        index = np.clip(np.searchsorted(self.knots_mm, np.real(y), "right") - 1, 0, None)
        index = np.minimum(index, len(self.knots_mm) - 2)
        t = y - self.knots_mm[index]
        total = pieces.c[0, index]
        for c in pieces.c[1:]:
            total = total * t + c[index]
        return total

    def bounds(self) -> list[tuple[float, float]]:
        """Least and most of each variable; a rigid tyre has no room."""
        fork, shock = self.machine.fork, self.machine.shock
        last = float(self.knots_mm[-1])

        def rise(travel: float) -> float:
            if travel <= 0:
                return 0.0
            return float(
                brentq(lambda y: self.shock_mm(np.asarray(y)) - travel, 0, last, xtol=1e-13)
            )

        rear = (rise(float(shock.cut_mm)), rise(float(shock.stroke_mm)))
        tyres = [
            (0.0, 0.0 if np.isinf(k) else 0.5 * float(free))
            for k, free in (
                (self.machine.front_tyre_n_mm, self.machine.front_radius_mm),
                (self.machine.rear_tyre_n_mm, self.machine.rear_radius_mm),
            )
        ]
        return [(float(fork.cut_mm), float(fork.stroke_mm)), rear, *tyres]

    def heights(self, q: Array, x_mm: Any, z_mm: Any) -> Array:
        """Height of a chassis point over the common tangent of both wheels."""
        m, (x, y, df, dr) = self.machine, q
        along, over = x + m.raise_mm, m.axle_low_mm + y
        front = np.array(
            [
                m.front_axle_x_mm - np.sin(m.rake_rad) * along,
                m.front_axle_z_mm + np.cos(m.rake_rad) * along,
            ]
        )
        rear = np.array([m.pivot_x_mm - np.sqrt(m.arm_length_mm**2 - over**2), m.pivot_z_mm + over])
        rise = (m.front_radius_mm - df) - (m.rear_radius_mm - dr)
        ax, az = front - rear
        span2 = ax**2 + az**2
        run = np.sqrt(span2 - rise**2)
        ground_x, ground_z = (run * ax + rise * az) / span2, (run * az - rise * ax) / span2
        return m.rear_radius_mm - dr - (x_mm - rear[0]) * ground_z + (z_mm - rear[1]) * ground_x

    def __call__(self, q: Array) -> Array:
        """Energy at `q`, shape (4, ...), real or complex."""
        m, fork, shock = self.machine, self.machine.fork, self.machine.shock
        x, y, df, dr = q
        s = self.shock_mm(y)
        energy = self.g_m_s2 * (
            self.sprung.mass_kg * self.heights(q, self.sprung.x_mm, self.sprung.z_mm)
            + m.front_unsprung_kg * (m.front_radius_mm - df)
            + m.rear_unsprung_kg * (m.rear_radius_mm - dr)
        )
        for k, squash in ((m.front_tyre_n_mm, df), (m.rear_tyre_n_mm, dr)):
            energy = energy + (0.0 if np.isinf(k) else k / 2 * squash**2)
        energy = energy + fork.rate_n_mm / 2 * (x - fork.cut_mm + fork.preload_mm) ** 2
        energy = energy + fork.friction_n * x + self.air(x)
        pulled = positive(fork.top_out_length_mm - (x - fork.cut_mm))
        energy = energy + fork.top_out_rate_n_mm / 2 * pulled**2
        energy = energy + shock.rate_n_mm / 2 * (s - shock.cut_mm + shock.preload_mm) ** 2
        energy = energy + (shock.friction_n + shock.gas_force_n) * s
        into = positive(s - (shock.stroke_mm - shock.bump_length_mm))
        return energy + shock.bump_rate_n_mm / 2 * into**2

    def air(self, x: Array) -> Array:
        """Work [kPa mL = N mm] put into the air, less what the atmosphere does outside."""
        fork = self.machine.fork
        full = fork.air_bottomed_ml + 1e-3 * fork.air_area_mm2 * (fork.stroke_mm - fork.cut_mm)
        left = fork.air_bottomed_ml + 1e-3 * fork.air_area_mm2 * (fork.stroke_mm - x)
        ratio, more = full / left, fork.air_exponent - 1
        inside = np.log(ratio) if more == 0 else (ratio**more - 1) / more
        return ATMOSPHERE_KPA * (full * inside - (full - left))

    def gradient(self, q: Array) -> Array:
        """Slope along the four variables by complex step, shape (4,)."""
        return np.imag(self(np.asarray(q)[:, None] + 1e-30j * np.eye(4))) / 1e-30

    def least(self) -> NDArray[np.float64]:
        """Where the energy is least: bounded minimiser, then stationarity of what is free.

        Raises AssertionError where the result is no minimum under its bounds.
        """
        bounds = np.array(self.bounds())
        room = bounds[:, 1] - bounds[:, 0]
        found = minimize(
            lambda q: (float(self(q)), self.gradient(q)),
            bounds[:, 0] + np.array([0.3, 0.3, 0.02, 0.02]) * room,
            jac=True,
            bounds=bounds,
            method="L-BFGS-B",
            options={"maxiter": 500, "ftol": 1e-15, "gtol": 1e-5},
        )
        q = np.clip(found.x, bounds[:, 0], bounds[:, 1])
        slope = self.gradient(q)
        held = (
            (room == 0) | ((q <= bounds[:, 0]) & (slope > 0)) | ((q >= bounds[:, 1]) & (slope < 0))
        )
        free = np.flatnonzero(~held)

        def stationary(part: Array) -> Array:
            at = q.copy()
            at[free] = part
            return self.gradient(at)[free]

        if len(free):
            q[free] = root(stationary, q[free], method="hybr", tol=1e-13).x
        slope = self.gradient(q)
        assert np.all(np.abs(slope[free]) < 1e-6)
        assert np.all(q >= bounds[:, 0] - 1e-9) and np.all(q <= bounds[:, 1] + 1e-9)
        assert np.all(slope[(q <= bounds[:, 0]) & (room > 0)] >= -1e-6)
        assert np.all(slope[(q >= bounds[:, 1]) & (room > 0)] <= 1e-6)
        return q
