"""Springs against handbook examples and tables."""

import numpy as np
import pytest

from fitplanner.mechanics.springs import (
    EndType,
    WireMaterial,
    helical_rate_n_per_mm,
    shear_modulus_mpa,
    solid_length_mm,
    total_coils,
)

MM_PER_INCH = 25.4
MPA_PER_PSI = 6.894757293168e-3
N_PER_MM_PER_LBF_IN = 0.175126835


def test_shigley_example_10_1() -> None:
    # Budynas and Nisbett, Shigley's Mechanical Engineering Design, 10th ed., Example 10-1:
    # d 0.037 in, D 0.400 in, squared ends, 12.5 turns, G 11.85 Mpsi: 4.13 lbf/in, solid 0.500 in.
    wire = 0.037 * MM_PER_INCH
    rate = helical_rate_n_per_mm(
        wire_mm=wire,
        mean_diameter_mm=0.400 * MM_PER_INCH,
        active_coils=10.5,
        shear_modulus_mpa=11.85e6 * MPA_PER_PSI,
    )
    solid = solid_length_mm(wire_mm=wire, active_coils=10.5, ends=EndType.SQUARED)
    assert total_coils(active_coils=10.5, ends=EndType.SQUARED) == 12.5
    assert rate / N_PER_MM_PER_LBF_IN == pytest.approx(4.13, abs=0.005)
    assert solid / MM_PER_INCH == pytest.approx(0.500, abs=0.0005 + 1e-9)


def test_bhandari_example_10_7() -> None:
    # Bhandari, Design of Machine Elements, Example 10.7: 19.8657 N/mm.
    rate = helical_rate_n_per_mm(
        wire_mm=5, mean_diameter_mm=40, active_coils=5, shear_modulus_mpa=81_370
    )
    assert rate == pytest.approx(19.8657, abs=5e-5)


@pytest.mark.parametrize(
    ("material", "wire_in", "modulus_gpa"),
    [
        # Shigley, Table 10-5.
        (WireMaterial.MUSIC, 0.020, 82.7),
        (WireMaterial.MUSIC, 0.032, 82.7),
        (WireMaterial.MUSIC, 0.033, 81.7),
        (WireMaterial.MUSIC, 0.063, 81.7),
        (WireMaterial.MUSIC, 0.064, 81.0),
        (WireMaterial.MUSIC, 0.125, 81.0),
        (WireMaterial.MUSIC, 0.160, 80.0),
        (WireMaterial.HARD_DRAWN, 0.030, 80.7),
        (WireMaterial.HARD_DRAWN, 0.050, 80.0),
        (WireMaterial.HARD_DRAWN, 0.100, 79.3),
        (WireMaterial.HARD_DRAWN, 0.200, 78.6),
        (WireMaterial.OIL_TEMPERED, 0.200, 77.2),
        (WireMaterial.CHROME_VANADIUM, 0.200, 77.2),
        (WireMaterial.CHROME_SILICON, 0.200, 77.2),
    ],
)
def test_shigley_table_10_5(material: WireMaterial, wire_in: float, modulus_gpa: float) -> None:
    modulus = shear_modulus_mpa(material, wire_mm=wire_in * MM_PER_INCH)
    assert modulus == pytest.approx(modulus_gpa * 1000)


def test_moduli_agree_with_a_second_table_in_psi() -> None:
    # Machinery's Handbook, moduli of spring materials (second-hand): music wire
    # 12.0, 11.85, 11.75, 11.6 and hard-drawn 11.7, 11.6, 11.5, 11.4 million psi; rounding 0.1 %.
    wire = np.array([0.020, 0.050, 0.100, 0.200]) * MM_PER_INCH
    for material, mpsi in (
        (WireMaterial.MUSIC, [12.0, 11.85, 11.75, 11.6]),
        (WireMaterial.HARD_DRAWN, [11.7, 11.6, 11.5, 11.4]),
    ):
        expected = np.array(mpsi) * 1e6 * MPA_PER_PSI
        assert shear_modulus_mpa(material, wire_mm=wire) == pytest.approx(expected, rel=1e-3)


@pytest.mark.parametrize(
    ("ends", "turns", "solid_in_wires"),
    [
        # Shigley, Table 10-1, with 8 active coils: total turns, solid length over wire diameter.
        (EndType.PLAIN, 8, 9),
        (EndType.PLAIN_GROUND, 9, 9),
        (EndType.SQUARED, 10, 11),
        (EndType.SQUARED_GROUND, 10, 10),
    ],
)
def test_shigley_table_10_1(ends: EndType, turns: float, solid_in_wires: float) -> None:
    assert total_coils(active_coils=8, ends=ends) == turns
    solid = solid_length_mm(wire_mm=4.5, active_coils=8, ends=ends)
    assert solid == pytest.approx(4.5 * solid_in_wires)
