"""What only the solved stock machine gives away: sag, bind, clearance, stand, joints."""

from dataclasses import replace
from typing import Any

import pytest

from fitplanner.documents.machine import LeverageTable, LinkagePoints, MachineProfile
from fitplanner.library.loader import load_library
from fitplanner.library.slips.finding import Finding, mended
from fitplanner.planning.profile_check import check_profile
from fitplanner.quantities import UnitSystem, fill
from tests import factories


def found(key: str, profile: MachineProfile) -> Finding:
    findings = {finding.key: finding for finding in check_profile(profile)}
    assert key in findings, list(findings)
    text, mend = (
        fill(words, UnitSystem.METRIC) for words in (findings[key].text, findings[key].mend)
    )
    return replace(findings[key], text=text, mend=mend)


@pytest.mark.parametrize("name", load_library().profiles)
def test_the_shipped_profiles_are_clean(name: str) -> None:
    assert check_profile(load_library().profiles[name]) == ()


@pytest.mark.parametrize(
    ("key", "severity", "changes", "words"),
    [
        ("rear.spring_rate_n_mm", "caution", {"rear": {"spring_rate_n_mm": 110.0}}, "would suit"),
        ("rear.spring_rate_n_mm", "caution", {"rear": {"spring_rate_n_mm": 32.0}}, "would suit"),
        ("fork.spring_rate_n_mm", "caution", {"fork": {"spring_legs": 2}}, "only one leg"),
        ("fork.spring_rate_n_mm", "caution", {"fork": {"spring_rate_n_mm": 3.7}}, "both legs"),
        ("rear.spring_solid_mm", "stop", {"rear": {"spring_solid_mm": 145.0}}, "free length"),
        ("fork.spring_solid_mm", "stop", {"fork": {"spring_solid_mm": 178.0}}, "free length"),
        (
            "rear.preload_mm",
            "caution",
            {"rear": {"preload_mm": 25.0, "preload_min_mm": 5.0}},
            "full extension",
        ),
        (
            "catalogue.ground_clearance_mm",
            "caution",
            {"catalogue": {"ground_clearance_mm": 200.0}},
            "both travels",
        ),
        ("stand.length_mm", "caution", {"stand": {"length_mm": 240.0}}, "upright machine"),
        ("catalogue.state", "caution", {"stand": {"length_mm": 370.0}}, "side-stand"),
    ],
)
def test_a_planted_slip_is_found(
    key: str, severity: str, changes: dict[str, Any], words: str
) -> None:
    finding = found(key, factories.machine_profile(**changes))
    assert finding.severity == severity
    assert words in finding.mend


def test_a_mass_in_pounds_is_told_before_its_sags() -> None:
    profile = load_library().profiles["hallowmoor-900"]
    heavy = profile.masses.running_order_kg.replace(value=380.0)
    slipped = profile.replace(masses=profile.masses.replace(running_order_kg=heavy))
    assert "lb" in found("masses.running_order_kg", slipped).mend


def test_a_spring_rate_in_pounds_within_the_usual_range_shows_in_the_sag() -> None:
    """At a low leverage about 33 N/mm suit; that is 188 lbf/in, which other machines could have."""
    table = LeverageTable(wheel_travel_mm=[0.0, 150.0, 300.0], leverage=[2.3, 2.15, 2.0])
    profile = factories.machine_profile(rear={"spring_rate_n_mm": 188.0, "linkage": table})
    finding = found("rear.spring_rate_n_mm", profile)
    assert "lbf/in" in finding.mend


def test_joints_that_do_not_go_together_stop_the_check() -> None:
    apart = LinkagePoints(
        layout="rocker_on_frame",
        frame_eye_mm=[17.0, 260.0],
        arm_point_mm=[-156.0, -57.0],
        frame_point_mm=[10.0, -107.0],
        rod_joint_mm=[-10.0, -112.0],
        shock_joint_mm=[-105.0, -125.0],
    )
    finding = found("catalogue", factories.machine_profile(rear={"linkage": apart}))
    assert finding.severity == "stop" and "joints" in finding.text


def test_a_stop_among_the_figures_is_told_before_anything_is_solved() -> None:
    profile = factories.machine_profile(catalogue={"trail_mm": 188.0}, stand={"length_mm": 275.0})
    assert [finding.key for finding in check_profile(profile)] == ["catalogue.trail_mm"]


def test_what_explains_it_about_as_well_is_said_too() -> None:
    """Twice too stiff in both legs: one leg is empty, or the rate is that of both springs."""
    finding = found("fork.spring_rate_n_mm", factories.machine_profile(fork={"spring_legs": 2}))
    assert "only one leg" in finding.mend and "both springs together" in finding.mend
    assert [change.address for change in finding.changes] == [("fork", "spring_legs")]


def test_a_slip_in_the_figures_is_mended_though_another_shows_only_when_solved() -> None:
    """The seat counted from the front, and a second spring that is not there."""
    slipped = factories.machine_profile(seat={"x_mm": 900.0}, fork={"spring_legs": 2})
    findings = check_profile(slipped)
    assert [finding.key for finding in findings] == ["seat.x_mm", "fork.spring_rate_n_mm"]
    for finding in findings:
        slipped = mended(slipped, finding)
    assert slipped.seat.x_mm.value == 540.0 and slipped.fork.spring_legs == 1
