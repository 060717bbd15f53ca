"""Owns the sag windows of the job: those of the riding style, or the job's own."""

from PySide6.QtWidgets import QCheckBox, QWidget

from fitplanner.documents.base import FigureSpec
from fitplanner.documents.job import Job, SagWindows
from fitplanner.library.styles import sag_windows
from fitplanner.quantities import Kind
from fitplanner.ui.fields import QuantityEntry
from fitplanner.ui.forms import Form, tip
from fitplanner.ui.undo import History


class SagPanel(Form):
    """A switch, and with it the ends of the four windows as shares of the remaining travel."""

    def __init__(self, history: History, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._history = history
        self.own = QCheckBox(self.tr("Own sag windows for this job"), self)
        self.own.setToolTip(
            tip(self.tr("Otherwise the windows of the riding style hold. Shares of the travel."))
        )
        self.add_wide(self.own)
        self._ends = Form(self)
        names = {
            "rider_front": self.tr("Rider sag, front"),
            "rider_rear": self.tr("Rider sag, rear"),
            "free_front": self.tr("Free sag, front"),
            "free_rear": self.tr("Free sag, rear"),
        }
        for window in SagWindows.model_fields:
            for end, word in (("low", self.tr("least")), ("high", self.tr("most"))):
                label = f"{names[window]}, {word}"
                spec = FigureSpec(end, label, "", Kind.PERCENT, 0.0, 0.9, optional=False)
                entry = _WindowEntry(history, ("windows", window, end), spec, self._ends)
                self._ends.add_field(label, entry)
                self.fields.append(entry)
        self.add_wide(self._ends)
        self.own.clicked.connect(self._switch)

    def show_job(self, job: Job) -> None:
        self.own.setChecked(job.windows is not None)
        self._ends.setVisible(job.windows is not None)
        super().show_job(job)
        if job.windows is None:
            self._ends.discard()

    def _switch(self, on: bool) -> None:
        job = self._history.job
        windows = sag_windows(job.rider.riding_style) if on else None
        self._history.change(job.replace(windows=windows), self.tr("Sag windows"))


class _WindowEntry(QuantityEntry):
    """One end of a window; empty while the riding style's windows hold."""

    def _read_job(self, job: Job) -> float | None:
        return None if job.windows is None else super()._read_job(job)
