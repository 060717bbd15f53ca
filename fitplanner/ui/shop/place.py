"""Owns the dialog with the one setting where the jobs are kept, and whose name stands with them."""

from collections.abc import Callable
from dataclasses import dataclass

from PySide6.QtWidgets import (
    QDialog,
    QDialogButtonBox,
    QFormLayout,
    QLineEdit,
    QPushButton,
    QRadioButton,
    QVBoxLayout,
    QWidget,
)

from fitplanner.documents.preferences import Preferences
from fitplanner.ui.forms import note_label, set_note
from fitplanner.ui.widgets.text import Text


@dataclass(frozen=True)
class Place:
    """What is set: the database as `Preferences.shop_database` has it, and the user's name."""

    database: str
    user_name: str


class PlaceDialog(QDialog):
    """This computer or a server, tried before it is taken."""

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
        (self.server if place.database else self.here).setChecked(True)
        self.database = QLineEdit(place.database, self)
        self.database.setMaxLength(500)
        self.database.setPlaceholderText(self.tr("server/database"))
        self.database.setAccessibleName(fields["shop_database"].title or "")
        self.user_name = QLineEdit(place.user_name, self)
        self.user_name.setMaxLength(120)
        self.user_name.setPlaceholderText(account)
        self.said = note_label(self)
        column = QVBoxLayout(self)
        column.setSpacing(6)
        column.addWidget(self.here)
        column.addWidget(_inset(Text(file, faint=True, parent=self)))
        column.addWidget(self.server)
        column.addWidget(_inset(self.database))
        help = Text(
            self.tr(
                "A PostgreSQL server. Where it asks for them, user:password@ stands in front; the "
                "password then stands in the preferences file of this computer. Jobs are not "
                "moved: make a backup first and restore it there."
            ),
            faint=True,
            parent=self,
        )
        column.addWidget(_inset(help))
        form = QFormLayout()
        form.addRow(self.tr("Your &name"), self.user_name)
        column.addSpacing(8)
        column.addLayout(form)
        column.addWidget(Text(fields["user_name"].description or "", faint=True, parent=self))
        column.addWidget(self.said)
        column.addStretch(1)
        column.addWidget(self._buttons())
        self.here.toggled.connect(self._show_choice)
        self._show_choice()
        self.setMinimumWidth(520)

    def _buttons(self) -> QDialogButtonBox:
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

    def place(self) -> Place:
        """What is entered."""
        database = self.database.text().strip() if self.server.isChecked() else ""
        return Place(database, self.user_name.text().strip())

    def _show_choice(self) -> None:
        self.database.setEnabled(self.server.isChecked())

    def _try(self) -> None:
        if self.server.isChecked() and not self.database.text().strip():
            self._say(self.tr("Enter the server's address, such as workshop-pc/jobs."))
            self.database.setFocus()
            return
        failure = self._take(self.place())
        if failure:
            self._say(failure)
        else:
            self.accept()

    def _say(self, text: str) -> None:
        set_note(self.said, text)
        palette = self.said.palette()
        self.said.setForegroundRole(palette.ColorRole.WindowText)
        self.adjustSize()


def _inset(widget: QWidget) -> QWidget:
    """A widget that belongs to the choice above it."""
    holder = QWidget(widget.parentWidget())
    column = QVBoxLayout(holder)
    column.setContentsMargins(24, 0, 0, 6)
    column.addWidget(widget)
    return holder
