"""Every relation between a profile's figures, by topic."""

from collections.abc import Iterator

from fitplanner.library.slips.chassis import CHASSIS
from fitplanner.library.slips.places import PLACES
from fitplanner.library.slips.sign import Plain, Sign
from fitplanner.library.slips.springs import SPRINGS


def relations(v: Plain) -> Iterator[Sign]:
    """Every relation whose figures are all there."""
    for each in (*CHASSIS, *SPRINGS, *PLACES):
        if all(key in v for key in each.of):
            yield each.sign(v)
