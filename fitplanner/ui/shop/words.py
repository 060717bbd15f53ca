"""Owns the plain words for what changed in a job: which entry, and what stood and stands there.

An entry is what a person changes at once: a figure with its origin, a choice, a reading, the
machine. Refuses to compare jobs: `records.differences` does.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum
from itertools import takewhile

from PySide6.QtCore import QCoreApplication, QDateTime, QLocale

from fitplanner.documents.base import Document, Figure, FigureSpec, spec_of
from fitplanner.documents.bench import Place, Quote, Reading, Tick, When
from fitplanner.documents.errors import Address
from fitplanner.documents.job import Choices, Job, Window
from fitplanner.documents.shop_shares import ShopShares
from fitplanner.quantities import Kind, format_for_entry
from fitplanner.store.shop.records import Deed, differences
from fitplanner.ui import texts
from fitplanner.ui.widgets.figures import Figures
from fitplanner.ui.widgets.money import money_text

NOTHING = "–"
# Of a beginning that all versions of a text share, so much is shown where it is longer.
_SHARED = 24


@dataclass(frozen=True)
class Line:
    """One entry in words: its name, and its value in each of several versions of a job."""

    entry: str
    values: tuple[str, ...]


def lines(figures: Figures, base: Job, *others: Job) -> list[Line]:
    """Every entry in which one of `others` differs from `base`; values in the order given."""
    jobs = (base, *others)
    places = (one.address for other in others for one in differences(base, other))
    return [
        Line(entry_words(entry, jobs), _values(entry, jobs, figures))
        for entry in _entries(places, jobs)
    ]


def entry_words(entry: Address, jobs: Iterable[Job]) -> str:
    """What an entry is called, such as "Rider: Body mass"."""
    field = _Field.at(entry, jobs)
    if len(entry) > 1 and isinstance(entry[-1], int):
        return f"{_list_words(str(entry[-2]))} {entry[-1] + 1}"
    section = _SECTIONS.get(str(entry[0])) if len(entry) > 1 else None
    label = _translated(_TOP[field.key]) if len(entry) == 1 and field.key in _TOP else field.label
    return f"{_translated(section)}: {label}" if section else label


def deed_words(deed: Deed) -> str:
    """What a change was."""
    return _translated(_DEEDS[deed])


def moment_words(at: datetime, locale: QLocale) -> str:
    """Day and time of this computer's calendar."""
    moment = QDateTime.fromSecsSinceEpoch(int(at.timestamp()))
    pattern = locale.dateTimeFormat(QLocale.FormatType.ShortFormat)
    return locale.toString(moment, pattern.replace(":ss", ""))


def who_words(who: str) -> str:
    """The name that stands with a change."""
    return who or _translated("Somebody")


# Entries.


def _entries(places: Iterable[Address], jobs: tuple[Job, ...]) -> list[Address]:
    found = dict.fromkeys(_entry_of(place, jobs) for place in places)
    order = {key: row for row, key in enumerate(Job.model_fields)}
    return sorted(found, key=lambda entry: order.get(str(entry[0]), 0))


def _entry_of(place: Address, jobs: tuple[Job, ...]) -> Address:
    if place[0] in ("fitted", "shop_shares", "quote"):
        return (place[0],)
    if place[0] == "machine" and len({job.machine.id for job in jobs}) > 1:
        # Another machine is one change, not one for each of its figures.
        return ("machine",)
    for length in range(1, len(place)):
        held = [value for job in jobs if (value := _held(job, place[:length])) is not None]
        whole = isinstance(place[length - 1], int) or not any(map(_goes_on, held))
        if whole:
            return place[:length]
    return place


def _goes_on(value: object) -> bool:
    """Whether a person changes parts of it one by one."""
    if isinstance(value, list):
        return any(isinstance(row, Document) for row in value)
    return isinstance(value, Document) and not isinstance(value, Figure | Window)


def _held(place: object, address: Address) -> object:
    """What stands at `address`; None where that version has nothing there."""
    for part in address:
        if isinstance(place, list) and isinstance(part, int):
            place = place[part] if part < len(place) else None
        else:
            place = getattr(place, str(part), None)
    return place


@dataclass(frozen=True)
class _Field:
    """The field at the end of an address."""

    key: str
    label: str
    spec: FigureSpec | None

    @classmethod
    def at(cls, entry: Address, jobs: Iterable[Job]) -> "_Field":
        key = str(entry[-1])
        owners = (_held(job, entry[:-1]) for job in jobs)
        owner = next((one for one in owners if isinstance(one, Document)), None)
        field = None if owner is None else type(owner).model_fields.get(key)
        label = (field.title if field else None) or key.replace("_", " ").capitalize()
        return cls(key, label, None if field is None else spec_of(key, field))


def _list_words(key: str) -> str:
    return _translated(_ROWS.get(key, key.replace("_", " ").capitalize()))


# Values.


