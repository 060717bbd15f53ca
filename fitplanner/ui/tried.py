"""Owns what dialogs share whose entry is tried before it is taken: buttons, refusal, indents.

Refuses to know what is entered.
"""

from PySide6.QtWidgets import (
    QDialog,
    QDialogButtonBox,
    QHBoxLayout,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from fitplanner.ui.forms import note_label, set_note


class TriedDialog(QDialog):
    """Stays, and says why, while what is entered cannot be used."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.said = note_label(self)

    def _buttons(self) -> QDialogButtonBox:
        """Try or leave; made last, so that Tab comes to them last."""
        roles = QDialogButtonBox.ButtonRole
        buttons = QDialogButtonBox(self)
        self.take_button = QPushButton(self.tr("T&ry and use it"), self)
        self.take_button.setDefault(True)
        cancel = QPushButton(self.tr("&Cancel"), self)
        buttons.addButton(self.take_button, roles.AcceptRole)
        buttons.addButton(cancel, roles.RejectRole)
        buttons.accepted.connect(self._try)
        buttons.rejected.connect(self.reject)
        return buttons

    def _try(self) -> None:
        raise NotImplementedError

    def _end(self, failure: str) -> None:
        """Close where there was no failure."""
        if failure:
            self._say(failure)
        else:
            self.accept()

    def _say(self, text: str) -> None:
        set_note(self.said, text)
        self.said.setForegroundRole(self.said.palette().ColorRole.WindowText)
        self.adjustSize()


def inset(content: QWidget | QHBoxLayout) -> QVBoxLayout:
    """What belongs to the choice above it."""
    column = QVBoxLayout()
    column.setContentsMargins(24, 0, 0, 6)
    if isinstance(content, QWidget):
        column.addWidget(content)
    else:
        column.addLayout(content)
    return column
