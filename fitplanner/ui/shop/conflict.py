"""Owns the question what stays of two versions of a job that were made at the same time."""

from enum import Enum, auto

from PySide6.QtCore import QCoreApplication, QSize, Qt
from PySide6.QtWidgets import QDialog, QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from fitplanner.documents.job import Job
from fitplanner.store.shop.merging import merged
from fitplanner.store.shop.records import Kept
from fitplanner.ui.shop.tables import LineTable
from fitplanner.ui.shop.words import lines, moment_words, who_words
from fitplanner.ui.widgets.figures import Figures
from fitplanner.ui.widgets.text import Text, tip

_SIZE = QSize(880, 460)


class Choice(Enum):
    """What becomes of both versions."""

    BOTH = auto()
    THEIRS = auto()
    MINE = auto()
    AS_NEW = auto()
    CANCEL = auto()


class ConflictDialog(QDialog):
    """Both versions side by side, against the one that both began with."""

    def __init__(
        self, base: Kept, mine: Job, theirs: Kept, figures: Figures, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self.choice = Choice.CANCEL
        self.setWindowTitle(self.tr("Two have changed this job"))
        who, when = who_words(theirs.who), moment_words(theirs.changed, self.locale())
        said = self.tr(
            "{who} saved this job on {when}, after you opened it. Yours is not saved yet."
        ).format(who=who, when=when)
        self.head = Text(said, bold=True, parent=self)
        self.more = Text(faint=True, parent=self)
        self.more.setText(_remarks(base, theirs))
        self.more.setVisible(bool(self.more.text()))
        heads = [
            self.tr("Entry"),
            self.tr("When you opened it"),
            self.tr("Yours"),
            self.tr("Saved by {who}").format(who=who),
        ]
        self.table = LineTable(self.tr("Where the versions differ"), heads, self)
        self.table.show_lines(lines(figures, base.job, mine, theirs.job))
        self._both = merged(base.job, mine, theirs.job) is not None
        column = QVBoxLayout(self)
        column.setSpacing(10)
        column.addWidget(self.head)
        column.addWidget(self.more)
        column.addWidget(self.table, 1)
        column.addLayout(self._buttons())
        self.resize(_SIZE)

    def _buttons(self) -> QHBoxLayout:
        offers = (
            (
                Choice.BOTH,
                self.tr("Take &both"),
                self.tr("What each of you changed stands together in the newest version"),
            ),
            (
                Choice.THEIRS,
                self.tr("&Take theirs"),
                self.tr("Their version is shown; undo brings yours back"),
            ),
            (
                Choice.MINE,
                self.tr("Save &mine over it"),
                self.tr("Yours becomes the newest version; theirs stays in the history"),
            ),
            (
                Choice.AS_NEW,
                self.tr("Save mine as a &new job"),
                self.tr("Theirs stays as it is; yours is kept beside it"),
            ),
            (Choice.CANCEL, self.tr("&Cancel"), self.tr("Nothing is saved; you can go on working")),
        )
        row = QHBoxLayout()
        row.addStretch(1)
        self.buttons: dict[Choice, QPushButton] = {}
        for choice, words, hint in offers:
            button = QPushButton(words, self)
            button.setToolTip(tip(hint))
            # None of them is chosen by a key pressed for something else.
            button.setAutoDefault(False)
            button.clicked.connect(self._clicked)
            row.addWidget(button)
            self.buttons[choice] = button
        # Only where no entry was changed by both.
        self.buttons[Choice.BOTH].setVisible(self._both)
        self.buttons[Choice.CANCEL].setFocus(Qt.FocusReason.OtherFocusReason)
        return row

    def _clicked(self) -> None:
        self.choice = next(one for one, button in self.buttons.items() if button is self.sender())
        self.accept()


def _remarks(base: Kept, theirs: Kept) -> str:
    if base.rider_id is not None and theirs.rider_id is None:
        return QCoreApplication.translate(
            "ConflictDialog",
            "The rider was erased meanwhile: to save yours brings name and telephone back.",
        )
    return ""
