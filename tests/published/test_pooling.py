"""Partial pooling against the eight schools, and against plain quadrature of the model.

Data: D. B. Rubin, J. Educ. Stat. 6 (1981) 377, rounded as in A. Gelman et al., Bayesian Data
Analysis, 3rd ed. (2013), Table 5.2 (checked against several public copies of it).
"""

import numpy as np
import pytest
from scipy import integrate, stats

from fitplanner.planning.measured.pooling import pooled

EFFECTS = (28.0, 8.0, -3.0, 7.0, -1.0, 1.0, 18.0, 12.0)
ERRORS = (15.0, 10.0, 16.0, 11.0, 9.0, 11.0, 10.0, 18.0)

# Table 5.3 of the same book, from 200 simulations and from memory: 2.5 %, 25 %, median, 75 %,
# 97.5 %. Never the only check: the next test integrates the model by itself.
TABLE = (
    (-2, 7, 10, 16, 31),
    (-5, 3, 8, 12, 23),
    (-11, 2, 7, 11, 19),
    (-7, 4, 8, 11, 21),
    (-9, 1, 5, 10, 18),
    (-7, 2, 6, 10, 28),
    (-1, 7, 10, 15, 26),
    (-6, 3, 8, 13, 33),
)


def test_eight_schools_as_the_book_has_them() -> None:
    found = pooled(EFFECTS, ERRORS, most_tau=100.0)
    for school, row in zip(found.groups, TABLE, strict=True):
        got = [school.quantile(share) for share in (0.025, 0.25, 0.5, 0.75, 0.975)]
        # 200 simulations leave about 1 in the middle, and several in the tails.
        assert got[1:4] == pytest.approx(row[1:4], abs=1.2)
        assert got[0] == pytest.approx(row[0], abs=3.0)
        assert got[4] == pytest.approx(row[4], abs=10.0)


def test_complete_pooling_as_the_book_has_it() -> None:
    """Mean 7.7 with a standard error of 4.1, for a tau of nothing (section 5.5)."""
    found = pooled(EFFECTS, ERRORS, most_tau=1e-6)
    assert found.mean.mean == pytest.approx(7.7, abs=0.05)
    assert found.mean.spread == pytest.approx(4.1, abs=0.05)


def test_the_grid_is_the_integral() -> None:
    """Posterior mean and spread of each school by adaptive quadrature over mu and tau."""
    y, s = np.array(EFFECTS), np.array(ERRORS)

    def joint(mu: float, tau: float) -> float:
        return float(np.prod(stats.norm.pdf(y, mu, np.hypot(s, tau))) * 1e14)

    def over(weight: str, school: int) -> float:
        def inside(mu: float, tau: float) -> float:
            v = 1.0 / (1.0 / s[school] ** 2 + 1.0 / tau**2)
            m = v * (y[school] / s[school] ** 2 + mu / tau**2)
            moments = {"1": 1.0, "m": m, "mm": m**2 + v}
            return moments[weight] * joint(mu, tau)

        return float(
            integrate.dblquad(inside, 1e-3, 100.0, -60.0, 80.0, epsabs=1e-8, epsrel=1e-6)[0]
        )

    found = pooled(EFFECTS, ERRORS, most_tau=100.0)
    for school in (0, 2):
        total = over("1", school)
        mean = over("m", school) / total
        spread = np.sqrt(over("mm", school) / total - mean**2)
        assert found.groups[school].mean == pytest.approx(mean, abs=0.01)
        assert found.groups[school].spread == pytest.approx(spread, abs=0.01)


def test_groups_far_apart_for_their_errors_are_left_alone_and_like_ones_drawn_together() -> None:
    apart = pooled((0.0, 50.0, 100.0), (1.0, 1.0, 1.0), most_tau=500.0)
    assert [each.mean for each in apart.groups] == pytest.approx((0.0, 50.0, 100.0), abs=0.2)
    alike = pooled((9.9, 10.0, 10.1), (5.0, 5.0, 5.0), most_tau=50.0)
    assert all(abs(each.mean - 10.0) < 0.1 for each in alike.groups)
    assert all(each.spread < 5.0 for each in alike.groups)


def test_one_group_stands_as_it_is_and_a_new_one_is_less_sure() -> None:
    found = pooled((0.93,), (0.05,), most_tau=0.3)
    assert found.groups[0].mean == pytest.approx(0.93) and found.new.spread > 0.05
    assert found.groups[0].spread == pytest.approx(0.05, abs=1e-9)


@pytest.mark.parametrize(("values", "spreads"), [((), ()), ((1.0,), (0.0,)), ((1.0, 2.0), (1.0,))])
def test_what_cannot_be_pooled_is_refused(
    values: tuple[float, ...], spreads: tuple[float, ...]
) -> None:
    with pytest.raises(ValueError, match="one positive spread for each"):
        pooled(values, spreads, most_tau=1.0)
