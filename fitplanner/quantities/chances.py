"""How a chance is told: a word, and cases out of 100.

Owns the words and where one ends, as in the likelihood scale of the guidance note for lead
authors on uncertainties (IPCC 2010), whose middle third is parted here: 38 of 100 are no toss-up.
Refuses what the chance is of.
"""

_WORDS = (
    (90, "very likely"),
    (67, "likely"),
    (56, "more likely than not"),
    (45, "as likely as not"),
    (34, "less likely than not"),
    (11, "unlikely"),
    (0, "very unlikely"),
)


def of_100(chance: float) -> int:
    """Cases out of 100; only what never fails is 100, only what never holds is 0."""
    cases = round(100 * chance)
    return min(max(cases, 1), 99) if 0.0 < chance < 1.0 else cases


def likelihood(chance: float) -> str:
    """The word for a chance from 0 to 1, by its cases out of 100."""
    cases = of_100(chance)
    return next(word for least, word in _WORDS if cases >= least)
