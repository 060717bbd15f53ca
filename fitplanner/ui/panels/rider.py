"""Owns the entry of the rider: body, gear and wishes.

An inside leg that was not measured is estimated, and the panel says so with its band.
"""

from PySide6.QtWidgets import QWidget

from fitplanner.body.inside_leg import Population
from fitplanner.body.reach import Footing
from fitplanner.documents.job import Job
from fitplanner.documents.rider import Boot, Experience, Rider, RidingStyle
from fitplanner.planning.plan import Plan
from fitplanner.quantities import Kind, UnitSystem, format_quantity
from fitplanner.ui import texts
from fitplanner.ui.fields import ChoiceEntry, QuantityEntry, TextEntry
from fitplanner.ui.forms import Form, note_label, set_note
from fitplanner.ui.undo import History
from fitplanner.ui.widgets.figures import decimal_mark

_CHOICES = {
    "population": Population,
    "boot": Boot,
    "riding_style": RidingStyle,
    "experience": Experience,
    "footing": Footing,
}


_TEXTS = {"name": 120, "phone": 60}


class RiderPanel(Form):
    """All fields of the rider, the wanted footing first asked for."""

    def __init__(self, history: History, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._plan: Plan | None = None
        self._system = UnitSystem.METRIC
        self._estimate = note_label(self)
        specs = {spec.key: spec for spec in Rider.specs()}
        for key, field in Rider.model_fields.items():
            address = ("rider", key)
            words = field.title or key
            if key in _TEXTS:
                self.add_field(words, TextEntry(history, address, words, _TEXTS[key], self))
            elif key in _CHOICES:
                wish = key == "footing"
                label = texts.wanted_label if wish else texts.label
                hint = texts.wanted_hint if wish else texts.hint
                labels = {one: label(one) for one in _CHOICES[key]}
                choice = ChoiceEntry(history, address, words, labels, self)
                for row, one in enumerate(labels):
                    choice.set_hint(row, hint(one))
                self.add_field(words, choice, field.description or "")
            else:
                spec = specs[key]
                self.add_field(words, QuantityEntry(history, address, spec, self), spec.help)
            if key == "inside_leg_mm":
                self.inside_leg = self.fields[-1]
                self.add_wide(self._estimate)

    def show_job(self, job: Job) -> None:
        super().show_job(job)
        self._show_estimate(job.rider.inside_leg_mm is None)

    def estimate_text(self) -> str:
        """What is said of an inside leg that was not measured, or ""."""
        return self._estimate.text()

    def show_plan(self, plan: Plan | None) -> None:
        """Say what the planner assumes where nothing was entered."""
        self._plan = plan
        self._show_estimate(plan is not None and plan.requirement.inside_leg_estimated)

    def set_system(self, system: UnitSystem) -> None:
        super().set_system(system)
        self._system = system
        self.show_plan(self._plan)

    def _show_estimate(self, estimated: bool) -> None:
        text = placeholder = stand_in = ""
        plan = self._plan
        if estimated and plan is not None and plan.requirement.inside_leg_estimated:
            leg = plan.requirement.inside_leg_mm
            value, low, high = (
                format_quantity(
                    each,
                    Kind.LENGTH,
                    self._system,
                    with_unit=False,
                    decimal_mark=decimal_mark(self.locale()),
                )
                for each in (leg.value, leg.low, leg.high)
            )
            unit = format_quantity(leg.high, Kind.LENGTH, self._system).split()[-1]
            placeholder = self.tr("about {value}").format(value=value)
            stand_in = self.tr("planned with about {value} {unit}, from the stature").format(
                value=value, unit=unit
            )
            text = self.tr(
                "Estimated from the stature: about {value} {unit}, likely {low} to {high}. "
                "Measure it before anything is bought."
            ).format(value=value, unit=unit, low=low, high=high)
        if isinstance(self.inside_leg, QuantityEntry):
            self.inside_leg.set_placeholder(placeholder)
            self.inside_leg.set_empty_words(stand_in)
        set_note(self._estimate, text)
