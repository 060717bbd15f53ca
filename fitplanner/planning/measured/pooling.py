"""Groups that are alike but not the same: each one's mean, drawn towards the mean of all.

Owns the hierarchical normal model: y_j ~ N(theta_j, s_j^2) with s_j known, theta_j ~ N(mu, tau^2),
flat priors on mu and on tau. Given tau everything is normal and in closed form; tau is integrated
over on a grid, so nothing is sampled. Refuses to know what a group is.

Source: D. B. Rubin, J. Educ. Stat. 6 (1981) 377; A. Gelman et al., Bayesian Data Analysis, 3rd ed.
(2013), section 5.4, equations 5.17, 5.20, 5.21 (numbers of the equations from memory).
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from fitplanner.mechanics.arrays import Array

_TAUS = 801
_HALVINGS = 50


@dataclass(frozen=True)
class Mixture:
    """A figure that is normal given tau: a weighted mixture over the grid of tau."""

    means: Array
    spreads: Array
    weights: Array

    @property
    def mean(self) -> float:
        """Posterior mean."""
        return float(self.weights @ self.means)

    @property
    def spread(self) -> float:
        """Posterior standard deviation."""
        second = self.weights @ (self.spreads**2 + (self.means - self.mean) ** 2)
        return float(np.sqrt(second))

    def quantile(self, share: float) -> float:
        """The value below which `share` of the posterior lies."""
        from scipy.special import ndtr

        reach = 10.0 * self.spread
        low, high = self.mean - reach, self.mean + reach
        for _ in range(_HALVINGS):
            middle = (low + high) / 2.0
            below = float(self.weights @ ndtr((middle - self.means) / self.spreads))
            low, high = (middle, high) if below < share else (low, middle)
        return (low + high) / 2.0


@dataclass(frozen=True)
class Pooled:
    """Every group after all: `mean` of the groups to come, `groups`, and `tau` between them.

    `new` is a group of which nothing is known yet.
    """

    mean: Mixture
    new: Mixture
    groups: tuple[Mixture, ...]
    tau: float


def pooled(values: Sequence[float], spreads: Sequence[float], *, most_tau: float) -> Pooled:
    """Partial pooling of groups' estimates with their known spreads.

    Args:
        most_tau: end of the grid; with fewer than three groups the data say little of tau, and
            the posterior hangs on it.

    Raises:
        ValueError: no group, or a spread that is not positive.
    """
    y, s = np.asarray(values, dtype=float), np.asarray(spreads, dtype=float)
    if not len(y) or len(y) != len(s) or not np.all(s > 0) or most_tau <= 0:
        raise ValueError("pooling: give one positive spread for each of at least one group")
    # A midpoint grid: tau of nothing is a point without weight.
    tau = (np.arange(_TAUS) + 0.5) / _TAUS * most_tau
    variance = s**2 + tau[:, None] ** 2
    precision = 1.0 / variance
    total = precision.sum(axis=1)
    centre = precision @ y / total
    log = -0.5 * (
        np.log(total)
        + np.log(variance).sum(axis=1)
        + ((y - centre[:, None]) ** 2 * precision).sum(axis=1)
    )
    weights = np.exp(log - log.max())
    weights /= weights.sum()
    shrink = s**2 / variance
    means = shrink * centre[:, None] + (1.0 - shrink) * y
    sds = np.sqrt((1.0 - shrink) * s**2 + shrink**2 / total[:, None])
    return Pooled(
        mean=Mixture(centre, 1.0 / np.sqrt(total), weights),
        new=Mixture(centre, np.sqrt(1.0 / total + tau**2), weights),
        groups=tuple(Mixture(means[:, j], sds[:, j], weights) for j in range(len(y))),
        tau=float(weights @ tau),
    )
