"""Taking a rider out of the shop's jobs and their history.

Erased: name, telephone, title, note, the shop's reference (it leads to the name in other
books), what is noted beside ticked steps; and of the machine's names and notes and the words of
readings those in which a part of the name or the telephone stands; a torque with such words goes
whole. Kept, without a link to
anybody: the figures of body and machine, amounts, readings, stage, dates, so that the plan
stays what it was. Who worked on the job stays too; that is not the rider.
"""

import json
import re
from collections.abc import Callable, Iterable
from datetime import datetime
from typing import Any

from sqlalchemy import Connection, delete, insert, select, update

from fitplanner.documents import codec
from fitplanner.store.shop import tables, writing
from fitplanner.store.shop.records import Deed
from fitplanner.store.shop.words import digits, folded

_SHORTEST_PHONE = 5
# The texts that may hold a name, and what stands there instead where they do.
_SEARCHED = {
    "id": "machine",
    "name": "Machine",
    "note": "",
    "origin": "",
    "typed": "",
    "said": "",
}

Names = Callable[[str], bool]


def erase(db: Connection, rider_id: str, who: str, at: datetime) -> int | None:
    """Erase the rider; returns the number of jobs, or None where there is no such rider."""
    rider = tables.rider
    # Held until the end, so that no other job joins this rider meanwhile.
    known = db.execute(select(rider).where(rider.c.id == rider_id).with_for_update()).one_or_none()
    if known is None:
        return None
    of_rider = select(tables.job).where(tables.job.c.rider_id == rider_id).with_for_update()
    jobs = db.execute(of_rider).all()
    raws = {
        (row.job_id, row.revision): json.loads(row.document)
        for job in jobs
        for row in db.execute(select(tables.change).where(tables.change.c.job_id == job.id))
    }
    names = named(
        [known.name, *(str(raw["rider"].get("name", "")) for raw in raws.values())],
        [known.phone, *(str(raw["rider"].get("phone", "")) for raw in raws.values())],
    )
    for (key, revision), raw in raws.items():
        _clean(raw, names)
        text = json.dumps(raw, ensure_ascii=False, separators=(",", ":"))
        same = (tables.change.c.job_id == key) & (tables.change.c.revision == revision)
        db.execute(update(tables.change).where(same).values(document=text))
    for job in jobs:
        present = codec.load_job(json.dumps(raws[job.id, job.revision]))
        # A revision of its own: who still has the job open cannot save the name back unseen.
        writing.revise(db, job.id, job.revision, present, who, at, Deed.ERASED)
    db.execute(delete(rider).where(rider.c.id == rider_id))
    db.execute(insert(tables.erased).values(rider_id=rider_id, at=at))
    return len(jobs)


def named(names: Iterable[str], phones: Iterable[str]) -> Names:
    """A test whether a text holds a part of one of `names`, or one of `phones`.

    Words of three letters and more count at the start of a word ("Ilkas"), shorter ones whole.
    """
    parts = {part for name in names for part in folded(name).split()}
    ends = (re.escape(part) + (r"\b" if len(part) < 3 else "") for part in sorted(parts))
    pattern = re.compile(rf"\b(?:{'|'.join(ends)})") if parts else None
    numbers = [n for n in map(digits, phones) if len(n) >= _SHORTEST_PHONE]

    def holds(text: str) -> bool:
        if pattern is not None and pattern.search(folded(text)):
            return True
        figures = digits(text)
        return any(number in figures for number in numbers)

    return holds


def _clean(raw: dict[str, Any], names: Names) -> None:
    """Clean a job of any version of the format; a field that it lacks stays lacking."""
    for key in ("title", "note", "reference"):
        _empty(raw, key)
    for key in ("name", "phone"):
        _empty(raw["rider"], key)
    for tick in raw.get("ticks", []):
        _empty(tick, "noted")
    fitted = raw.get("fitted") or {}
    for machine in (raw["machine"], fitted.get("machine", {})):
        if "torques" in machine:
            # Half a torque is worse than none, and the book has it anyway.
            machine["torques"] = [
                torque
                for torque in machine["torques"]
                if not (names(torque["words"]) or names(torque["source"]))
            ]
        _search(machine, names)
    _search(raw.get("readings", []), names)
    _search(fitted.get("readings", []), names)


def _empty(group: dict[str, Any], key: str) -> None:
    if key in group:
        group[key] = ""


def _search(place: Any, names: Names) -> None:
    if isinstance(place, list):
        for one in place:
            _search(one, names)
    elif isinstance(place, dict):
        for key, value in place.items():
            if isinstance(value, str) and key in _SEARCHED and names(value):
                place[key] = _SEARCHED[key]
            else:
                _search(value, names)
