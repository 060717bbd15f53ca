"""Inside leg from stature: owns the estimate and its band.

Refuses to be a measurement. The band is about 94 mm wide, several times what a kit lowers: good
enough to fill in a screen, too wide to buy parts on.
"""

from dataclasses import dataclass

from numpy.typing import ArrayLike

from fitplanner.body.arrays import Flags, Floats, floats, positive
from fitplanner.body.survey import CROTCH_HEIGHT, Population, within_survey

__all__ = ["InsideLegEstimate", "Population", "estimate_inside_leg"]

NORMAL_95 = 1.959964
"""Two-sided 95 % point of the normal distribution."""


@dataclass(frozen=True, slots=True)
class InsideLegEstimate:
    """An estimated inside leg, floor to crotch, barefoot. All mm, shaped like the stature.

    `low_mm` and `high_mm` hold 95 % of the people of that stature. `within_source` is False where
    the stature lies outside the survey: the value is then an extrapolation and the band too
    narrow.
    """

    value_mm: Floats
    standard_error_mm: Floats
    low_mm: Floats
    high_mm: Floats
    within_source: Flags


def estimate_inside_leg(
    stature_mm: ArrayLike, population: Population = Population.BOTH
) -> InsideLegEstimate:
    """The mean inside leg of people of a stature, with its 95 % band.

    Errors: ValueError for a stature that is not above 0.
    Validity: 17 to 58 years, 1,409 to 1,829 mm (women), 1,491 to 1,993 mm (men). Children's legs
    are not small adults' legs and no source for them is carried: measure a child.
    Source: `survey.CROTCH_HEIGHT` (Gordon et al. 2014).
    """
    stature = positive(stature_mm, "stature")
    line = CROTCH_HEIGHT[population]
    value = line.at(stature)
    half_band_mm = NORMAL_95 * line.standard_error_mm
    return InsideLegEstimate(
        value_mm=value,
        standard_error_mm=floats(line.standard_error_mm + 0.0 * stature),
        low_mm=value - half_band_mm,
        high_mm=value + half_band_mm,
        within_source=within_survey(stature, population),
    )
