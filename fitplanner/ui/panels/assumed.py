"""Owns how an offer of a machine looks while nobody entered it, and that typing enters it.

An offer is a way to lower, springs at one end, or the work at the side-stand. Refuses its figures.
"""

from PySide6.QtWidgets import QWidget

from fitplanner.documents.errors import Address
from fitplanner.documents.job import Job
from fitplanner.documents.machine import SpringOffer, StandOffer, WayOffer
from fitplanner.quantities import UnitSystem
from fitplanner.session.edits import Edit, value_at
from fitplanner.ui.fields import QuantityEntry
from fitplanner.ui.widgets.text import Text

Offer = WayOffer | SpringOffer | StandOffer


class OfferEntry(QuantityEntry):
    """One figure of an offer, slanted while that is assumed; empty where there is none."""

    def show_job(self, job: Job) -> None:
        super().show_job(job)
        font = self.line_edit.font()
        if font.italic() != is_assumed(job, self.address[:-1]):
            font.setItalic(not font.italic())
            self.line_edit.setFont(font)

    def _read_job(self, job: Job) -> float | None:
        return None if value_at(job, self.address[:-1]) is None else super()._read_job(job)

    def _edit_of(self, value: float | None) -> Edit:
        """What is typed makes the whole offer the shop's own."""
        offer: Offer | None = value_at(self._history.job, self.address[:-1])
        fields = {} if offer is None else offer.__dict__
        known = {**fields, str(self.address[-1]): value, "assumed": False}
        return Edit(self.address[:-1], known)


class AssumedLabel(Text):
    """Says of an offer that it is assumed."""

    def __init__(self, address: Address, parent: QWidget) -> None:
        super().__init__(wrap=False, faint=True, scale=0.92, parent=parent)
        self._address = address
        font = self.font()
        font.setItalic(True)
        self.setFont(font)
        self.setFixedWidth(self.fontMetrics().horizontalAdvance(self.tr("assumed") + "mm"))

    def show_job(self, job: Job) -> None:
        """Show what the job's machine has."""
        self.setText(self.tr("assumed") if is_assumed(job, self._address) else "")

    def discard(self) -> None:
        """Nothing is typed here."""

    def set_system(self, system: UnitSystem) -> None:
        """A word has no unit."""


def is_assumed(job: Job, address: Address) -> bool:
    """Whether nobody entered the offer at `address`."""
    offer: Offer | None = value_at(job, address)
    return offer is not None and offer.assumed
