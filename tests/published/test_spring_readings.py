"""A spring in the hand against handbook examples: the readings as they would be taken."""

import numpy as np
import pytest

from fitplanner.mechanics.spring_readings import (
    Across,
    Measured,
    Read,
    rate_from_dimensions,
    rate_from_press,
)
from fitplanner.mechanics.springs import EndType, WireMaterial

MM_PER_INCH = 25.4
N_PER_MM_PER_LBF_IN = 0.175126835
N_PER_LBF = 4.4482216152605


def music(
    wire: float, diameter: float, across: Across, coils: float, ends: EndType, counted_all: bool
) -> Measured:
    return rate_from_dimensions(
        wire_mm=Read(wire, 0.0),
        diameter_mm=Read(diameter, 0.0),
        across=across,
        coils=Read(coils, 0.0),
        counted_all=counted_all,
        ends=ends,
        material=WireMaterial.MUSIC,
    )


@pytest.mark.parametrize(
    ("across", "wires"), [(Across.OUTSIDE, 1.0), (Across.INSIDE, -1.0), (Across.MIDDLE, 0.0)]
)
def test_shigley_example_10_1(across: Across, wires: float) -> None:
    # Budynas and Nisbett, Shigley's Mechanical Engineering Design, 10th ed., Example 10-1: music
    # wire 0.037 in, outside 7/16 in, 12.5 turns, squared ends: 4.13 lbf/in, solid 0.500 in,
    # mean diameter 0.400 in, 10.5 active turns, index 10.8.
    diameter = (0.400 + wires * 0.037) * MM_PER_INCH
    found = music(0.037 * MM_PER_INCH, diameter, across, 12.5, EndType.SQUARED, True)
    assert found.rate_n_mm / N_PER_MM_PER_LBF_IN == pytest.approx(4.13, abs=0.01)
    assert found.solid_mm / MM_PER_INCH == pytest.approx(0.500, abs=0.0006)
    assert found.mean_diameter_mm / MM_PER_INCH == pytest.approx(0.400)
    assert found.active_coils == 10.5
    assert found.index == pytest.approx(10.8, abs=0.05)


def test_shigley_problem_10_3() -> None:
    # Shigley, Problem 10-3 (the answer from memory): music wire 2.5 mm, outside 31 mm, plain
    # ground ends, 14 total coils: 13 active, mean 28.5 mm, index 11.4, 1.314 N/mm, solid 35 mm.
    found = music(2.5, 31.0, Across.OUTSIDE, 14.0, EndType.PLAIN_GROUND, True)
    assert found.active_coils == 13.0 and found.mean_diameter_mm == 28.5
    assert found.index == pytest.approx(11.4)
    assert found.rate_n_mm == pytest.approx(1.314, abs=5e-4)
    assert found.solid_mm == pytest.approx(35.0)


def test_bhandari_example_10_7() -> None:
    # Bhandari, Design of Machine Elements, Example 10.7: d 5 mm, D 40 mm, n 5, G 81,370 MPa give
    # 19.8657 N/mm; the steel here is the table's 80,000 MPa, and the rate goes with the modulus.
    found = music(5.0, 40.0, Across.MIDDLE, 5.0, EndType.SQUARED_GROUND, False)
    assert found.rate_n_mm == pytest.approx(19.8657 * 80_000 / 81_370, rel=1e-5)


def test_a_press_on_shigleys_spring() -> None:
    # Example 10-1 goes on: free length 0.911 in, to solid 1.70 lbf. Pressed half way and there.
    free, rate = 0.911, 4.13
    length = np.array([free - 0.411, free - 0.2]) * MM_PER_INCH
    force = np.array([1.70, rate * 0.2]) * N_PER_LBF
    found = rate_from_press(
        length, force, length_spread_mm=0.1, force_spread_n=0.01, scale_spread=0.0
    )
    assert found.rate_n_mm / N_PER_MM_PER_LBF_IN == pytest.approx(4.13, rel=0.005)
    assert found.free_mm / MM_PER_INCH == pytest.approx(free, abs=0.002)


def test_wire_read_five_hundredths_off_is_several_per_cent() -> None:
    # The rate goes with d^4, and with the mean diameter's cube, which an outside reading moves
    # too: (4/d + 3/D) 0.05 mm is 4.9 % for the 4.5 mm wire of a fork spring of 36 mm.
    found = rate_from_dimensions(
        wire_mm=Read(4.5, 0.05),
        diameter_mm=Read(36.0, 0.0),
        across=Across.OUTSIDE,
        coils=Read(45.0, 0.0),
        counted_all=True,
        ends=EndType.SQUARED_GROUND,
        material=WireMaterial.CHROME_SILICON,
    )
    of_wire = np.sqrt(found.shares["wire"]) * found.spread_n_mm / found.rate_n_mm
    assert of_wire == pytest.approx(0.049, abs=0.0005)
