"""Owns the dialog with the settings of the shop's machines: where they are kept, what is listed."""

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from PySide6.QtWidgets import (
    QCheckBox,
    QHBoxLayout,
    QLineEdit,
    QPushButton,
    QRadioButton,
    QVBoxLayout,
    QWidget,
)

from fitplanner.documents.preferences import Preferences
from fitplanner.ui.forms import tip
from fitplanner.ui.tried import TriedDialog, inset
from fitplanner.ui.widgets.mark import CAUTION
from fitplanner.ui.widgets.remark import Remark
from fitplanner.ui.widgets.text import Text


@dataclass(frozen=True)
class MachinesPlace:
    """What is set: `Preferences.profiles_folder` and `show_invented`."""

    folder: str
    show_invented: bool


class MachinesPlaceDialog(TriedDialog):
    """This computer or a folder of the shop, tried before it is taken."""

    def __init__(
        self,
        place: MachinesPlace,
        usual: str,
        trouble: str,
        take: Callable[[MachinesPlace], str],
        choose: Callable[[str], Path | None],
        parent: QWidget | None = None,
    ) -> None:
        """Show `place`.

        Args:
            place: as it is set.
            usual: where the machines are without a folder.
            trouble: what is wrong with the folder at present, or "".
            take: tries a place and goes there; returns why that failed, or "".
            choose: lets the user choose a folder, beginning in another.
            parent: the window.
        """
        super().__init__(parent)
        self._take = take
        self._choose = choose
        self.setWindowTitle(self.tr("Where the machines are kept"))
        fields = Preferences.model_fields
        self.here = QRadioButton(self.tr("On &this computer"), self)
        self.shared = QRadioButton(
            self.tr("In a &folder that all computers of the shop reach"), self
        )
        (self.shared if place.folder else self.here).setChecked(True)
        self.folder = QLineEdit(place.folder, self)
        self.folder.setMaxLength(500)
        self.folder.setAccessibleName(fields["profiles_folder"].title or "")
        self.choose_button = QPushButton(self.tr("C&hoose…"), self)
        self.choose_button.setAutoDefault(False)
        self.invented = QCheckBox(self.tr("&Show the invented machines"), self)
        self.invented.setChecked(place.show_invented)
        self.invented.setToolTip(tip(fields["show_invented"].description or ""))
        self.trouble = Remark(self)
        self.trouble.show_text(trouble, CAUTION)
        self._lay_out(usual, fields["show_invented"].description or "")
        self.here.toggled.connect(self._show_choice)
        self.choose_button.clicked.connect(self._choose_folder)
        self._show_choice()
        self.setMinimumWidth(560)

    def _lay_out(self, usual: str, about_invented: str) -> None:
        row = QHBoxLayout()
        row.addWidget(self.folder, 1)
        row.addWidget(self.choose_button)
        help = self.tr(
            "For example on a network drive. Each machine is a file there, and every computer "
            "lists what the folder holds. Machines are not moved: copy their files, or import "
            "them."
        )
        column = QVBoxLayout(self)
        column.setSpacing(6)
        column.addWidget(self.trouble)
        column.addWidget(self.here)
        column.addLayout(inset(Text(usual, faint=True, parent=self)))
        column.addWidget(self.shared)
        column.addLayout(inset(row))
        column.addLayout(inset(Text(help, faint=True, parent=self)))
        column.addSpacing(8)
        column.addWidget(self.invented)
        column.addLayout(inset(Text(about_invented, faint=True, parent=self)))
        column.addWidget(self.said)
        column.addStretch(1)
        column.addWidget(self._buttons())

    def place(self) -> MachinesPlace:
        """What is entered."""
        folder = self.folder.text().strip() if self.shared.isChecked() else ""
        return MachinesPlace(folder, self.invented.isChecked())

    def _show_choice(self) -> None:
        for widget in (self.folder, self.choose_button):
            widget.setEnabled(self.shared.isChecked())

    def _choose_folder(self) -> None:
        chosen = self._choose(self.folder.text().strip())
        if chosen is not None:
            self.folder.setText(str(chosen))

    def _try(self) -> None:
        place = self.place()
        if self.shared.isChecked() and not Path(place.folder).is_absolute():
            self._say(self.tr("Enter the whole path of the folder, or choose it."))
            self.folder.setFocus()
            return
        self._end(self._take(place))
