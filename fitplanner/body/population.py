"""How bodies are spread: owns stature, inside leg and body mass of women and of men together.

The logarithms of the three are normal with each other: lengths and masses of people lean a little
to the high side, and a crowd of plain normal lengths puts up to 2 % more people over a threshold
near the middle than there are (logarithms: 1.2 %; tests count both on the survey's own people).
Derived here from the raw tables of C. C. Gordon et al., 2012 Anthropometric Survey of U.S. Army
Personnel (ANSUR II), Natick TR-15/007, 2014 (public domain): 1,986 women and 4,082 men of 17 to
58 years, barefoot. Refuses children, the old, and any claim about the public: soldiers are young
and fit.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cached_property
from statistics import NormalDist
from types import MappingProxyType

import numpy as np
from numpy.typing import ArrayLike

from fitplanner.body.arrays import Floats, floats
from fitplanner.body.survey import Population


@dataclass(frozen=True)
class Bodies:
    """One group of people; every triple is stature [mm], inside leg [mm], body mass [kg].

    `middle`: half of the group lie above each. `log_factor`: lower triangular factor of the
    covariance of the natural logarithms, row by row.
    """

    middle: tuple[float, float, float]
    log_factor: tuple[float, float, float, float, float, float]

    @classmethod
    def of(
        cls,
        log_middle: tuple[float, float, float],
        log_sd: tuple[float, float, float],
        correlations: tuple[float, float, float],
    ) -> "Bodies":
        """From moments of the logarithms.

        The correlations are of stature with leg, stature with mass, leg with mass.
        """
        a, b, c = correlations
        related = np.array([[1.0, a, b], [a, 1.0, c], [b, c, 1.0]])
        factor = np.linalg.cholesky(related * np.outer(log_sd, log_sd))
        stature, leg, mass = np.exp(log_middle).tolist()
        return cls((stature, leg, mass), tuple(factor[np.tril_indices(3)].tolist()))

    @cached_property
    def _factor(self) -> Floats:
        factor = np.zeros((3, 3))
        factor[np.tril_indices(3)] = self.log_factor
        return factor

    @property
    def log_sd(self) -> Floats:
        """Standard deviations of the three logarithms."""
        return floats(np.linalg.norm(self._factor, axis=1))

    @property
    def correlations(self) -> Floats:
        """Of the three logarithms, shape (3, 3)."""
        sd = self.log_sd
        return floats(self._factor @ self._factor.T / np.outer(sd, sd))

    def people(self, normal: ArrayLike) -> tuple[Floats, Floats, Floats]:
        """Stature [mm], inside leg [mm] and mass [kg] at standard normal points (N, 3)."""
        away = floats(normal) @ self._factor.T
        stature, leg, mass = (np.array(self.middle) * np.exp(away)).T
        return stature, leg, mass

    def usual_mass_kg(self, stature_mm: ArrayLike, inside_leg_mm: ArrayLike) -> Floats:
        """The mass that half of those of this stature and inside leg are above."""
        stature, leg, mass = self.middle
        factor = self._factor
        first = np.log(floats(stature_mm) / stature) / factor[0, 0]
        second = (np.log(floats(inside_leg_mm) / leg) - factor[1, 0] * first) / factor[1, 1]
        return floats(mass * np.exp(factor[2, 0] * first + factor[2, 1] * second))

    def usual_leg_mm(self, stature_mm: ArrayLike) -> Floats:
        """The inside leg that half of those of a stature are above."""
        stature, leg, _ = self.middle
        power = self._factor[1, 0] / self._factor[0, 0]
        return floats(leg * (floats(stature_mm) / stature) ** power)

    def quantile(self, share_below: float) -> tuple[float, float, float]:
        """The person whose inside leg this share of the group is below.

        Stature and mass are the usual ones of people with that leg. Errors: ValueError for a share
        not between 0 and 1.
        """
        if not 0.0 < share_below < 1.0:
            raise ValueError("the share must lie between 0 and 1")
        off = NormalDist().inv_cdf(share_below)
        away = off * self.log_sd * self.correlations[1]
        stature, leg, mass = (np.array(self.middle) * np.exp(away)).tolist()
        return stature, leg, mass

    def with_stature(self, middle_mm: float, spread_mm: float) -> "Bodies":
        """People of other statures; leg and mass follow from it as they do in this group.

        At every stature inside leg and mass keep how they are spread; only how often each stature
        comes is changed. `spread_mm` is the standard deviation of the stature. Errors: ValueError
        for lengths that are not above 0.
        """
        if not (middle_mm > 0.0 and spread_mm > 0.0):
            raise ValueError("the middle and the spread of the stature must be above 0")
        factor = self._factor.copy()
        away = math.log(middle_mm / self.middle[0]) / factor[0, 0]
        moved = np.array(self.middle) * np.exp(factor[:, 0] * away)
        factor[:, 0] *= _log_sd(spread_mm / middle_mm) / factor[0, 0]
        stature, leg, mass = moved.tolist()
        return replace(
            self,
            middle=(stature, leg, mass),
            log_factor=tuple(factor[np.tril_indices(3)].tolist()),
        )

    @property
    def stature_spread_mm(self) -> float:
        """Standard deviation of the stature."""
        grown = math.exp(self.log_factor[0] ** 2)
        return self.middle[0] * math.sqrt(grown * (grown - 1.0))

    def outline(self, share: float, points: int = 181) -> tuple[Floats, Floats]:
        """The closed line of stature and inside leg [mm] that holds a share of the group.

        Source: of two normal figures 1 - exp(-r^2 / 2) lie within r standard deviations. Errors:
        ValueError for a share not between 0 and 1.
        """
        if not 0.0 < share < 1.0:
            raise ValueError("the share must lie between 0 and 1")
        radius = math.sqrt(-2.0 * math.log(1.0 - share))
        angle = np.linspace(0.0, 2.0 * math.pi, points)
        circle = radius * np.stack([np.cos(angle), np.sin(angle), np.zeros(points)], axis=-1)
        stature, leg, _ = self.people(circle)
        return stature, leg


def _log_sd(spread: float) -> float:
    """Standard deviation of the logarithm of a figure with this one over its middle."""
    return math.sqrt(math.log(0.5 * (1.0 + math.sqrt(1.0 + 4.0 * spread**2))))


SURVEY: Mapping[Population, Bodies] = MappingProxyType(
    {
        Population.WOMEN: Bodies.of(
            (7.394621, 6.660633, 4.203048),
            (0.0394318, 0.0570931, 0.1604736),
            (0.849359, 0.538697, 0.398742),
        ),
        Population.MEN: Bodies.of(
            (7.470155, 6.738930, 4.435136),
            (0.0390243, 0.0548765, 0.1653945),
            (0.858542, 0.471592, 0.311456),
        ),
    }
)
"""Crotch height stands for the inside leg. Middles: women 1,627 mm, 781 mm, 66.9 kg; men 1,755 mm,
845 mm, 84.4 kg."""
