"""The ids of profiles: each is the name of a file on any computer.

Owns which ids are no file's name, and how an id is made from a machine's name.
"""

import re
import unicodedata
from collections.abc import Container

_LONGEST = 56
_PORTS = [f"{port}{n}" for port in ("com", "lpt") for n in range(10)]

DEVICES = frozenset(["con", "prn", "aux", "nul", *_PORTS])
"""Names of devices, which some systems give to no file whatever its ending."""


def free_id(name: str, taken: Container[str]) -> str:
    """An id made from `name` that no other machine has.

    `taken` are the ids of the others; the letters of other scripts have none in an id.
    """
    plain = unicodedata.normalize("NFKD", name).encode("ascii", "ignore").decode().lower()
    stem = re.sub(r"[^a-z0-9]+", "-", plain).strip("-")[:_LONGEST].rstrip("-") or "machine"
    if stem in DEVICES:
        stem = f"{stem}-machine"
    number, id = 1, stem
    while id in taken:
        number += 1
        id = f"{stem}-{number}"
    return id
