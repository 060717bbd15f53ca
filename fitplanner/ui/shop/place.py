"""Owns the dialog with the one setting where the jobs are kept, and whose name stands with them."""

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from PySide6.QtWidgets import (
    QFileDialog,
    QFormLayout,
    QHBoxLayout,
    QLineEdit,
    QPushButton,
    QRadioButton,
    QVBoxLayout,
    QWidget,
)

from fitplanner.documents.preferences import Preferences
from fitplanner.ui.tried import TriedDialog, inset
from fitplanner.ui.widgets.text import Text


@dataclass(frozen=True)
class Place:
    """What is set: the database as `Preferences.shop_database` has it, and the user's name."""

    database: str
    user_name: str


class PlaceDialog(TriedDialog):
    """This computer, a folder of it, or a server, tried before it is taken."""

    def __init__(
        self,
        place: Place,
        file: str,
        account: str,
        take: Callable[[Place], str],
        parent: QWidget | None = None,
    ) -> None:
        """Show `place`.

        Args:
            place: as it is set.
            file: where the jobs are without a server.
            account: the name that stands with changes where none is given.
            take: tries a place and goes there; returns why that failed, or "".
            parent: the window.
        """
        super().__init__(parent)
        self._take = take
        self.setWindowTitle(self.tr("Where the jobs are kept"))
        fields = Preferences.model_fields
        self.here = QRadioButton(self.tr("On &this computer"), self)
        self.server = QRadioButton(self.tr("On a &server of the shop, for several computers"), self)
        self.elsewhere = QRadioButton(self.tr("In another &folder of this computer"), self)
        folder = place.database if Path(place.database).is_absolute() else ""
        server = "" if folder else place.database
        chosen = self.elsewhere if folder else self.server if server else self.here
        chosen.setChecked(True)
        self.folder = QLineEdit(folder, self)
        self.folder.setMaxLength(500)
        self.folder.setAccessibleName(self.tr("Folder of the jobs"))
        self.folder_button = QPushButton(self.tr("C&hoose…"), self)
        self.folder_button.setAutoDefault(False)
        self.folder_button.clicked.connect(self._choose_folder)
        self.database = QLineEdit(server, self)
        self.database.setMaxLength(500)
        self.database.setPlaceholderText(self.tr("server/database"))
        self.database.setAccessibleName(fields["shop_database"].title or "")
        self.user_name = QLineEdit(place.user_name, self)
        self.user_name.setMaxLength(120)
        self.user_name.setPlaceholderText(account)
        column = QVBoxLayout(self)
        column.setSpacing(6)
        column.addWidget(self.here)
        column.addLayout(inset(Text(file, faint=True, parent=self)))
        column.addWidget(self.elsewhere)
        row = QHBoxLayout()
        row.addWidget(self.folder, 1)
        row.addWidget(self.folder_button)
        column.addLayout(inset(row))
        column.addWidget(self.server)
        column.addLayout(inset(self.database))
        help = Text(
            self.tr(
                "A PostgreSQL server. Where it asks for them, user:password@ stands in front; the "
                "password then stands in the preferences file of this computer. Jobs are not "
                "moved: make a backup first and restore it there."
            ),
            faint=True,
            parent=self,
        )
        column.addLayout(inset(help))
        form = QFormLayout()
        form.addRow(self.tr("Your &name"), self.user_name)
        column.addSpacing(8)
        column.addLayout(form)
        column.addWidget(Text(fields["user_name"].description or "", faint=True, parent=self))
        column.addWidget(self.said)
        column.addStretch(1)
        column.addWidget(self._buttons())
        for choice in (self.here, self.elsewhere, self.server):
            choice.toggled.connect(self._show_choice)
        self._show_choice()
        self.setMinimumWidth(520)

    def place(self) -> Place:
        """What is entered."""
        database = ""
        if self.server.isChecked():
            database = self.database.text().strip()
        elif self.elsewhere.isChecked():
            database = self.folder.text().strip()
        return Place(database, self.user_name.text().strip())

    def _show_choice(self) -> None:
        self.database.setEnabled(self.server.isChecked())
        for part in (self.folder, self.folder_button):
            part.setEnabled(self.elsewhere.isChecked())

    def _choose_folder(self) -> None:
        chosen = QFileDialog.getExistingDirectory(self, self.tr("Choose a folder"))
        if chosen:
            self.folder.setText(chosen)

    def _try(self) -> None:
        if self.server.isChecked() and not self.database.text().strip():
            self._say(self.tr("Enter the server's address, such as workshop-pc/jobs."))
            self.database.setFocus()
            return
        if self.elsewhere.isChecked() and not Path(self.folder.text().strip()).is_absolute():
            self._say(self.tr("Choose the folder in which the jobs are to be kept."))
            self.folder.setFocus()
            return
        self._end(self._take(self.place()))
