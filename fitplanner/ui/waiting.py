"""Owns the small notice that something takes its time; it takes all input until it is over."""

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QCloseEvent, QGuiApplication
from PySide6.QtWidgets import QDialog, QDialogButtonBox, QProgressBar, QVBoxLayout, QWidget

from fitplanner.ui.widgets.text import Text


class Waiting(QDialog):
    """Words and a bar that runs; with a button where the user may give up."""

    given_up = Signal()

    def __init__(self, words: str, may_give_up: bool, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._may_give_up = may_give_up
        self._over = False
        self.was_given_up = False
        self.setWindowTitle(QGuiApplication.applicationDisplayName())
        # The whole program: a window of its own beside this one must not begin anything either.
        self.setWindowModality(Qt.WindowModality.ApplicationModal)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        column = QVBoxLayout(self)
        column.setContentsMargins(20, 16, 20, 16)
        column.setSpacing(12)
        column.addWidget(Text(words, parent=self))
        bar = QProgressBar(self)
        bar.setRange(0, 0)
        bar.setTextVisible(False)
        column.addWidget(bar)
        if may_give_up:
            buttons = QDialogButtonBox(self)
            buttons.addButton(self.tr("&Cancel"), QDialogButtonBox.ButtonRole.RejectRole)
            buttons.rejected.connect(self.reject)
            column.addWidget(buttons)
        self.setMinimumWidth(360)

    def end(self) -> None:
        """Nothing is waited for any more."""
        self._over = True
        self.close()

    def reject(self) -> None:
        """Escape and the button."""
        if self._over:
            super().reject()
        elif self._may_give_up:
            self.was_given_up = True
            self.given_up.emit()

    def closeEvent(self, event: QCloseEvent) -> None:
        """Stay until it is over."""
        if self._over:
            event.accept()
        else:
            event.ignore()
            self.reject()
