"""The linkage for its drawing: series, places, faults by name, and another layout to start from."""

from dataclasses import replace

import numpy as np
import pytest

from fitplanner.documents.base import Source
from fitplanner.documents.machine import LeverageTable, LinkagePoints, MachineProfile
from fitplanner.library.loader import load_library
from fitplanner.planning.joints import Fault, joint_names, refused
from fitplanner.planning.linkage import (
    LAYOUTS,
    entered,
    in_layout,
    linkage_motion,
    made_up,
    odd_leverage,
    rear_in_layout,
)
from fitplanner.planning.resolve import LinkageError, UnsolvableError, reference
from fitplanner.quantities import UnitSystem, fill
from tests import factories
from tests.property.test_leverage_linkage import LINKAGES, profile, travel_by_closure

PROFILES = load_library().profiles


@pytest.mark.parametrize("name", PROFILES)
def test_series_are_those_of_the_solver(name: str) -> None:
    machine = PROFILES[name]
    motion, solved = linkage_motion(machine), reference(machine).machine
    rear = machine.rear
    assert motion.rise_mm[0] == 0.0 and motion.rise_mm[-1] == rear.travel_mm.value
    shock, ratio, _ = solved.leverage.evaluate(motion.rise_mm)
    assert motion.shock_mm == pytest.approx(shock) and motion.leverage == pytest.approx(1 / ratio)
    spring = rear.spring_rate_n_mm.value * (rear.preload_mm.value + shock)
    assert motion.spring_n == pytest.approx(spring)
    # The wheel rate is the slope of the force at the wheel: by differences, without the rubber.
    gas = rear.gas_pressure_kpa.value * np.pi / 4 * rear.rod_diameter_mm.value**2 * 1e-3
    force = (spring + gas) * ratio
    slope = np.gradient(force, motion.rise_mm, edge_order=2)
    assert motion.wheel_rate_n_mm[2:-2] == pytest.approx(slope[2:-2], rel=5e-3)


@pytest.mark.parametrize("name", LINKAGES)
def test_joints_move_as_the_loops_close(name: str) -> None:
    machine = profile(name)
    motion, linkage = linkage_motion(machine), LINKAGES[name]
    eye = np.array(linkage.frame_eye_mm)
    end = motion.places_mm["arm_point_mm" if name == "direct" else "shock_joint_mm"]
    length = np.linalg.norm(end - eye, axis=-1)
    closed = travel_by_closure(reference(machine).machine, linkage, motion.rise_mm)
    assert length[0] - length == pytest.approx(closed, abs=1e-6)
    for key, path in motion.places_mm.items():
        if key != "axle":
            assert path[0] == pytest.approx(getattr(linkage, key), abs=1e-9)
    axle = motion.places_mm["axle"]
    assert np.linalg.norm(axle, axis=-1) == pytest.approx(machine.rear.arm_length_mm.value)
    assert axle[:, 1] - axle[0, 1] == pytest.approx(motion.rise_mm)


def test_a_table_moves_the_axle_alone() -> None:
    assert list(linkage_motion(factories.machine_profile()).places_mm) == ["axle"]


def fault_of(name: str, **places: list[float]) -> Fault:
    machine = factories.machine_profile(
        rear={"linkage": LINKAGES[name].replace(**places), "travel_mm": 280.0}
    )
    with pytest.raises(LinkageError, match="do not go together") as refusal:
        linkage_motion(machine)
    return refusal.value.fault


@pytest.mark.parametrize(
    ("name", "places", "joint", "words"),
    [
        (
            "rocker_on_frame",
            {"rod_joint_mm": [-65.0, -70.4]},
            "rod_joint_mm",
            "lie on the rocker's pivot on the frame",
        ),
        (
            "rocker_on_frame",
            {"rod_joint_mm": [-225.0, -90.0]},
            "rod_joint_mm",
            "lie on the rod's end on the swing-arm",
        ),
        (
            "rocker_on_arm",
            {"frame_point_mm": [-230.0, -120.0]},
            "arm_point_mm",
            "lie on the rod's end on the frame",
        ),
        (
            "rocker_on_arm",
            {"shock_joint_mm": [-60.0, 290.0]},
            "shock_joint_mm",
            "lie on the shock's eye on the frame",
        ),
        (
            "direct",
            {"arm_point_mm": [-20.0, 310.5]},
            "arm_point_mm",
            "lie on the shock's eye on the frame",
        ),
        (
            "rocker_on_frame",
            {"rod_joint_mm": [-145.0, -80.0]},
            "rod_joint_mm",
            "could go either way",
        ),
        ("rocker_on_frame", {"rod_joint_mm": [-66.0, -72.0]}, "rod_joint_mm", "rod and rocker"),
        ("direct", {"arm_point_mm": [-202.0, 500.0]}, "arm_point_mm", "longer, not shorter"),
        (
            "rocker_on_frame",
            {"shock_joint_mm": [40.0, -60.0]},
            "shock_joint_mm",
            "longer, not shorter",
        ),
    ],
)
def test_joints_that_do_not_go_together_are_named(
    name: str, places: dict[str, list[float]], joint: str, words: str
) -> None:
    fault = fault_of(name, **places)
    assert fault.joint == joint and words in fault.what
    assert fault.name == joint_names(name)[joint]
    said = fill(fault.text, UnitSystem.METRIC)
    assert said.startswith(fault.name[:1].upper()) and said.endswith(".") and "{" not in said


