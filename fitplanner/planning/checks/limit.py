"""One limit and how a value is held to it.

Owns the shape that every rule of this folder yields. Refuses rules.
"""

from dataclasses import dataclass

from fitplanner.documents.base import Figure, Source
from fitplanner.documents.machine import WayOffer
from fitplanner.planning.plan import Basis, Check, Severity
from fitplanner.quantities import Kind

PRACTICE = "common practice, no source"
ASSUMED = "assumption of this program"
_GUESSES = (Source.ASSUMED, Source.ESTIMATED)


def source_of(*given: Figure | WayOffer) -> tuple[Basis, str]:
    """Where a limit of the profile comes from: no surer than the least sure of its figures."""
    for each in given:
        if isinstance(each, WayOffer):
            guessed = "assumed" if each.assumed else ""
        else:
            guessed = str(each.source) if each.source in _GUESSES else ""
        if guessed:
            return Basis.ASSUMPTION, f"machine profile, {guessed} there"
    return Basis.MAKER, "machine profile"


@dataclass(frozen=True)
class Limit:
    """One bound: the value must not lie under `least` or above `most`."""

    key: str
    title: str
    value: float
    kind: Kind
    reason: str
    severity: Severity
    basis: Basis
    source: str
    least: float | None = None
    most: float | None = None
    decimals: int | None = None

    def check(self) -> Check:
        """The bound that is nearer (or broken) is the one told."""
        bounds = []
        if self.least is not None:
            bounds.append((self.value - self.least, self.least))
        if self.most is not None:
            bounds.append((self.most - self.value, self.most))
        margin, limit = min(bounds)
        return Check(
            key=self.key,
            title=self.title,
            holds=bool(margin >= -1e-6),
            severity=self.severity,
            value=self.value,
            limit=limit,
            margin=margin,
            kind=self.kind,
            reason=self.reason,
            basis=self.basis,
            source=self.source,
            decimals=self.decimals,
        )
