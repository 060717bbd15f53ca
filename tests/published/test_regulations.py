"""What rules and test codes say, held against what the program takes for granted or tells.

Read in a stored copy unless marked "from memory".
"""

import numpy as np
import pytest

from fitplanner.documents.machine import Masses
from fitplanner.library.loader import load_library
from fitplanner.mechanics.lamps import HEADLAMP_US, height_margin_mm
from fitplanner.mechanics.machine import weight_n
from fitplanner.mechanics.stand import PARKING_GRADIENTS, Slope, parked_stability
from fitplanner.planning.evaluate import evaluate
from fitplanner.planning.plan import Plan, WayId
from fitplanner.planning.resolve import reference
from tests.factories import job, machine_profile


@pytest.fixture(scope="module")
def plan() -> Plan:
    return evaluate(job())


def test_running_order_has_nine_tenths_of_the_fuel() -> None:
    # Regulation (EU) No 168/2013, Article 5(1)(c): fuel tanks filled to at least 90 % of their
    # capacity. Every profile that ships says so, and the field tells whoever fills it in.
    machines = load_library().profiles.values()
    assert len(machines) > 5
    assert all(m.masses.running_order_fuel_share.value >= 0.9 for m in machines)
    assert "90 %" in str(Masses.model_fields["running_order_fuel_share"].description)


def test_running_order_is_without_the_rider() -> None:
    # Article 5(2)(a): the mass in running order does not include the driver (75 kg) or the
    # passenger (65 kg). So it is the weight on both wheels with nobody on.
    profile = machine_profile()
    machine = reference(profile).machine
    fuel = 0.745 * 0.9 * profile.masses.tank_l.value
    kg = machine.sprung.mass_kg + fuel + machine.front_unsprung_kg + machine.rear_unsprung_kg
    assert kg == pytest.approx(profile.masses.running_order_kg.value)
    assert profile.catalogue.rider_mass_kg.value == 75.0


def test_side_stand_folds_rearward_and_upward(plan: Plan) -> None:
    # 49 CFR 571.123, S5.2.4: a stand folds rearward and upward if it contacts the ground when
    # the motorcycle moves forward. Said where a stand is shortened.
    check = next(c for c in plan.checks if c.key == "stand-length")
    assert "rearward and upward" in check.reason


@pytest.mark.parametrize("slope", [Slope.LEVEL, Slope.FAR_SIDE, Slope.NOSE_DOWN, Slope.NOSE_UP])
def test_tip_over_is_where_a_contact_carries_nothing(slope: Slope) -> None:
    # SAE J1101: tip-over is reached when the normal force of a contact becomes zero. The three
    # forces are solved from heave, pitch and roll on a plane tilted on towards the first edge.
    w, fx, fy, com = 1440.0, 560.0, 260.0, np.array([690.0, 95.0, 560.0])
    found = parked_stability(
        wheelbase_mm=w,
        foot_x_mm=fx,
        foot_y_mm=fy,
        com_x_mm=com[0],
        com_y_mm=com[1],
        com_z_mm=com[2],
        slope=slope,
        gradient=0.0,
    )
    corners = np.array([[0.0, 0.0], [w, 0.0], [fx, fy]])
    for edge, (start, end, free) in enumerate([(0, 1, 2), (1, 2, 0), (2, 0, 1)]):
        along = (corners[end] - corners[start]) / np.linalg.norm(corners[end] - corners[start])
        outward = np.array([along[1], -along[0]])
        margin = found.edge_margins_rad[edge]
        below = com[:2] + com[2] * np.tan(margin) * outward  # where gravity meets the plane
        system = np.vstack([np.ones(3), corners.T])
        forces = np.linalg.solve(system, [1.0, *below])
        assert forces[free] == pytest.approx(0.0, abs=1e-12)
        short = com[:2] + com[2] * np.tan(margin - 0.01) * outward
        assert np.linalg.solve(system, [1.0, *short])[free] > 0


def test_parking_slopes_are_gradients() -> None:
    # Directive 2009/78/EC, Annex I, 1.4 and 1.5: tilts are gradients in percent of the surface;
    # the figures of 6.2.2 themselves are from memory (93/31/EEC): 6, 6, 6 and 8 %.
    figures = {"w": 1440.0, "x": 690.0, "y": 95.0, "z": 560.0}
    level, uphill = (
        parked_stability(
            wheelbase_mm=figures["w"],
            foot_x_mm=560.0,
            foot_y_mm=260.0,
            com_x_mm=figures["x"],
            com_y_mm=figures["y"],
            com_z_mm=figures["z"],
            slope=slope,
        )
        for slope in (Slope.LEVEL, Slope.FAR_SIDE)
    )
    lost = level.edge_margins_rad[0] - uphill.edge_margins_rad[0]
    assert lost == pytest.approx(np.arctan(PARKING_GRADIENTS[Slope.FAR_SIDE]))
    assert np.tan(lost) == pytest.approx(0.06)


def test_headlamp_height_is_judged_at_curb_weight(plan: Plan) -> None:
    # 49 CFR 571.108, S6.1.4: height is measured to the lamp's centre with the vehicle at curb
    # weight, which is the machine on its wheels with nobody on. Window: see test_lamps.
    check = next(c for c in plan.checks if c.key == "lamp-height-us")
    # From the seat to the lamp on the rigid chassis of this profile, seat point and lamp both at
    # 930 mm and 730 mm apart in the catalogue attitude.
    seat_drop = sum(w.amount_mm for w in plan.ways if w.way is WayId.LOWER_SEAT)
    for state, judged in (
        (plan.states.planned.on_wheels, True),
        (plan.states.planned.rider_up, False),
    ):
        pitch = np.radians(state.pitch_deg)
        lamp = state.seat_height_mm + 730.0 * np.sin(pitch) + abs(seat_drop) * np.cos(pitch)
        assert bool(check.value == pytest.approx(lamp, abs=1e-6)) is judged
    assert check.margin == pytest.approx(float(height_margin_mm(check.value, HEADLAMP_US)))
    assert "from memory" in check.source


def test_weight_from_mass() -> None:
    # Standard gravity 9.80665 m/s2: 3rd General Conference on Weights and Measures, 1901.
    assert weight_n(1.0) == 9.80665
