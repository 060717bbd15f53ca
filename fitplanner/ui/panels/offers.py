"""Owns the entry of what the job's machine accepts: each way to lower, how far, in which steps."""

from collections.abc import Mapping
from dataclasses import replace

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QCheckBox, QGridLayout, QWidget

from fitplanner.documents.base import FigureSpec
from fitplanner.documents.job import Job
from fitplanner.documents.machine import MachineProfile, WayOffer
from fitplanner.planning.plan import WayId
from fitplanner.quantities import Kind
from fitplanner.session.edits import Edit
from fitplanner.ui import texts
from fitplanner.ui.fields import JobField, QuantityEntry
from fitplanner.ui.forms import plain_label, tip
from fitplanner.ui.panels.assumed import AssumedLabel, OfferEntry
from fitplanner.ui.undo import History

_WIDTH = 116
_FIRST_OFFER = WayOffer(maximum_mm=10.0, step_mm=1.0, assumed=True)


class OffersForm(QWidget):
    """One row for each way: a switch, and the figures of the offer."""

    def __init__(
        self,
        history: History,
        profiles: Mapping[str, MachineProfile],
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self.fields: list[JobField] = []
        self._rows: dict[WayId, tuple[QCheckBox, tuple[QuantityEntry, ...]]] = {}
        grid = QGridLayout(self)
        grid.setHorizontalSpacing(8)
        grid.setColumnStretch(0, 1)
        specs = _specs()
        for column, text in enumerate((self.tr("Way"), *(spec.label for spec in specs))):
            head = plain_label(text, self, wrap=True)
            head.setForegroundRole(head.palette().ColorRole.PlaceholderText)
            grid.addWidget(head, 0, column, Qt.AlignmentFlag.AlignBottom)
        for row, way in enumerate(WayId, start=1):
            switch = _OfferSwitch(history, way, profiles, self)
            grid.addWidget(switch, row, 0, Qt.AlignmentFlag.AlignTop)
            entries = []
            for column, spec in enumerate(specs, start=1):
                named = replace(spec, label=f"{texts.label(way)}: {spec.label}")
                entry = OfferEntry(history, ("machine", "ways", way.value, spec.key), named, self)
                entry.setFixedWidth(_WIDTH)
                grid.addWidget(entry, row, column, Qt.AlignmentFlag.AlignTop)
                entries.append(entry)
            self._rows[way] = (switch, tuple(entries))
            assumed = AssumedLabel(("machine", "ways", way.value), self)
            grid.addWidget(assumed, row, len(specs) + 1, Qt.AlignmentFlag.AlignVCenter)
            self.fields += [*entries, assumed]
        grid.setRowStretch(len(WayId) + 1, 1)

    def show_job(self, job: Job) -> None:
        """Show what the job's machine accepts; the figures of other ways are closed."""
        for way, (switch, entries) in self._rows.items():
            offered = getattr(job.machine.ways, way) is not None
            switch.setChecked(offered)
            for entry in entries:
                entry.setEnabled(offered)
                entry.show_job(job)
                if not offered:
                    entry.discard()
        for field in self.fields:
            if isinstance(field, AssumedLabel):
                field.show_job(job)


def _specs() -> list[FigureSpec]:
    """The lengths of an offer, then its plain numbers."""
    specs = list(WayOffer.specs())
    for key, high in (("hours", 100.0), ("parts", 1e7)):
        label = WayOffer.model_fields[key].title or key
        specs.append(FigureSpec(key, label, "", Kind.RATIO, 0.0, high, optional=False))
    return specs


class _OfferSwitch(QCheckBox):
    """Whether the machine accepts a way at all."""

    def __init__(
        self,
        history: History,
        way: WayId,
        profiles: Mapping[str, MachineProfile],
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(texts.label(way), parent)
        self._history = history
        self._way = way
        self._profiles = profiles
        self.setToolTip(tip(texts.hint(way)))
        self.clicked.connect(self._switch)

    def _switch(self, on: bool) -> None:
        offer = self._offer() if on else None
        self._history.edit(Edit(("machine", "ways", self._way.value), offer), self.text())
        self._history.end_step()

    def _offer(self) -> WayOffer:
        """The library's offer, or a modest one to begin with."""
        library = self._profiles.get(self._history.job.machine.id)
        known: WayOffer | None = None
        if library is not None:
            known = getattr(library.ways, self._way.value)
        return known or _FIRST_OFFER
