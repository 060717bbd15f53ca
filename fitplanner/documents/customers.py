"""The customers of a shop as a crowd: how many are women, how tall women and men are.

Owns the shop's own figures; the survey's stand in for them. Refuses anything about one person, and
what follows from the figures.
"""

from fitplanner.body.population import SURVEY
from fitplanner.body.survey import Population
from fitplanner.documents.base import Section, figure
from fitplanner.quantities import Kind

_WOMEN, _MEN = SURVEY[Population.WOMEN], SURVEY[Population.MEN]
_STATURE = Kind.LENGTH, 1300, 2100, "Barefoot; half of them are taller"
_SPREAD = (
    Kind.LENGTH,
    20,
    150,
    "One standard deviation: two in three lie no further from the middle",
)


class Customers(Section):
    """Who comes to the shop. Lengths in mm; the defaults but for the mix are the survey's."""

    women_share: float = figure(
        "Women among the customers", Kind.PERCENT, 0, 1, "Half of them: assumption", default=0.5
    )
    women_stature_mm: float = figure(
        "Stature of women, middle", *_STATURE, default=round(_WOMEN.middle[0], 1)
    )
    women_spread_mm: float = figure(
        "Stature of women, spread", *_SPREAD, default=round(_WOMEN.stature_spread_mm, 1)
    )
    men_stature_mm: float = figure(
        "Stature of men, middle", *_STATURE, default=round(_MEN.middle[0], 1)
    )
    men_spread_mm: float = figure(
        "Stature of men, spread", *_SPREAD, default=round(_MEN.stature_spread_mm, 1)
    )
