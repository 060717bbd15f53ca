"""How far a figure that somebody just typed may be off, until somebody knows better.

Owns the usual spread by source: a careful reading's from `measuring`, a data sheet's and an
estimate's by kind of quantity. All are assumptions (common practice, no source), shown with the
figure and open to change. Refuses the figure itself.
"""

from dataclasses import dataclass

from fitplanner.documents.base import Source
from fitplanner.library.acts import ACTS
from fitplanner.library.rules import Address
from fitplanner.quantities import Kind


@dataclass(frozen=True)
class _Rule:
    """One standard deviation: a share of the value, held between two ends of its unit."""

    share: float
    least: float
    most: float = float("inf")

    def of(self, value: float) -> float:
        return min(max(self.share * abs(value), self.least), self.most)


# Sheets are rounded, and machines of one type differ by a little.
_SHEET = {
    Kind.LENGTH: _Rule(0.02, 0.5, 3.0),
    Kind.AREA: _Rule(0.02, 5.0),
    Kind.VOLUME: _Rule(0.01, 3.0),
    Kind.CAPACITY: _Rule(0.01, 0.1),
    Kind.MASS: _Rule(0.01, 0.3),
    Kind.FORCE: _Rule(0.1, 3.0),
    Kind.SPRING_RATE: _Rule(0.02, 0.05),
    Kind.PRESSURE: _Rule(0.03, 5.0),
    Kind.ANGLE: _Rule(0.0, 0.2),
    Kind.PERCENT: _Rule(0.0, 0.005),
    Kind.RATIO: _Rule(0.01, 0.0),
}
_READ = {
    Kind.LENGTH: _Rule(0.005, 0.5, 2.0),
    Kind.ANGLE: _Rule(0.0, 0.3),
}
_GUESS = {
    Kind.LENGTH: _Rule(0.05, 1.0, 20.0),
    Kind.ANGLE: _Rule(0.0, 1.0),
    Kind.PERCENT: _Rule(0.0, 0.02),
    Kind.MASS: _Rule(0.05, 0.5),
}
_GUESS_OTHERS = _Rule(0.1, 0.0)


def usual_spread(address: Address, kind: Kind, source: Source, value: float) -> float:
    """One standard deviation of a figure just typed, in the canonical unit of `kind`.

    Args:
        address: section and key of the figure.
        kind: what the figure measures.
        source: where the value comes from.
        value: the value typed, canonical unit.
    """
    if source is Source.MAKER:
        return _SHEET[kind].of(value)
    if source is Source.MEASURED:
        act = ACTS.get(address)
        return act.careful if act is not None else _READ.get(kind, _SHEET[kind]).of(value)
    return _GUESS.get(kind, _GUESS_OTHERS).of(value)
