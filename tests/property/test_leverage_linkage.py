"""The leverage of a linkage, from a profile's joints to the curve, against its loops."""

import numpy as np
import pytest
from scipy.optimize import fsolve

from fitplanner.documents.machine import LinkagePoints, MachineProfile
from fitplanner.mechanics.machine import Machine
from fitplanner.mechanics.reference import resolve
from fitplanner.planning.resolve import UnsolvableError, catalogue_figures, reference
from tests import factories

# Joints at full extension, from the swing-arm pivot; invented.
LINKAGES = {
    "direct": LinkagePoints(
        layout="direct", frame_eye_mm=[-20.0, 310.0], arm_point_mm=[-202.0, -94.0]
    ),
    "rocker_on_frame": LinkagePoints(
        layout="rocker_on_frame",
        frame_eye_mm=[-60.0, 290.0],
        frame_point_mm=[-65.0, -70.0],
        arm_point_mm=[-225.0, -90.0],
        rod_joint_mm=[-100.0, -145.0],
        shock_joint_mm=[-160.0, -135.0],
    ),
    "rocker_on_arm": LinkagePoints(
        layout="rocker_on_arm",
        frame_eye_mm=[-60.0, 290.0],
        frame_point_mm=[-65.0, -110.0],
        arm_point_mm=[-230.0, -120.0],
        rod_joint_mm=[-200.0, -200.0],
        shock_joint_mm=[-120.0, -85.0],
    ),
}


def profile(name: str) -> MachineProfile:
    return factories.machine_profile(rear={"linkage": LINKAGES[name], "travel_mm": 280.0})


def turned(place: np.ndarray, angle: float) -> np.ndarray:
    """A point swung up with the arm, about the pivot at the origin."""
    cos, sin = np.cos(angle), np.sin(angle)
    return np.array([cos * place[0] + sin * place[1], cos * place[1] - sin * place[0]])


def closed(linkage: LinkagePoints, swing: float, guess: np.ndarray) -> tuple[float, np.ndarray]:
    """Shock length [mm] with the arm swung up by an angle; joints by their kept distances."""
    eye, arm0 = np.array(linkage.frame_eye_mm), np.array(linkage.arm_point_mm)
    arm = turned(arm0, swing)
    if linkage.layout == "direct":
        return float(np.linalg.norm(arm - eye)), guess
    frame, rod0, shock0 = (
        np.array(p) for p in (linkage.frame_point_mm, linkage.rod_joint_mm, linkage.shock_joint_mm)
    )
    on_frame = linkage.layout == "rocker_on_frame"
    pivot0, far0, pivot, far = (frame, arm0, frame, arm) if on_frame else (arm0, frame, arm, frame)
    kept = [
        np.linalg.norm(rod0 - pivot0),
        np.linalg.norm(rod0 - far0),
        np.linalg.norm(shock0 - pivot0),
        np.linalg.norm(shock0 - rod0),
    ]

    def closure(joints: np.ndarray) -> list[float]:
        rod, shock = joints[:2], joints[2:]
        now = [rod - pivot, rod - far, shock - pivot, shock - rod]
        return [float(np.linalg.norm(v) - k) for v, k in zip(now, kept, strict=True)]

    joints, _, ok, _ = fsolve(closure, guess, xtol=1e-14, full_output=True)
    assert ok == 1 or np.max(np.abs(closure(joints))) < 1e-9
    return float(np.linalg.norm(joints[2:] - eye)), joints


def travel_by_closure(machine: Machine, linkage: LinkagePoints, rises: np.ndarray) -> np.ndarray:
    """Shock travel [mm] at each axle rise, followed in small steps from full extension."""
    arm, low = float(machine.arm_length_mm), float(machine.axle_low_mm)
    joints = np.array([*(linkage.rod_joint_mm or [0, 0]), *(linkage.shock_joint_mm or [0, 0])])
    start, joints = closed(linkage, 0.0, joints)
    travel = []
    for rise in rises:
        swing = np.arcsin((low + rise) / arm) - np.arcsin(low / arm)
        length, joints = closed(linkage, swing, joints)
        travel.append(start - length)
    return np.array(travel)


@pytest.mark.parametrize("name", LINKAGES)
def test_curve_of_a_profile(name: str) -> None:
    # Closure of the loops alone, off the curve's knots; the ratio by differences of the closure.
    machine = reference(profile(name)).machine
    rises = np.linspace(0.0, 280.0, 100)
    shock, ratio, _ = machine.leverage.evaluate(rises)
    expected = travel_by_closure(machine, LINKAGES[name], rises)
    assert shock == pytest.approx(expected, abs=1e-6)
    step = 1e-3
    inner = rises[1:-1]
    pairs = np.stack([inner - step, inner + step], 1).ravel()
    ends = travel_by_closure(machine, LINKAGES[name], pairs).reshape(-1, 2)
    assert ratio[1:-1] == pytest.approx((ends[:, 1] - ends[:, 0]) / (2 * step), abs=1e-7)
    assert machine.shock.stroke_mm == pytest.approx(expected[-1], abs=1e-6)


@pytest.mark.parametrize("name", LINKAGES)
def test_lanes_of_figures(name: str) -> None:
    # Several spring rates and arms at once: every lane as its own profile.
    arms, rates = np.array([575.0, 590.0, 602.0]), np.array([48.0, 54.0, 60.0])
    over = {("rear", "arm_length_mm"): arms, ("rear", "spring_rate_n_mm"): rates}
    together = resolve(catalogue_figures(profile(name), over))
    for i in range(3):
        one = factories.machine_profile(
            rear={
                "linkage": LINKAGES[name],
                "travel_mm": 280.0,
                "arm_length_mm": arms[i],
                "spring_rate_n_mm": rates[i],
            }
        )
        alone = reference(one)
        assert together.rear_mm[i] == pytest.approx(float(alone.rear_mm), abs=1e-9)
        rise = np.array([40.0, 40.0, 40.0])
        assert together.machine.leverage.evaluate(rise)[1][i] == pytest.approx(
            float(alone.machine.leverage.evaluate(40.0)[1]), abs=1e-12
        )


def test_joints_that_do_not_meet() -> None:
    short = LINKAGES["rocker_on_frame"].replace(rod_joint_mm=[-66.0, -72.0])
    with pytest.raises(UnsolvableError, match="joints do not go together"):
        reference(factories.machine_profile(rear={"linkage": short}))
