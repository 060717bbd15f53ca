"""Owns a page whose form is built when it is first looked at: most machines never need it."""

from collections.abc import Callable

from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import QFrame, QScrollArea, QWidget

from fitplanner.documents.job import Job
from fitplanner.quantities import UnitSystem
from fitplanner.ui.panels.offers import OffersForm
from fitplanner.ui.panels.spring_prices import SpringPricesForm
from fitplanner.ui.panels.torques import TorquesForm
from fitplanner.ui.undo import History

Form = OffersForm | SpringPricesForm | TorquesForm


class Later(QScrollArea):
    """A form that scrolls, once it is there."""

    def __init__(
        self, make: Callable[[], Form], history: History, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._make = make
        self._history = history
        self._system = UnitSystem.METRIC
        self._form: Form | None = None
        self.setWidgetResizable(True)
        self.setFrameShape(QFrame.Shape.NoFrame)

    def form(self) -> Form:
        """The form; built when it is first wanted."""
        if self._form is None:
            self._form = self._make()
            self.set_system(self._system)
            self._form.show_job(self._history.job)
            self.setWidget(self._form)
        return self._form

    def showEvent(self, event: QShowEvent) -> None:
        """The form is wanted."""
        self.form()
        super().showEvent(event)

    def show_job(self, job: Job) -> None:
        """Show what the job's machine has."""
        if self._form is not None:
            self._form.show_job(job)

    def set_system(self, system: UnitSystem) -> None:
        """Show quantities in another unit system."""
        self._system = system
        if self._form is not None:
            for field in self._form.fields:
                field.set_system(system)

    def discard(self) -> None:
        """Forget typed text that was not taken."""
        if self._form is not None:
            for field in self._form.fields:
                field.discard()
