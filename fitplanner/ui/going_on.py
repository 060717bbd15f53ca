"""Owns the offer to go on with the job that was on the table when the program ended.

It is offered and never forced: the first job stays until the button is pressed. Refuses to open
anything itself.
"""

from pathlib import Path

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

from fitplanner.documents.preferences import LastJob
from fitplanner.ui.widgets.remark import Remark


class GoingOn(Remark):
    """A line with a button, gone once there is another job or this one is changed."""

    file_wanted = Signal(object)
    """The path of the job to open."""
    kept_wanted = Signal(str)
    """The key of the shop's job to open."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._last = LastJob()
        self.acted.connect(self._go_on)

    def offer(self, last: LastJob) -> None:
        """Offer `last`, where there is one and a file is still there."""
        self._last = last
        words = ""
        if last.file and Path(last.file).exists():
            words = self.tr("Last time: {file}").format(file=Path(last.file).name)
        elif last.kept:
            words = self.tr("Last time: a job of the shop")
        self.show_text(words, action=self.tr("Go on with it") if words else "")

    def withdraw(self) -> None:
        """Something else is worked on."""
        self.show_text("")

    def _go_on(self) -> None:
        if self._last.file:
            self.file_wanted.emit(Path(self._last.file))
        else:
            self.kept_wanted.emit(self._last.kept)
