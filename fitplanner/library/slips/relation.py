"""A number from several figures with the range that is usual for it.

Owns how such a number becomes a sign: its words, and its spread from those of its figures.
Refuses to know any relation; the topics have them, all of them common practice, no source.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace
from math import hypot, inf

from fitplanner.library.slips.finding import Severity
from fitplanner.library.slips.sign import SPECS, Band, Plain, Sign, in_words, is_child, said
from fitplanner.quantities import Kind

WHEELBASE = "catalogue.wheelbase_mm"
_ALONG = "Count it from the rear axle forward."


@dataclass(frozen=True)
class Relation:
    """One number from several figures; the first is the one doubted.

    `text` names the first figures as {0}, {1}, the number as {value}, its range as {low}, {high}.
    """

    name: str
    of: tuple[str, ...]
    read: Callable[[Plain], float]
    full: Band
    child: Band
    text: str
    mend: str
    kind: Kind = Kind.RATIO
    linear: bool = False
    possible: Band = (-inf, inf)

    def sign(self, v: Plain) -> Sign:
        """What it reads in a profile that has all its figures."""
        low, high = self.child if is_child(v) else self.full
        value = float(self.read(v))
        least, most = self.possible
        severity: Severity = "caution" if least <= value <= most else "stop"

        def text() -> str:
            numbers = [said(key, v[key]) if key in SPECS else "" for key in self.of]
            read, least, most = (in_words(each, self.kind) for each in (value, low, high))
            return self.text.format(*numbers, value=read, low=least, high=most)

        sign = Sign(
            self.name,
            self.of[0],
            self.of,
            value,
            low,
            high,
            text,
            self.mend,
            severity,
            self.linear,
        )
        return replace(sign, spread=self._spread(v, value)) if sign.outside else sign

    def _spread(self, v: Plain, value: float) -> float:
        """First order: each figure moved by its spread."""
        moved = ({**v, key: v[key] + v.get(f"±{key}", 0.0)} for key in self.of)
        return hypot(*(self.read(each) - value for each in moved))


def ratio(over: str, under: str) -> Callable[[Plain], float]:
    """One figure over another."""
    return lambda v: float(v[over] / v[under])


def difference(upper: str, lower: str) -> Callable[[Plain], float]:
    """One figure less another."""
    return lambda v: float(v[upper] - v[lower])


def along(key: str, what: str, full: Band, mend: str = _ALONG) -> Relation:
    """The place of something along the machine, as a share of the wheelbase."""
    return Relation(
        f"{key} along",
        (key, WHEELBASE),
        ratio(key, WHEELBASE),
        full,
        full,
        f"{what} at {{value}} of the wheelbase; {{low}} to {{high}} is common.",
        mend,
    )
