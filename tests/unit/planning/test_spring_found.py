"""What a spring in the hand says, in words, and the figures that follow."""

from typing import Any

import pytest

from fitplanner.documents.base import Figure, Source
from fitplanner.mechanics.spring_readings import Across, Read
from fitplanner.mechanics.springs import EndType, WireMaterial
from fitplanner.planning.leverage_found import ReadingsError
from fitplanner.planning.spring_found import (
    OLD_SPRING,
    SpringFound,
    by_dimensions,
    by_press,
    far_off,
)
from fitplanner.quantities import UnitSystem, fill

DIMENSIONS: dict[str, Any] = {
    "wire_mm": Read(11.0, 0.05),
    "diameter_mm": Read(68.0, 0.3),
    "across": Across.OUTSIDE,
    "coils": Read(8.5, 0.1),
    "counted_all": True,
    "ends": EndType.SQUARED_GROUND,
    "material": WireMaterial.CHROME_SILICON,
}
PRESS: dict[str, Any] = {
    "in_kg": False,
    "length_spread_mm": 0.3,
    "force_spread": 5.0,
    "scale_spread": 0.01,
}


PRESENT = {
    key: Figure(value=value, spread=1.0, source=Source.MEASURED)
    for key, value in (
        ("spring_rate_n_mm", 110.0),
        ("spring_free_mm", 230.0),
        ("spring_solid_mm", 95.0),
    )
}


def measured(**changes: Any) -> SpringFound:
    return by_dimensions(**{**DIMENSIONS, **changes})


def words(found: SpringFound, system: UnitSystem = UnitSystem.METRIC) -> str:
    said = " ".join(fill(each, system) for each in found.remarks)
    assert "{" not in said
    return said


def test_figures_for_the_profile() -> None:
    found = measured(free_mm=Read(225.0, 1.0))
    figures = found.figures("wire 11 mm", PRESENT)
    assert set(figures) == {"spring_rate_n_mm", "spring_free_mm", "spring_solid_mm"}
    for figure in figures.values():
        assert figure.source is Source.MEASURED and figure.origin == "wire 11 mm"
    # k = 77,200 * 11^4 / (8 * 57^3 * 6.5)
    assert figures["spring_rate_n_mm"].value == pytest.approx(117.4, abs=0.1)
    assert figures["spring_solid_mm"].value == pytest.approx(11.0 * 8.5)
    assert figures["spring_free_mm"].value == 225.0 and figures["spring_free_mm"].spread == 1.0


def test_a_length_that_was_not_read_is_that_of_the_spring_before() -> None:
    kept = measured().figures("", PRESENT)["spring_free_mm"]
    assert kept.value == 230.0 and kept.source is Source.ESTIMATED and kept.spread >= 5.0
    assert kept.origin == OLD_SPRING
    guess = {**PRESENT, "spring_free_mm": Figure(value=230.0, spread=9.0)}
    assert "spring_free_mm" not in measured().figures("", guess)


@pytest.mark.parametrize(
    ("rate", "said"), [(60.0, ""), (40.0, ""), (186.0, "3.3 times"), (0.72, "only {percent")]
)
def test_a_rate_far_from_the_present_one_is_told(rate: float, said: str) -> None:
    assert bool(far_off(rate, 56.0)) is bool(said) and said in far_off(rate, 56.0)


@pytest.mark.parametrize(
    ("changes", "cause"),
    [
        ({"wire_mm": Read(11.0, 0.3)}, "the wire"),
        ({"diameter_mm": Read(68.0, 3.0)}, "the coil's diameter"),
        ({"coils": Read(8.5, 0.6)}, "the count of coils"),
        (
            {"wire_mm": Read(11.0, 0.01), "diameter_mm": Read(68.0, 0.05), "coils": Read(8.5, 0.0)},
            "the steel itself",
        ),
    ],
)
def test_the_reading_that_causes_most_of_the_band_is_named(
    changes: dict[str, Any], cause: str
) -> None:
    assert f"comes from {cause}" in words(measured(**changes))
    assert "lbf/in" in words(measured(**changes), UnitSystem.INCH)


def test_a_coil_out_of_the_formulas_range_is_a_caution() -> None:
    assert not measured().cautious
    wide = measured(diameter_mm=Read(190.0, 0.3))
    assert wide.cautious and "wires wide" in words(wide)


@pytest.mark.parametrize(
    ("changes", "text"),
    [
        ({"coils": Read(1.5, 0.1)}, "No spring has these dimensions"),
        ({"diameter_mm": Read(15.0, 0.1)}, "No spring has these dimensions"),
        ({"free_mm": Read(90.0, 1.0)}, "all coils touching 94 mm"),
    ],
)
def test_what_is_no_spring(changes: dict[str, Any], text: str) -> None:
    with pytest.raises(ReadingsError) as refusal:
        measured(**changes)
    assert text in fill(str(refusal.value), UnitSystem.METRIC)


def test_kilograms_on_a_scale_are_their_weight() -> None:
    newton = by_press([150.0, 140.0], [98.0665, 196.133], **PRESS)
    kilograms = by_press(
        [150.0, 140.0], [10.0, 20.0], **{**PRESS, "in_kg": True, "force_spread": 5.0 / 9.80665}
    )
    assert kilograms.rate_n_mm.value == pytest.approx(newton.rate_n_mm.value)
    assert kilograms.rate_n_mm.spread == pytest.approx(newton.rate_n_mm.spread)


def test_a_row_off_the_line_is_named() -> None:
    force = [60.0 * (200.0 - length) for length in (180, 170, 160, 150, 140)]
    force[2] += 120.0
    found = by_press([180, 170, 160, 150, 140], force, **PRESS)
    assert found.cautious and found.misfits[0] == 2 and "Row 3 does not go" in words(found)


def test_a_spring_that_stiffens_has_no_single_rate() -> None:
    length = [190.0, 180.0, 170.0, 160.0, 150.0]
    force = [40.0 * (200 - each) + 0.5 * (200 - each) ** 2 for each in length]
    assert "gets stiffer" in words(by_press(length, force, **PRESS))
    straight = by_press(length, [40.0 * (200 - each) for each in length], **PRESS)
    assert "stiffer" not in words(straight) and not straight.cautious


def test_readings_near_free_or_solid_are_told() -> None:
    free, solid = Read(200.0, 1.0), 100.0
    good = by_press([175.0, 130.0], [1500.0, 4200.0], free_mm=free, solid_mm=solid, **PRESS)
    near = by_press([195.0, 130.0], [300.0, 4200.0], free_mm=free, solid_mm=solid, **PRESS)
    assert not good.cautious
    assert near.cautious and "between 180 mm and 120 mm" in words(near)
    assert near.free_mm == free and near.solid_mm is None


@pytest.mark.parametrize(
    ("length", "force", "text"),
    [
        ([150.0], [100.0], "two lengths or more"),
        ([150.0, 149.8], [100.0, 120.0], "at least 1 mm apart"),
        ([150.0, 140.0], [100.0, 90.0], "does not grow"),
        ([150.0, -1.0], [100.0, 120.0], "Row 2: a length is above zero"),
        ([150.0, 140.0], [-3.0, 120.0], "Row 1: a length is above zero"),
    ],
)
def test_readings_without_a_rate(length: list[float], force: list[float], text: str) -> None:
    with pytest.raises(ReadingsError) as refusal:
        by_press(length, force, **PRESS)
    assert text in fill(str(refusal.value), UnitSystem.METRIC)
