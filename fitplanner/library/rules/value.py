"""What a rule gives, from figures that are known.

Owns the sum of a rule's constant and terms. Refuses profiles: anything that knows figures will do.
"""

from math import isfinite

from fitplanner.documents.machine import MachineKind
from fitplanner.library.rules.derived import DERIVED, Known
from fitplanner.library.rules.document import Rule, Term, for_kind


def value_of(rule: Rule, kind: MachineKind, known: Known) -> float:
    """The value that `rule` gives for a machine of `kind`, in the figure's canonical unit.

    Raises:
        ValueError: a drawn linkage among the known figures does not go together, or the
            coefficients are so large that no number comes of them.
    """
    total: float = for_kind(rule.constant, kind)
    total += sum(for_kind(term.times, kind) * _term(term, kind, known) for term in rule.terms)
    if rule.least is not None:
        total = max(total, for_kind(rule.least, kind))
    if rule.most is not None:
        total = min(total, for_kind(rule.most, kind))
    if not isfinite(total):
        raise ValueError(f'rule "{rule.key}" comes to no number here; check its coefficients')
    return total


def _term(term: Term, kind: MachineKind, known: Known) -> float:
    derived = DERIVED.get(term.of)
    if derived is None:
        return known(*term.needs()[0])
    given = {name: for_kind(amount, kind) for name, amount in term.given.items()}
    return derived.compute(known, given)
