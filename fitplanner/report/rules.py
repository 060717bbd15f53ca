"""Assumption rules as plain text for a terminal.

Owns how a rule is said: what it fills in, its statement, value, spread, source, and how far the
literature is off. Values stand in the units of the file (mm, kg, N/mm, mL, kPa, degrees), so that
a line can be carried into a shop's own. Refuses to compute.
"""

from collections.abc import Iterator, Sequence

from fitplanner.library.rules import PublishedError, Rule
from fitplanner.library.rules.document import OTHERS, SPECS
from fitplanner.quantities import UnitSystem, format_quantity


def rules_text(
    rows: Sequence[tuple[Rule, PublishedError | None]], system: UnitSystem = UnitSystem.METRIC
) -> str:
    """Every rule with what the literature has against it, and at the end the literature."""
    compared = [each for _, error in rows if error for each in error.comparisons]
    sources = list(dict.fromkeys(f"{each.citation}; {each.read}" for each in compared))
    blocks = [*(_rule(rule, error, sources, system) for rule, error in rows), _literature(sources)]
    return "\n\n".join("\n".join(block) for block in blocks) + "\n"


def _literature(sources: Sequence[str]) -> Iterator[str]:
    yield "Literature (a rule's figure from the source's other figures, less the published one)"
    yield from (f"  [{number}] {source}" for number, source in enumerate(sources, 1))


def _rule(
    rule: Rule, error: PublishedError | None, sources: Sequence[str], system: UnitSystem
) -> Iterator[str]:
    spec = SPECS[rule.address]
    yield f"{rule.key}: {spec.label} ({rule.target})"
    yield f"  {rule.says}."
    yield f"  Value: {_sum(rule)}"
    if rule.curve is not None:
        yield "  Curve in equal steps of wheel travel: " + _amounts(
            {kind: " ".join(f"{each:g}" for each in row) for kind, row in rule.curve.items()}
        )
    yield f"  Spread, one standard deviation: {' and '.join(_spread(rule))}"
    yield f"  Source: {rule.source}"
    if error is None:
        yield "  Published: nothing found"
        return
    mean, worst = (
        format_quantity(each, spec.kind, system, signed=True)
        for each in (error.mean_off, error.worst_off)
    )
    machines = "1 machine" if error.machines == 1 else f"{error.machines} machines"
    yield f"  Published: {machines}, off by {mean} in the mean and {worst} at most"
    for each in error.comparisons:
        has, told = (format_quantity(v, spec.kind, system) for v in (each.published, each.told))
        number = sources.index(f"{each.citation}; {each.read}") + 1
        yield f"    [{number}] {has}, by the rule {told}"


def _sum(rule: Rule) -> str:
    parts = [_amounts(rule.constant)] if any(rule.constant.values()) or not rule.terms else []
    for term in rule.terms:
        given = "; ".join(f"{name} {_amounts(amount)}" for name, amount in term.given.items())
        what = f"{term.of} ({given})" if given else term.of
        parts.append(_TIMES.get(_amounts(term.times), f"+ {_amounts(term.times)} × ") + what)
    limits = [
        f", {word} {_amounts(limit)}"
        for word, limit in (("at least", rule.least), ("at most", rule.most))
        if limit is not None
    ]
    return " ".join(parts).removeprefix("+ ") + "".join(limits)


_TIMES = {"1": "+ ", "-1": "− "}


def _spread(rule: Rule) -> Iterator[str]:
    if any(rule.spread.values()) or not any(rule.share.values()):
        yield _amounts(rule.spread)
    if any(rule.share.values()):
        yield f"{_amounts({kind: f'{each:.0%}' for kind, each in rule.share.items()})} of the value"


def _amounts(amount: dict[str, float] | dict[str, str]) -> str:
    """One number, or numbers by kind in brackets."""
    words = {kind: each if isinstance(each, str) else f"{each:g}" for kind, each in amount.items()}
    if list(words) == [OTHERS]:
        return words[OTHERS]
    return "[" + ", ".join(f"{kind} {each}" for kind, each in words.items()) + "]"
