"""How far a figure that somebody just typed may be off, until somebody knows better.

Owns the usual spread by source: a careful reading's from `measuring`, a data sheet's and an
estimate's by kind of quantity. All are assumptions (common practice, no source), shown with the
figure and open to change. Refuses the figure itself.
"""

from dataclasses import dataclass

from fitplanner.documents.base import FigureSpec, Source
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
_GUESS_OTHERS = _Rule(0.15, 0.0)
# Of the range in which a figure is believable at all: a short range has small spreads.
_MOST_OF_RANGE = {Source.MAKER: 0.05, Source.MEASURED: 0.05}
_MOST_OF_RANGE_GUESSED = 0.15


def usual_spread(address: Address, spec: FigureSpec, source: Source, value: float) -> float:
    """One standard deviation of a figure just typed, in the canonical unit of its kind.

    Args:
        address: section and key of the figure.
        spec: how the figure is declared.
        source: where the value comes from.
        value: the value typed, canonical unit.
    """
    if source is Source.MEASURED and address in ACTS:
        return ACTS[address].careful
    if source is Source.MAKER:
        rule = _SHEET[spec.kind]
    elif source is Source.MEASURED:
        rule = _READ.get(spec.kind, _SHEET[spec.kind])
    else:
        rule = _GUESS.get(spec.kind, _GUESS_OTHERS)
    most = _MOST_OF_RANGE.get(source, _MOST_OF_RANGE_GUESSED)
    return min(rule.of(value), most * (spec.high - spec.low))
