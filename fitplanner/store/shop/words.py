"""Text as it is searched: without capitals, accents and signs."""

import re
import unicodedata


def folded(*texts: str) -> str:
    """The words of `texts` for comparing: "Ähr, Özil" gives "ahr ozil"."""
    apart = unicodedata.normalize("NFKD", " ".join(texts))
    bare = "".join(letter for letter in apart if not unicodedata.combining(letter))
    return " ".join(re.findall(r"\w+", bare.casefold()))


def digits(phone: str) -> str:
    """The figures of a telephone number, however it was spaced."""
    return "".join(letter for letter in phone if letter.isdecimal())


def rider_words(name: str, phone: str) -> str:
    """By what a rider is found, and known to be the same."""
    return f"{folded(name)} {digits(phone)}".strip()
