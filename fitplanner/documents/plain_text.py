"""Text of a document that other people see: plain, and nothing in it that cannot be seen.

A character that turns the direction of writing lets a name look like another one, and a control
character can break a line on paper, in a table or in a terminal.
"""

import unicodedata
from typing import Annotated

from pydantic import AfterValidator

_TURNING = frozenset({"LRE", "RLE", "LRO", "RLO", "PDF", "LRI", "RLI", "FSI", "PDI"})
_UNSEEN = frozenset("\N{LEFT-TO-RIGHT MARK}\N{RIGHT-TO-LEFT MARK}\N{ARABIC LETTER MARK}\ufeff")
_BREAKS = frozenset("\n\t")


def unseen(text: str, allowed: frozenset[str] = frozenset()) -> int | None:
    """Place of the first character that is not seen or turns the writing; None where all are."""
    places = (at for at, letter in enumerate(text) if letter not in allowed and _hides(letter))
    return next(places, None)


def seen(text: str) -> str:
    """The text with what cannot be seen written by its number, for a message about it."""
    return "".join(f"(U+{ord(each):04X})" if _hides(each) else each for each in text)


def without_unseen(text: str) -> str:
    """The text on one line, without what cannot be seen or turns the writing."""
    line = text.replace("\n", " ").replace("\t", " ")
    return "".join(letter for letter in line if not _hides(letter))


def _hides(letter: str) -> bool:
    return (
        unicodedata.category(letter) in ("Cc", "Cs", "Zl", "Zp")
        or unicodedata.bidirectional(letter) in _TURNING
        or letter in _UNSEEN
        or "\U000e0000" <= letter <= "\U000e007f"
    )


def _checked(text: str, allowed: frozenset[str]) -> str:
    place = unseen(text, allowed)
    if place is not None:
        raise ValueError(
            f"holds a character that cannot be seen (U+{ord(text[place]):04X}) at place "
            f"{place + 1}; delete it"
        )
    return text


def _line(text: str) -> str:
    return _checked(text, frozenset())


def _name(text: str) -> str:
    if not text.strip():
        raise ValueError("holds nothing to read; enter a name")
    return _line(text)


def _lines(text: str) -> str:
    return _checked(text, _BREAKS)


Line = Annotated[str, AfterValidator(_line)]
"""Text on one line."""

Name = Annotated[str, AfterValidator(_name)]
"""Text on one line with something to read in it."""

Lines = Annotated[str, AfterValidator(_lines)]
"""Text that may have several lines."""
