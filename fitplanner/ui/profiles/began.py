"""Owns what stood at each entry of a profile when two of them began to differ, and who changed it.

Refuses to merge: `library.compare_profiles` takes entries over.
"""

from dataclasses import dataclass

from fitplanner.documents.errors import Address
from fitplanner.documents.machine import MachineProfile
from fitplanner.library.compare_profiles import entries
from fitplanner.ui.profiles.telling import side_words
from fitplanner.ui.shop.words import NOTHING
from fitplanner.ui.widgets.figures import Figures


@dataclass(frozen=True)
class Began:
    """The words of what both began with, and whether each of them is another by now."""

    words: str = NOTHING
    mine: bool = False
    theirs: bool = False


def began_with(
    base: MachineProfile | None, mine: MachineProfile, theirs: MachineProfile, figures: Figures
) -> dict[Address, Began]:
    """By entry; nothing where there is no `base`."""
    if base is None:
        return {}
    ours = {entry.address: entry for entry in entries(base, mine)}
    others = {entry.address: entry for entry in entries(base, theirs)}
    found = {}
    for address in {**ours, **others}:
        here, there = ours.get(address), others.get(address)
        changed = next((one for one in (here, there) if one is not None and one.differs), None)
        shown = changed or here or there
        assert shown is not None
        found[address] = Began(
            side_words(shown, figures)[0],
            here is not None and here.differs,
            there is not None and there.differs,
        )
    return found