def test_where_the_travel_ends_is_told_in_the_unit_shown() -> None:
    fault = fault_of("rocker_on_frame", rod_joint_mm=[-66.0, -72.0])
    metric, inch = (fill(fault.what, system) for system in (UnitSystem.METRIC, UnitSystem.INCH))
    assert " mm of wheel travel" in metric and " in of wheel travel" in inch


def test_what_was_moved_is_blamed_first() -> None:
    fault = fault_of("rocker_on_frame", shock_joint_mm=[40.0, -60.0])
    assert refused("rod's end on the rocker", fault).startswith("Rod's end on the rocker cannot")


@pytest.mark.parametrize("name", PROFILES)
@pytest.mark.parametrize("layout", LAYOUTS)
def test_every_machine_can_begin_in_every_layout(name: str, layout: str) -> None:
    machine = PROFILES[name]
    new = in_layout(machine, layout)
    assert new.layout == layout
    changed: MachineProfile = machine.replace(rear=machine.rear.replace(linkage=new))
    motion = linkage_motion(changed)
    if layout == "table":
        before = linkage_motion(machine)
        assert motion.leverage == pytest.approx(before.leverage, rel=2e-3)
        assert motion.shock_mm == pytest.approx(before.shock_mm, abs=0.1)
    elif machine.rear.linkage.layout == layout:
        assert new is machine.rear.linkage
    else:
        assert isinstance(new, LinkagePoints) and 1.5 < motion.leverage.mean() < 4.5


@pytest.mark.parametrize("layout", LAYOUTS[1:])
def test_made_up_joints_are_assumed_until_they_are_entered(layout: str) -> None:
    machine = factories.machine_profile()
    assert machine.rear.linkage.layout == "table"
    rear = rear_in_layout(machine, layout)
    factor = rear.leverage_factor
    assert made_up(rear) and factor.source is Source.ASSUMED and factor.spread >= 0.1
    # A table made of them is known no better.
    back = rear_in_layout(machine.replace(rear=rear), "table")
    assert made_up(back) and back.leverage_factor.spread == factor.spread
    sure = entered(rear)
    assert not made_up(sure) and sure.leverage_factor.source is Source.MEASURED
    assert sure.linkage is rear.linkage


def test_a_factor_counts_once_where_joints_become_a_table() -> None:
    machine = PROFILES["duncarrow-250"]
    factor = machine.rear.leverage_factor.replace(value=0.95)
    fitted = machine.replace(rear=machine.rear.replace(leverage_factor=factor))
    table = fitted.replace(rear=rear_in_layout(fitted, "table"))
    assert linkage_motion(table).leverage == pytest.approx(
        linkage_motion(fitted).leverage, rel=2e-3
    )
    assert table.rear.leverage_factor.spread == factor.spread


def test_a_leverage_that_no_machine_has_gets_a_word() -> None:
    motion = linkage_motion(PROFILES["duncarrow-250"])
    assert odd_leverage(motion) == ""
    far = replace(motion, leverage=motion.leverage * 10)
    assert "2 to 4 is common" in odd_leverage(far)


def test_joints_that_are_stuck_cannot_become_a_table() -> None:
    broken = LINKAGES["rocker_on_frame"].replace(rod_joint_mm=[-66.0, -72.0])
    machine = factories.machine_profile(rear={"linkage": broken, "travel_mm": 280.0})
    with pytest.raises(UnsolvableError):
        in_layout(machine, "table")


def test_a_table_keeps_its_readings_in_a_file() -> None:
    from fitplanner.documents.codec import dump, load_machine

    table = factories.machine_profile().rear.linkage
    assert isinstance(table, LeverageTable)
    machine = factories.machine_profile(
        rear={"linkage": table.replace(read_wheel_mm=[0.0, 150.0], read_shock_mm=[0.0, 52.5])}
    )
    assert load_machine(dump(machine)) == machine
    assert "read_wheel_mm" not in dump(factories.machine_profile())


def test_readings_without_their_other_half_are_refused() -> None:
    table = factories.machine_profile().rear.linkage
    with pytest.raises(ValueError, match="one shock travel for each"):
        table.replace(read_wheel_mm=[0.0, 150.0])