def _values(entry: Address, jobs: tuple[Job, ...], figures: Figures) -> tuple[str, ...]:
    values = tuple(_value_words(entry, job, figures) for job in jobs)
    if len(set(values)) > 1:
        return _from_where_they_part(values)
    # Only what is noted beside a figure tells them apart.
    notes = (getattr(_held(job, entry), "note", "") for job in jobs)
    return tuple(f"{value} ({note or NOTHING})" for value, note in zip(values, notes, strict=True))


def _value_words(entry: Address, job: Job, figures: Figures) -> str:
    value = _held(job, entry)
    if entry == ("machine",):
        return job.machine.name
    if value is None and entry[0] == "choices" and entry[-1] in _left_open():
        return _translated("left to the planner")
    if isinstance(value, Quote):
        return money_text(value.price, QLocale(), value.currency)
    if isinstance(value, ShopShares):
        how = "planned for" if value.planned_for else "beside the plan"
        return f"{_translated('{n} jobs').format(n=value.jobs)}, {_translated(how)}"
    if value is None and entry == ("windows",):
        return _translated("by the riding style")
    return written(value, _Field.at(entry, (job,)).spec, figures)


def _from_where_they_part(values: tuple[str, ...]) -> tuple[str, ...]:
    """A long note that was gone on with shows its end, not what all of them begin with."""
    written = [value for value in values if value != NOTHING]
    letters = zip(*written, strict=False)
    same = sum(1 for _ in takewhile(lambda column: len(set(column)) == 1, letters))
    cut = same - _SHARED if len(written) > 1 else 0
    if cut <= _SHARED:
        return values
    return tuple(value if value == NOTHING else "…" + value[cut:] for value in values)


def _left_open() -> set[str]:
    return {spec.key for spec in Choices.specs() if spec.optional}


def written(value: object, spec: FigureSpec | None, figures: Figures) -> str:
    """Any value of a document in words, as exact as it can be typed."""
    if value is None or value == "" or value == []:
        return NOTHING
    if isinstance(value, bool):
        return _translated("yes") if value else _translated("no")
    if isinstance(value, StrEnum):
        return texts.label_or_key(value)
    if isinstance(value, Figure):
        return _figure(value, spec, figures)
    if isinstance(value, int | float):
        return _number(value, spec, figures)
    if isinstance(value, str):
        return " ".join(value.split())
    if isinstance(value, Window):
        ends = (figures.bare(value.low, Kind.PERCENT), figures.text(value.high, Kind.PERCENT))
        return " – ".join(ends)
    if isinstance(value, Reading):
        return _reading(value, figures)
    if isinstance(value, Tick):
        done = _translated("done") if value.done else _translated("not done")
        return ", ".join(part for part in (f"{value.step}: {done}", value.noted) if part)
    if isinstance(value, list):
        return _translated("{n} values").format(n=len(value))
    return _translated("set")


def _number(value: float, spec: FigureSpec | None, figures: Figures) -> str:
    if spec is None:
        return f"{value:g}".replace(".", figures.decimal_mark)
    return f"{_bare(value, spec, figures)} {figures.unit(spec.kind)}".strip()


def _bare(value: float, spec: FigureSpec, figures: Figures) -> str:
    """As it was typed: two figures that differ must not look alike."""
    return format_for_entry(value, spec.kind, figures.system, decimal_mark=figures.decimal_mark)


def _figure(value: Figure, spec: FigureSpec | None, figures: Figures) -> str:
    shown = _number(value.value, spec, figures)
    if value.spread and spec is not None:
        spread = _number(value.spread, spec, figures)
        shown = f"{_bare(value.value, spec, figures)} ± {spread}"
    return f"{shown}, {texts.label(value.source)}"


def _reading(value: Reading, figures: Figures) -> str:
    # Loaded with the first reading that is told: it brings the solver along.
    from fitplanner.ui.tape.words import reading_title

    kind = {Place.STAND_LEAN: Kind.ANGLE, Place.OIL_DRAINED: Kind.VOLUME}
    shown = figures.text(value.value, kind.get(value.place, Kind.LENGTH), decimals=1)
    when = _translated("before the work" if value.when is When.BEFORE else "after the work")
    where = f"{reading_title(value)}, {when}"
    aside = f" ({_translated('set aside')})" if value.set_aside else ""
    return f"{where}: {shown}{aside}"


def _translated(text: str) -> str:
    return QCoreApplication.translate("ShopWords", text)


_SECTIONS = {"rider": "Rider", "machine": "Machine", "windows": "Sag windows"}

_TOP = {
    "title": "Job",
    "note": "Note",
    "machine": "Machine",
    "windows": "Sag windows",
    "reference": "Reference",
    "stage": "Stage",
    "fitted": "Measured machine",
    "shop_shares": "The shop's experience",
    "quote": "Price agreed",
}

_ROWS = {"readings": "Reading", "ticks": "Step"}

_DEEDS = {
    Deed.ADDED: "added",
    Deed.SAVED: "saved",
    Deed.ERASED: "rider erased",
    Deed.RESTORED: "from a backup",
}
