"""Variance shares and sample designs against published values and a reference library."""

import numpy as np
import pytest
from scipy import stats
from scipy.stats import qmc

from fitplanner.mechanics.arrays import Array
from fitplanner.planning.unknown.sampling import latin, normal, sobol, uniform
from fitplanner.planning.unknown.sensitivity import sobol_indices

# T. Ishigami, T. Homma, Proc. ISUMA '90, 398, with a = 7, b = 0.1; the indices as tabulated in
# A. Saltelli et al., Global Sensitivity Analysis: The Primer (2008), also in closed form from
# V1 = (1 + b pi^4/5)^2/2, V2 = a^2/8, V13 = b^2 pi^8 (1/18 - 1/50).
FIRST = (0.3139, 0.4424, 0.0)
TOTAL = (0.5576, 0.4424, 0.2437)


def ishigami(points: Array) -> Array:
    x = np.pi * (2.0 * points - 1.0)
    return np.sin(x[:, 0]) * (1.0 + 0.1 * x[:, 2] ** 4) + 7.0 * np.sin(x[:, 1]) ** 2


def test_the_published_indices_follow_from_the_function() -> None:
    parts = (1 + 0.1 * np.pi**4 / 5) ** 2 / 2, 49 / 8, 0.01 * np.pi**8 * (1 / 18 - 1 / 50)
    whole = sum(parts)
    assert np.array([parts[0], parts[1], 0.0]) / whole == pytest.approx(FIRST, abs=1e-4)
    total = np.array([parts[0] + parts[2], parts[1], parts[2]]) / whole
    assert total == pytest.approx(TOTAL, abs=1e-4)


@pytest.mark.parametrize("seed", range(5))
def test_ishigami(seed: int) -> None:
    both = uniform(sobol(12, 6, seed=seed))
    found = sobol_indices(ishigami, both[:, :3], both[:, 3:])
    assert found.first == pytest.approx(FIRST, abs=0.004)
    assert found.total == pytest.approx(TOTAL, abs=0.002)


def test_ishigami_on_plain_hypercubes_is_rougher_but_right() -> None:
    one, other = (uniform(latin(20_000, 3, seed=seed)) for seed in (1, 2))
    found = sobol_indices(ishigami, one, other)
    assert found.first == pytest.approx(FIRST, abs=0.03)
    assert found.total == pytest.approx(TOTAL, abs=0.03)


def test_the_g_function_as_scipy_has_it() -> None:
    """Sobol's g-function, also in closed form: V_i = 1/(3 (1 + a_i)^2) (Saltelli 2010, eq. 27)."""
    a = np.array([0.0, 1.0, 4.5, 9.0, 99.0])

    def model(points: Array) -> Array:
        return np.prod((np.abs(4.0 * points - 2.0) + a) / (1.0 + a), axis=-1)

    both = uniform(sobol(13, 10, seed=3))
    mine = sobol_indices(model, both[:, :5], both[:, 5:])
    theirs = stats.sobol_indices(
        func=lambda x: model(x.T)[None], n=8192, dists=[stats.uniform()] * 5, random_state=4
    )
    assert mine.first == pytest.approx(theirs.first_order.ravel(), abs=0.01)
    assert mine.total == pytest.approx(theirs.total_order.ravel(), abs=0.01)
    parts = 1 / (3 * (1 + a) ** 2)
    assert mine.first == pytest.approx(parts / (np.prod(1 + parts) - 1), abs=0.01)


def test_groups_of_a_sum_add_up_and_two_results_are_told_apart() -> None:
    weights = np.array([3.0, 2.0, 1.0, 1.0])
    both = normal(sobol(10, 8, seed=5))

    def model(points: Array) -> Array:
        return np.stack([points @ weights, points[:, 0], np.ones(len(points))], axis=-1)

    found = sobol_indices(model, both[:, :4], both[:, 4:], [[0], [1], [2, 3]])
    assert found.total[:, 0] == pytest.approx(np.array([9, 4, 2]) / 15, abs=0.005)
    assert found.first[:, 0] == pytest.approx(np.array([9, 4, 2]) / 15, abs=0.01)
    assert found.total[:, 1] == pytest.approx([1.0, 0.0, 0.0], abs=0.005)
    assert np.all(found.first[:, 2] == 0.0) and np.all(found.total[:, 2] == 0.0)


def test_sobol_s_points_are_scipy_s_but_for_the_shift() -> None:
    """Same points in another order: SciPy steps by Gray's code."""
    ranks = sobol(10, 32, seed=6)
    gray = np.arange(1024) ^ (np.arange(1024) >> 1)
    unshifted = (ranks ^ ranks[0])[gray]
    assert np.array_equal(unshifted / 1024, qmc.Sobol(32, scramble=False).random(1024))


def test_each_design_has_each_rank_once_in_every_column() -> None:
    for ranks in (sobol(8, 32, seed=1), latin(301, 40, seed=2)):
        assert np.array_equal(
            np.sort(ranks, axis=0), np.tile(np.arange(len(ranks)), (ranks.shape[1], 1)).T
        )
    assert np.array_equal(latin(50, 3, seed=4), latin(50, 3, seed=4))
    assert not np.array_equal(latin(50, 3, seed=4), latin(50, 3, seed=5))


def test_normal_points_are_the_normal_quantiles() -> None:
    points = normal(latin(999, 2, seed=7))
    expected = stats.norm.ppf((np.arange(999) + 0.5) / 999)
    assert np.sort(points[:, 1]) == pytest.approx(expected, abs=1e-9)


def test_more_inputs_than_direction_numbers_are_refused() -> None:
    with pytest.raises(ValueError, match="32"):
        sobol(4, 33, seed=1)
