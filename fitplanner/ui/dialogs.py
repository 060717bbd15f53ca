"""Owns every question and message that stands in the way of the user.

All text is shown as it is, never as marked-up text: it may hold names from files. One object, so
that tests can answer in the user's place.
"""

from enum import Enum, auto
from pathlib import Path

from PySide6.QtCore import QCoreApplication, Qt
from PySide6.QtWidgets import QFileDialog, QMessageBox, QWidget

from fitplanner.documents.preferences import Rates
from fitplanner.store.files import JOB_EXTENSION

_Icon = QMessageBox.Icon
_Role = QMessageBox.ButtonRole


class Unsaved(Enum):
    """What to do with unsaved changes."""

    SAVE = auto()
    DISCARD = auto()
    CANCEL = auto()


class Dialogs:
    """Dialogs over `parent`."""

    def __init__(self, parent: QWidget) -> None:
        self._parent = parent

    def tell(self, what: str, more: str = "", *, fault: bool = True) -> None:
        """Say what happened and what to do about it."""
        box = self._box(_Icon.Warning if fault else _Icon.Information, what, more)
        # A word of its own: before its "OK" the style puts a picture, dark in every appearance.
        box.addButton(_tr("OK"), _Role.AcceptRole)
        box.exec()
        box.deleteLater()

    def ask_unsaved(self, name: str) -> Unsaved:
        """Ask what becomes of the changes of the job called `name`."""
        what = _tr("Save the changes of “{name}”?").format(name=name)
        box = self._box(_Icon.Question, what, _tr("Otherwise they are lost."))
        save = box.addButton(_tr("&Save"), _Role.AcceptRole)
        discard = box.addButton(_tr("&Do not save"), _Role.DestructiveRole)
        cancel = box.addButton(_tr("&Cancel"), _Role.RejectRole)
        box.setDefaultButton(save)
        box.setEscapeButton(cancel)
        box.exec()
        clicked = box.clickedButton()
        box.deleteLater()
        if clicked is save:
            return Unsaved.SAVE
        return Unsaved.DISCARD if clicked is discard else Unsaved.CANCEL

    def ask_recovery(self, name: str, more: str) -> bool:
        """Ask whether to open work that a former run did not save."""
        what = _tr("The program did not end well the last time. Open the unsaved work?")
        box = self._box(_Icon.Question, what, f"{name}\n{more}".strip())
        yes = box.addButton(_tr("&Open it"), _Role.AcceptRole)
        no = box.addButton(_tr("&Throw it away"), _Role.DestructiveRole)
        box.setDefaultButton(yes)
        # Closing the question must not cost the work.
        box.setEscapeButton(yes)
        box.exec()
        thrown_away = box.clickedButton() is no
        box.deleteLater()
        return not thrown_away

    def ask_replace(self, path: Path) -> bool:
        """Ask whether to write over a file that is there already."""
        what = _tr("Replace the file that is there already?")
        box = self._box(_Icon.Question, what, str(path))
        yes = box.addButton(_tr("&Replace"), _Role.DestructiveRole)
        no = box.addButton(_tr("&Cancel"), _Role.RejectRole)
        box.setDefaultButton(no)
        box.setEscapeButton(no)
        box.exec()
        replace = box.clickedButton() is yes
        box.deleteLater()
        return replace

    def ask_rates(self, rates: Rates) -> Rates | None:
        """Let the user change the shop's figures for prices; None where nothing was changed."""
        from fitplanner.ui.fleet.rates import RatesDialog

        dialog = RatesDialog(rates, self._parent)
        taken = dialog.exec() == RatesDialog.DialogCode.Accepted
        changed = dialog.rates()
        dialog.deleteLater()
        return changed if taken else None

    def choose_open(self, folder: str) -> Path | None:
        """Let the user choose a job file to open."""
        name, _ = QFileDialog.getOpenFileName(self._parent, _tr("Open a job"), folder, _filters())
        return Path(name) if name else None

    def choose_save(self, proposal: Path) -> Path | None:
        """Let the user choose where to save the job."""
        name, _ = QFileDialog.getSaveFileName(
            self._parent, _tr("Save the job"), str(proposal), _filters()
        )
        return Path(name) if name else None

    def choose_pdf(self, proposal: Path) -> Path | None:
        """Let the user choose where to write a page."""
        name, _ = QFileDialog.getSaveFileName(
            self._parent, _tr("Save the page"), str(proposal), f"{_tr('Pages')} (*.pdf)"
        )
        return Path(name) if name else None

    def choose_table(self, proposal: Path) -> Path | None:
        """Let the user choose where to write a table."""
        name, _ = QFileDialog.getSaveFileName(
            self._parent, _tr("Export the table"), str(proposal), f"{_tr('Tables')} (*.csv)"
        )
        return Path(name) if name else None

    def _box(self, icon: QMessageBox.Icon, what: str, more: str) -> QMessageBox:
        box = QMessageBox(self._parent)
        box.setIcon(icon)
        box.setWindowTitle(QCoreApplication.applicationName())
        box.setTextFormat(Qt.TextFormat.PlainText)
        # One text, because the informative text below it would read marks in names.
        box.setText(f"{what}\n\n{more}" if more else what)
        return box


def _filters() -> str:
    jobs, every = _tr("Jobs"), _tr("All files")
    return f"{jobs} (*{JOB_EXTENSION} *.json);;{every} (*)"


def _tr(text: str) -> str:
    return QCoreApplication.translate("Dialogs", text)
