"""Springs: pairs, shortening, margins, refusals."""

import numpy as np
import pytest

from fitplanner.mechanics.springs import (
    coil_bind_margin_mm,
    coil_volume_ml,
    concentric_pair,
    helical_rate_n_per_mm,
    series_rate_n_per_mm,
    shortened_rate_n_per_mm,
    stacked_pair,
)


def test_coil_bind_margin_counts_preload_and_travel() -> None:
    margin = coil_bind_margin_mm(free_length_mm=[260, 250], solid_length_mm=120, deflection_mm=135)
    assert margin.tolist() == [5, -5]


def test_cutting_coils_equals_winding_fewer() -> None:
    # G d^4 / (8 D^3 n) read twice: the shortened coil is a spring of the same wire, fewer turns.
    def wound(coils: float) -> float:
        return float(
            helical_rate_n_per_mm(
                wire_mm=4.6, mean_diameter_mm=33, active_coils=coils, shear_modulus_mpa=77_200
            )
        )

    cut = shortened_rate_n_per_mm(rate_n_per_mm=wound(30), active_coils=30, removed_coils=4)
    assert cut == pytest.approx(wound(26))


def test_coil_volume_is_a_torus_per_turn() -> None:
    # Pappus: a torus of section radius r about R holds 2 pi^2 R r^2.
    assert coil_volume_ml(wire_mm=5, mean_diameter_mm=40, total_coils=7) == pytest.approx(
        7 * 2 * np.pi**2 * 20 * 2.5**2 / 1000
    )


def test_concentric_pair_adds_the_short_spring() -> None:
    pair = concentric_pair(long_n_per_mm=4.0, short_n_per_mm=3.0, gap_mm=50.0)
    assert pair.force_n([-5, 0, 50, 80]).tolist() == [0, 0, 200, 200 + 30 * 7]
    assert pair.rate_n_per_mm([-5, 10, 50, 80]).tolist() == [0, 4, 7, 7]


def test_stacked_pair_balances_both_springs() -> None:
    # Independent: split the compression so that both carry the same force, room respected.
    k1, k2, room1, room2 = 20.0, 60.0, 15.0, 200.0
    pair = stacked_pair(
        first_n_per_mm=k1, second_n_per_mm=k2, first_room_mm=room1, second_room_mm=room2
    )
    for compression in (5.0, 19.0, 20.0, 40.0):
        first = min(compression * k2 / (k1 + k2), room1)
        assert pair.force_n(compression) == pytest.approx(k2 * (compression - first))
    assert pair.crossover_mm == pytest.approx(20.0)


def test_stacked_pair_does_not_care_for_the_order() -> None:
    one = stacked_pair(first_n_per_mm=20, second_n_per_mm=60, first_room_mm=15, second_room_mm=90)
    two = stacked_pair(first_n_per_mm=60, second_n_per_mm=20, first_room_mm=90, second_room_mm=15)
    grid = np.linspace(0, 60, 31)
    assert one.force_n(grid) == pytest.approx(two.force_n(grid))


def test_shapes_broadcast() -> None:
    pair = concentric_pair(
        long_n_per_mm=np.full((5, 1), 4.0), short_n_per_mm=3.0, gap_mm=np.full((5, 1), 10.0)
    )
    assert pair.force_n(np.linspace(0, 100, 7)).shape == (5, 7)
    assert series_rate_n_per_mm(np.ones((5, 1)), np.ones(7)).shape == (5, 7)


@pytest.mark.parametrize("bad", [0.0, -1.0, float("nan")])
def test_impossible_figures_are_refused_by_name(bad: float) -> None:
    with pytest.raises(ValueError, match="wire diameter"):
        helical_rate_n_per_mm(
            wire_mm=[4, bad], mean_diameter_mm=40, active_coils=5, shear_modulus_mpa=80_000
        )
    with pytest.raises(ValueError, match="coils left"):
        shortened_rate_n_per_mm(rate_n_per_mm=5, active_coils=4, removed_coils=4 - bad)


def test_a_coil_thinner_than_its_wire_is_refused() -> None:
    with pytest.raises(ValueError, match="larger than the wire"):
        helical_rate_n_per_mm(
            wire_mm=5, mean_diameter_mm=5, active_coils=5, shear_modulus_mpa=80_000
        )
    with pytest.raises(ValueError, match="short spring"):
        concentric_pair(long_n_per_mm=4, short_n_per_mm=4, gap_mm=-1)
