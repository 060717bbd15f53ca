"""Slips planted in a sound profile are found, named, and mended; sound profiles are left alone."""

from dataclasses import replace
from typing import Any

import pytest

from fitplanner.documents.base import Figure, Source
from fitplanner.documents.machine import LeverageTable, MachineProfile
from fitplanner.library.loader import load_library
from fitplanner.library.slips import lint
from fitplanner.library.slips.finding import Finding
from fitplanner.quantities import UnitSystem, fill
from tests import factories


def found(key: str, profile: MachineProfile) -> Finding:
    findings = {finding.key: finding for finding in lint(profile)}
    assert key in findings, list(findings)
    text, mend = (
        fill(words, UnitSystem.METRIC) for words in (findings[key].text, findings[key].mend)
    )
    return replace(findings[key], text=text, mend=mend)


@pytest.mark.parametrize("name", load_library().profiles)
def test_the_shipped_profiles_are_clean(name: str) -> None:
    assert lint(load_library().profiles[name]) == ()


# Exact factors: 1 in = 25.4 mm, 1 lb = 0.45359237 kg (both exact by definition), 1 lbf/in =
# 0.1751268 N/mm and 1 kgf/mm = 9.80665 N/mm (NIST SP 811, appendix B, from memory).
@pytest.mark.parametrize(
    ("section", "key", "typed", "unit", "mended"),
    [
        ("fork", "preload_mm", 8.0 / 25.4, "inches", "8.0 mm"),
        ("fork", "bump_gap_mm", 38.0 / 25.4, "inches", "38 mm"),
        ("rear", "preload_mm", 7.0 / 25.4, "inches", "7.0 mm"),
        ("seat", "edge_drop_mm", 35.0 / 25.4, "inches", "35 mm"),
        ("fork", "spring_rate_n_mm", 8.6 / 0.1751268, "lbf/in", "8.60 N/mm"),
        ("rear", "spring_rate_n_mm", 54.0 / 0.1751268, "lbf/in", "54.0 N/mm"),
        ("rear", "spring_rate_n_mm", 54.0 / 9.80665, "kgf/mm", "54.0 N/mm"),
        ("masses", "running_order_kg", 104.0 / 0.45359237, "lb", "104.0 kg"),
        ("masses", "front_unsprung_kg", 13.5 / 0.45359237, "lb", "13.5 kg"),
        ("rear", "gas_pressure_kpa", 10.0, "bar", "1000 kPa"),
    ],
)
def test_a_figure_in_a_foreign_unit_is_named(
    section: str, key: str, typed: float, unit: str, mended: str
) -> None:
    if (section, key, unit) == ("fork", "spring_rate_n_mm", "lbf/in"):
        profile = factories.machine_profile(fork={key: 4.3 / 0.1751268, "spring_legs": 2})
        mended = "4.30 N/mm"
    else:
        profile = factories.machine_profile(**{section: {key: typed}})
    finding = found(f"{section}.{key}", profile)
    assert finding.severity == "caution"
    assert f"read in {unit}, enter {mended}" in finding.mend


@pytest.mark.parametrize(
    ("key", "severity", "changes"),
    [
        ("catalogue.trail_mm", "stop", {"catalogue": {"trail_mm": 188.0}}),
        ("catalogue.trail_mm", "caution", {"catalogue": {"trail_mm": 40.0}}),
        ("masses.running_order_kg", "caution", {"masses": {"running_order_kg": 60.0}}),
        ("masses.payload_kg", "caution", {"masses": {"payload_kg": 46.0}}),
        ("masses.running_order_fuel_share", "note", {"masses": {"running_order_fuel_share": 0.1}}),
        ("rear.arm_length_mm", "caution", {"rear": {"arm_length_mm": 430.0}}),
        ("rear.pivot_height_mm", "caution", {"rear": {"pivot_height_mm": 660.0}}),
        (
            "rear.pivot_height_mm",
            "stop",
            {"rear": {"pivot_height_mm": 690.0, "arm_length_mm": 330.0}},
        ),
        ("rear.travel_mm", "caution", {"rear": {"travel_mm": 110.0}}),
        ("fork.travel_mm", "caution", {"fork": {"travel_mm": 130.0}}),
        ("fork.oil_level_mm", "caution", {"fork": {"air_volume_bottomed_ml": 30.0}}),
        ("fork.oil_level_mm", "caution", {"fork": {"oil_level_mm": 190.0}}),
        ("seat.x_mm", "caution", {"seat": {"x_mm": 900.0}}),
        ("seat.foam_squash_mm", "caution", {"seat": {"foam_squash_mm": 55.0, "foam_mm": 60.0}}),
    ],
)
def test_figures_that_contradict_each_other_are_found(
    key: str, severity: str, changes: dict[str, Any]
) -> None:
    profile = factories.machine_profile(**changes)
    assert lint(factories.machine_profile()) == ()
    finding = found(key, profile)
    assert finding.severity == severity
    assert finding.text.endswith(".") and finding.mend.endswith(".")


def test_half_the_arc_typed_for_the_whole_is_found() -> None:
    arc = Figure(value=1000.0, spread=5.0, source=Source.MAKER)
    finding = found("seat.arc_mm", factories.machine_profile(seat={"arc_mm": arc}))
    assert finding.severity == "stop" and "half the arc" in finding.mend


def _table(leverage: list[float], last_mm: float = 300.0) -> MachineProfile:
    steps = len(leverage) - 1
    table = LeverageTable(
        wheel_travel_mm=[last_mm * row / steps for row in range(steps + 1)], leverage=leverage
    )
    return factories.machine_profile(rear={"linkage": table})


SMOOTH = [3.10, 3.03, 2.94, 2.83, 2.70, 2.56, 2.40]


@pytest.mark.parametrize("row", range(len(SMOOTH)))
def test_a_mistyped_row_of_the_leverage_table_is_pointed_at(row: int) -> None:
    typed = [*SMOOTH]
    typed[row] += 0.3
    finding = found(f"rear.linkage.leverage.{row + 1}", _table(typed))
    assert f"row {row + 1}" in finding.text
    suggested = float(finding.mend.removesuffix(".").rsplit(" ", 1)[1])
    assert suggested == pytest.approx(SMOOTH[row], abs=0.05)


def test_a_ragged_table_is_called_ragged() -> None:
    assert (
        "not smooth"
        in found("rear.linkage.leverage", _table([3.1, 2.6, 3.1, 2.5, 3.0, 2.4, 2.9])).text
    )


def test_the_inverse_of_the_leverage_is_recognised() -> None:
    finding = found("rear.linkage.leverage", _table([1 / ratio for ratio in SMOOTH]))
    assert finding.severity == "stop" and "3.1" in finding.mend


def test_a_table_upside_down_and_one_too_long_are_noted() -> None:
    assert "softer" in found("rear.linkage.leverage", _table(SMOOTH[::-1])).text
    assert "400 mm" in found("rear.travel_mm", _table(SMOOTH, last_mm=400.0)).text


def test_a_reading_without_spread_is_noted_and_worst_comes_first() -> None:
    exact = Figure(value=590.0, spread=0.0, source=Source.MEASURED)
    profile = factories.machine_profile(
        rear={"arm_length_mm": exact}, catalogue={"trail_mm": 188.0}
    )
    findings = lint(profile)
    assert [finding.severity for finding in findings] == ["stop", "note"]
    assert "Swing-arm length" in findings[1].text
