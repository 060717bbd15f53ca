"""Owns what is fixed by hand: amounts of the ways, springs, preloads, pitch wish, sag and load.

An empty field leaves the choice to the planner, and shows what it chose. Ways that the machine
does not accept are named instead of shown; an amount that stands there all the same can be emptied.
"""

from PySide6.QtGui import QPalette
from PySide6.QtWidgets import QLabel, QWidget

from fitplanner.documents.job import Choices, Job
from fitplanner.documents.machine import WayOffer
from fitplanner.planning.context import CHOSEN_WAYS
from fitplanner.planning.plan import Plan, SpringPlan, WayId
from fitplanner.quantities import Kind, UnitSystem, format_for_entry, format_quantity, unit_label
from fitplanner.session.edits import value_at
from fitplanner.ui import texts
from fitplanner.ui.fields import QuantityEntry
from fitplanner.ui.forms import Form, note_label, set_note, tip
from fitplanner.ui.panels.sag import SagPanel
from fitplanner.ui.undo import History
from fitplanner.ui.widgets.figures import decimal_mark

_LEFT = [f"{way}_mm" for way in WayId if way not in CHOSEN_WAYS]
"""Amounts that a plan takes as none unless they are set by hand; a search tries them."""

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
        set_note(
            empty,
            self.tr(
                "Leave a field empty and the planner chooses, or where it says so, Options do."
            ),
        )
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
        if self._job is not None and job.machine.id != self._job.machine.id:
            # What was typed and refused was meant for the other machine.
            self.discard()
        super().show_job(job)
        self._job = job
        missing: list[str] = []
        for way, note in self._reasons.items():
            offer: WayOffer | None = getattr(job.machine.ways, way)
            entry, label = self._entries[f"{way}_mm"], self._labels[f"{way}_mm"]
            amount: float | None = value_at(job, entry.address)
            shown = offer is not None or amount is not None
            entry.setVisible(shown)
            label.setVisible(shown)
            if not shown:
                missing.append(texts.label(way))
                entry.discard()
            if offer is not None:
                self._explain(way, offer)
            beyond = self._beyond(amount, offer)
            entry.set_caution(beyond)
            role = QPalette.ColorRole
            note.setForegroundRole(role.WindowText if beyond else role.PlaceholderText)
            remark = "" if offer is None else offer.note
            left = "" if offer is None or way in CHOSEN_WAYS else self.tr("Left to Options.")
            set_note(note, "\n".join(each for each in (beyond, left, remark) if each))
        words = self.tr("Not accepted by this machine: {ways}.")
        set_note(self._missing, words.format(ways=", ".join(missing)) if missing else "")
        self._show_chosen()

    def remark(self, way: str) -> str:
        """What is said below a way, or ""."""
        return self._reasons[WayId(way)].text()

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
        if key in _LEFT:
            entry.set_placeholder(self.tr("none"))
            entry.set_empty_words(self.tr("planned without; Options try it"))

    def _explain(self, way: WayId, offer: WayOffer) -> None:
        # As it would be typed: a step of a quarter inch is no step of 6 mm.
        mark, unit = decimal_mark(self.locale()), unit_label(Kind.LENGTH, self._system)
        most, step = (
            f"{format_for_entry(each, Kind.LENGTH, self._system, decimal_mark=mark)} {unit}"
            for each in (offer.maximum_mm, offer.step_mm)
        )
        room = self.tr("Up to {most}, in steps of {step}").format(most=most, step=step)
        parts = (texts.hint(way), self._specs[f"{way}_mm"].help, room)
        help = ". ".join(part for part in parts if part)
        self._labels[f"{way}_mm"].setToolTip(tip(help))
        self._entries[f"{way}_mm"].set_help(help)

    def _beyond(self, amount: float | None, offer: WayOffer | None) -> str:
        """What is said of an amount that the machine does not accept; "" where it does."""
        if not amount:
            return ""
        if offer is None:
            return self.tr("This machine does not accept it: empty the field.")
        # Amounts come back from inches with a rounding error.
        if amount <= offer.maximum_mm + 1e-6:
            return ""
        return self.tr("More than this machine accepts: up to {most}.").format(
            most=self._text(offer.maximum_mm, Kind.LENGTH)
        )

    def _show_chosen(self) -> None:
        plan = self._plan
        if plan is None:
            for key, entry in self._entries.items():
                if self._specs[key].optional and key not in _LEFT:
                    entry.set_placeholder(self.tr("auto"))
                    entry.set_empty_words(self.tr("chosen by the planner"))
            return
        for amount in plan.ways:
            if amount.way in CHOSEN_WAYS:
                self._show_auto(f"{amount.way}_mm", amount.amount_mm)
        for end, name in (("front", "fork"), ("rear", "shock")):
            spring: SpringPlan = plan.springs[end]  # type: ignore[index]
            self._show_auto(f"{name}_rate_n_mm", spring.rate_n_mm)
            self._show_auto(f"{name}_preload_mm", spring.preload_mm)

    def _show_auto(self, key: str, value: float) -> None:
        """Show in an empty field what the planner chose."""
        entry, kind = self._entries[key], self._specs[key].kind
        mark = decimal_mark(self.locale())
        shown = format_for_entry(value, kind, self._system, decimal_mark=mark)
        entry.set_placeholder(self.tr("auto: {value}").format(value=shown))
        entry.set_empty_words(
            self.tr("planned with {value}, the planner's choice").format(
                value=self._text(value, kind)
            )
        )

    def _text(self, value: float, kind: Kind) -> str:
        mark = decimal_mark(self.locale())
        return format_quantity(value, kind, self._system, decimal_mark=mark)
