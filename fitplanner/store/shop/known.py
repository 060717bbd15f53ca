"""Which files of jobs there were on this computer, so that one that is gone is missed.

An empty shop in the place of a lost one would look as if nothing had been kept. Refuses servers:
they say themselves that a database is not there.
"""

import json
import logging

from fitplanner import paths
from fitplanner.store.files import StoreError, read_text, write_text
from fitplanner.store.shop.address import Address
from fitplanner.store.shop.records import GoneError

log = logging.getLogger(__name__)

_MOST = 50


def look_for(place: Address) -> None:
    """Raise `GoneError` where a file that was there before is not."""
    if place.file is not None and not place.file.exists() and str(place.file) in _known():
        raise GoneError(
            "The file with the shop's jobs is gone",
            place.shown,
            "It was there before. Put it back, choose the folder where it is now, or restore a "
            "backup; nothing was begun in its place.",
        )


def remember(place: Address) -> None:
    """Note that the file is there; failing to is no reason to refuse the jobs."""
    if place.file is None or place.file == paths.invented_shop_file().absolute():
        return
    known = _known()
    if str(place.file) in known:
        return
    try:
        write_text(paths.known_shops_file(), json.dumps([*known, str(place.file)][-_MOST:]))
    except StoreError as error:
        log.info("not remembered: %s", error)


def _known() -> list[str]:
    file = paths.known_shops_file()
    if not file.exists():
        return []
    try:
        found = json.loads(read_text(file))
    except (StoreError, ValueError) as error:
        log.info("the list of known shops starts anew: %s", error)
        return []
    return [each for each in found if isinstance(each, str)] if isinstance(found, list) else []
