"""Owns what a figure counts as by the page on which it is typed, and where it is said to be from.

On the page of the data sheet a value is the maker's, at the tape it was measured today. Refuses
the usual spreads themselves.
"""

import re
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date

from PySide6.QtCore import QCoreApplication, QDate, QLocale

from fitplanner.documents.base import Figure, FigureSpec, Source
from fitplanner.documents.errors import Address
from fitplanner.documents.job import Job
from fitplanner.library.entering import usual_spread
from fitplanner.library.rules import Rules
from fitplanner.planning.unsaid import SEAT_HEIGHT, seat_height
from fitplanner.quantities import UnitSystem, unit_label
from fitplanner.session.edits import value_at
from fitplanner.ui import texts

# Digits, signs, fractions and marks; anything else in a typed figure is its unit.
_BARE = re.compile(r"[0-9.,/\u2044+\-−\s½¼¾⅛⅜⅝⅞']*")


@dataclass(frozen=True)
class Manner:
    """What is typed on one page: its source, and what completes it (the day, the book)."""

    rules: Rules
    source: Source
    origin: Callable[[], str]

    def typed(self, address: Address, spec: FigureSpec, value: float, text: str) -> Figure:
        """The figure that typing `text` for `value` makes."""
        section, key = str(address[-2]), str(address[-1])
        return Figure(
            value=value,
            spread=usual_spread((section, key), spec, self.source, value),
            source=self.source,
            origin=self.origin(),
            typed=text[:60],
        )

    def emptied(self, job: Job, address: Address) -> Figure | None:
        """The figure that stands where nothing is typed: by its rule, or none."""
        return self.rules.assumed(job.machine, (str(address[-2]), str(address[-1])))


def today() -> str:
    """The day, as a figure keeps it."""
    return date.today().isoformat()


def with_unit(text: str, spec: FigureSpec, system: UnitSystem) -> str:
    """Typed text with the unit that was meant where none was typed."""
    typed = text.strip()
    if not _BARE.fullmatch(typed):
        return typed
    fraction = "/" in typed or "\u2044" in typed or any(each in typed for each in "½¼¾⅛⅜⅝⅞")
    unit = "in" if fraction and spec.kind == "length" else unit_label(spec.kind, system)
    return f"{typed} {unit}".strip()


def is_assumed(figure: Figure | None) -> bool:
    """Whether a figure is its rule's, so that its field stands empty."""
    return figure is not None and figure.source is Source.ASSUMED and bool(figure.rule)


def provenance(figure: Figure, locale: QLocale) -> str:
    """Where a figure comes from, in a few words, such as "measured 26 Nov 2026"."""
    source = texts.label(figure.source)
    if is_assumed(figure) or not figure.origin:
        return source
    return f"{source}, {origin_words(figure.origin, locale)}"


def origin_words(origin: str, locale: QLocale) -> str:
    """What completes a source; a day as the user's region writes it."""
    day = QDate.fromString(origin, "yyyy-MM-dd")
    if day.isValid():
        return locale.toString(day, QLocale.FormatType.ShortFormat)
    return origin


def figure_of(job: Job, address: Address) -> Figure | None:
    """The figure at `address`."""
    figure: Figure | None = value_at(job, address)
    return figure


def shown_figure(job: Job, address: Address) -> Figure | None:
    """The figure at `address` with the spread that it is planned with."""
    if address[1:] == SEAT_HEIGHT:
        return seat_height(job.machine)
    return figure_of(job, address)


def _tr(text: str) -> str:
    return QCoreApplication.translate("Profiles", text)
