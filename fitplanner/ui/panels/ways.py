"""Owns what is fixed by hand: amounts of the ways, springs, preloads, pitch wish, sag and load.

An empty field leaves the choice to the planner, and shows what it chose. Ways that the machine
does not accept are named instead of shown; an amount that stands there all the same can be emptied.
"""

from PySide6.QtWidgets import QLabel, QWidget

from fitplanner.documents.job import Choices, Job
from fitplanner.documents.machine import WayOffer
from fitplanner.planning.plan import Plan, SpringPlan, WayId
from fitplanner.quantities import Kind, UnitSystem, format_for_entry, format_quantity
from fitplanner.session.edits import value_at
from fitplanner.ui import texts
from fitplanner.ui.fields import QuantityEntry
from fitplanner.ui.forms import Form, note_label, set_note, tip
from fitplanner.ui.panels.sag import SagPanel
from fitplanner.ui.undo import History

_SPRINGS = ("fork_rate_n_mm", "fork_preload_mm", "shock_rate_n_mm", "shock_preload_mm")


class WaysPanel(Form):
    """All of the job's choices."""

    def __init__(self, history: History, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._history = history
        self._specs = {spec.key: spec for spec in Choices.specs()}
        self._entries: dict[str, QuantityEntry] = {}
        self._labels: dict[str, QLabel] = {}
        self._system = UnitSystem.METRIC
        self._plan: Plan | None = None
        self._job: Job | None = None
        empty = note_label(self)
        set_note(empty, self.tr("Leave a field empty and the planner chooses."))
        self.add_wide(empty)
        self._reasons: dict[WayId, QLabel] = {}
        for way in WayId:
            self._add(f"{way}_mm")
            self._reasons[way] = note_label(self)
            self.add_wide(self._reasons[way])
        self._missing = note_label(self)
        self.add_wide(self._missing)
        self.add_heading(self.tr("Springs"))
        for key in _SPRINGS:
            self._add(key)
        self.sag = SagPanel(history, self)
        self.add_wide(self.sag)
        self.fields.append(self.sag)
        self.add_heading(self.tr("Aim"))
        self._add("spare_mm")
        self._add("pitch_wish_deg")
        self.add_heading(self.tr("Load"))
        for key in self._specs:
            if key not in self._entries:
                self._add(key)

    def show_job(self, job: Job) -> None:
        super().show_job(job)
        self._job = job
        missing: list[str] = []
        for way, note in self._reasons.items():
            offer: WayOffer | None = getattr(job.machine.ways, way)
            entry, label = self._entries[f"{way}_mm"], self._labels[f"{way}_mm"]
            shown = offer is not None or value_at(job, entry.address) is not None
            entry.setVisible(shown)
            label.setVisible(shown)
            if not shown:
                missing.append(texts.label(way))
            if offer is not None:
                set_note(note, offer.note)
                self._explain(way, offer)
            else:
                set_note(note, self.tr("This machine does not accept it.") if shown else "")
        words = self.tr("Not accepted by this machine: {ways}.")
        set_note(self._missing, words.format(ways=", ".join(missing)) if missing else "")
        self._show_chosen()

    def missing_text(self) -> str:
        """What is said of the ways that the machine does not accept."""
        return self._missing.text()

    def show_plan(self, plan: Plan | None) -> None:
        """Show in the empty fields what the planner chose."""
        self._plan = plan
        self._show_chosen()

    def set_system(self, system: UnitSystem) -> None:
        super().set_system(system)
        self._system = system
        if self._job is not None:
            self.show_job(self._job)

    def _add(self, key: str) -> None:
        spec = self._specs[key]
        entry = QuantityEntry(self._history, ("choices", key), spec, self)
        entry.line_edit.setClearButtonEnabled(spec.optional)
        self._entries[key] = entry
        self._labels[key] = self.add_field(spec.label, entry, spec.help)

    def _explain(self, way: WayId, offer: WayOffer) -> None:
        most, step = (
            format_quantity(each, Kind.LENGTH, self._system)
            for each in (offer.maximum_mm, offer.step_mm)
        )
        room = self.tr("Up to {most}, in steps of {step}").format(most=most, step=step)
        parts = (texts.hint(way), self._specs[f"{way}_mm"].help, room)
        self._labels[f"{way}_mm"].setToolTip(tip(". ".join(part for part in parts if part)))

    def _show_chosen(self) -> None:
        plan = self._plan
        if plan is None:
            for key, entry in self._entries.items():
                entry.set_placeholder(self.tr("auto") if self._specs[key].optional else "")
            return
        for amount in plan.ways:
            entry = self._entries[f"{amount.way}_mm"]
            entry.set_placeholder(self._auto(amount.amount_mm, Kind.LENGTH))
        for end, name in (("front", "fork"), ("rear", "shock")):
            spring: SpringPlan = plan.springs[end]  # type: ignore[index]
            rate, preload = spring.rate_n_mm, spring.preload_mm
            self._entries[f"{name}_rate_n_mm"].set_placeholder(self._auto(rate, Kind.SPRING_RATE))
            self._entries[f"{name}_preload_mm"].set_placeholder(self._auto(preload, Kind.LENGTH))

    def _auto(self, value: float, kind: Kind) -> str:
        mark = self.locale().decimalPoint()
        shown = format_for_entry(value, kind, self._system, decimal_mark=mark)
        return self.tr("auto: {value}").format(value=shown)
