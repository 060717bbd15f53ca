"""What one survey of bodies says: owns the straight lines of a length against stature.

Derived here from the raw tables of C. C. Gordon et al., 2012 Anthropometric Survey of U.S. Army
Personnel (ANSUR II), Natick TR-15/007, 2014 (public domain): 1,986 women and 4,082 men, barefoot.
Refuses children and the old: the people are soldiers of 17 to 58 years, fitter and taller than
the public, and no line here was fitted to anyone else.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from types import MappingProxyType

from numpy.typing import ArrayLike

from fitplanner.body.arrays import Flags, Floats, floats


class Population(StrEnum):
    """Whose body figures stand in for what was not measured."""

    WOMEN = "women"
    MEN = "men"
    BOTH = "both"


@dataclass(frozen=True, slots=True)
class Line:
    """A least-squares line in mm, with the residual standard error about it in mm."""

    intercept_mm: float
    slope: float
    standard_error_mm: float

    def at(self, length_mm: ArrayLike) -> Floats:
        """The line's value in mm at a length in mm."""
        return self.intercept_mm + self.slope * floats(length_mm)


def _lines(women: Line, men: Line, both: Line) -> Mapping[Population, Line]:
    return MappingProxyType({Population.WOMEN: women, Population.MEN: men, Population.BOTH: both})


CROTCH_HEIGHT = _lines(
    Line(-179.0956, 0.5903768, 23.583),
    Line(-176.3190, 0.5820752, 23.878),
    Line(-111.2362, 0.5461636, 24.093),
)
"""Crotch height, floor to crotch, against stature."""

FOOT_LENGTH = _lines(
    Line(18.4976, 0.1398828, 8.604),
    Line(30.1337, 0.1372524, 9.120),
    Line(-16.7834, 0.1632152, 9.306),
)
"""Foot length, heel to the longest toe, against stature."""

BALL_LENGTH = _lines(
    Line(2.6086, 0.7285742, 3.299),
    Line(0.4594, 0.7392761, 3.977),
    Line(-1.5481, 0.7463027, 3.774),
)
"""Ball of foot length, heel to the ball, against foot length."""

ANKLE_HEIGHT = _lines(
    Line(6.0062, 0.03484368, 4.594),
    Line(4.9826, 0.03867514, 5.009),
    Line(-26.6745, 0.05614475, 5.227),
)
"""Height of the outer ankle bone (lateral malleolus) against stature."""

STATURE_RANGE_MM = MappingProxyType(
    {
        Population.WOMEN: (1409.0, 1829.0),
        Population.MEN: (1491.0, 1993.0),
        Population.BOTH: (1409.0, 1993.0),
    }
)
"""Shortest and tallest person of the survey."""


def within_survey(stature_mm: ArrayLike, population: Population) -> Flags:
    """True where the stature (mm) lies among the people that the lines were fitted to."""
    low_mm, high_mm = STATURE_RANGE_MM[population]
    stature = floats(stature_mm)
    return (stature >= low_mm) & (stature <= high_mm)
