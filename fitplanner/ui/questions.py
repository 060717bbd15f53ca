"""Owns the shape of a question and of a message: words, buttons, what each of them means.

All text is shown as it is, never as marked-up text. Refuses what is asked.
"""

from typing import TypeVar

from PySide6.QtCore import QCoreApplication, Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QMessageBox, QWidget

T = TypeVar("T")

Icon = QMessageBox.Icon
Role = QMessageBox.ButtonRole


class Questions:
    """Boxes over `parent`."""

    def __init__(self, parent: QWidget) -> None:
        self._parent = parent

    def tell(self, what: str, more: str = "", *, fault: bool = True) -> None:
        """Say what happened and what to do about it."""
        box = self._box(Icon.Warning if fault else Icon.Information, what, more)
        # A word of its own: before its "OK" the style puts a picture, dark in every appearance.
        box.addButton(_tr("OK"), Role.AcceptRole)
        box.exec()
        box.deleteLater()

    def _sure(self, what: str, more: str, yes_words: str) -> bool:
        """Ask before what cannot be taken back; only its own button says yes."""
        return self._choice(
            what,
            more,
            (yes_words, Role.DestructiveRole, True),
            (_tr("&Cancel"), Role.RejectRole, False),
            first=1,
        )

    def _choice(
        self,
        what: str,
        more: str,
        *buttons: tuple[str, QMessageBox.ButtonRole, T],
        first: int = 0,
        escape: int = -1,
    ) -> T:
        """Ask with buttons: words, role, what each means.

        Enter presses the one numbered `first`; closing the question means the one of `escape`.
        """
        box = self._box(Icon.Question, what, more)
        made = [box.addButton(words, role) for words, role, _ in buttons]
        box.setDefaultButton(made[first])
        box.setEscapeButton(made[escape])
        box.exec()
        clicked = box.clickedButton()
        box.deleteLater()
        return buttons[made.index(clicked) if clicked in made else escape][2]

    def _box(self, icon: QMessageBox.Icon, what: str, more: str) -> QMessageBox:
        box = QMessageBox(self._parent)
        box.setIcon(icon)
        # The window system puts the same name behind any other title.
        box.setWindowTitle(QGuiApplication.applicationDisplayName())
        box.setTextFormat(Qt.TextFormat.PlainText)
        # One text, because the informative text below it would read marks in names.
        box.setText(f"{what}\n\n{more}" if more else what)
        return box


def _tr(text: str) -> str:
    return QCoreApplication.translate("Dialogs", text)
