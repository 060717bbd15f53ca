"""Owns the question what becomes of two profiles of one machine: the one here, the one coming.

Both stand side by side, entry by entry, with what a common rider would notice. Refuses to save.
"""

import logging
from collections.abc import Callable, Container
from dataclasses import dataclass
from enum import Enum, auto

from PySide6.QtCore import QSize, Qt
from PySide6.QtWidgets import (
    QCheckBox,
    QDialog,
    QHBoxLayout,
    QLineEdit,
    QPushButton,
    QTreeWidgetItem,
    QVBoxLayout,
    QWidget,
)

from fitplanner.documents.errors import DocumentError
from fitplanner.documents.machine import MachineProfile
from fitplanner.library.compare_profiles import entries, take_over
from fitplanner.library.ids import free_id
from fitplanner.planning.common_figures import CommonFigures, common_figures
from fitplanner.ui.forms import plain_label
from fitplanner.ui.newest import Newest
from fitplanner.ui.profiles.began import began_with
from fitplanner.ui.profiles.pair import Pair
from fitplanner.ui.profiles.telling import effect_words, group_words, side_words
from fitplanner.ui.widgets.figures import Figures
from fitplanner.ui.widgets.mark import CAUTION
from fitplanner.ui.widgets.remark import Remark
from fitplanner.ui.widgets.text import Text, tip

log = logging.getLogger(__name__)

_SIZE = QSize(1000, 640)

Effects = tuple[CommonFigures | None, CommonFigures | None]


class Kept(Enum):
    """What stays of two profiles."""

    MINE = auto()
    THEIRS = auto()
    MERGED = auto()
    BOTH = auto()


@dataclass(frozen=True)
class Words:
    """What the dialog calls things where it stands: `second` is the one that gets a new name."""

    title: str
    head: str
    mine: str
    theirs: str
    keep_mine: str
    keep_mine_hint: str
    second: str
    saves_mine: bool
    """Whether keeping mine does something, so that there is a way to do nothing beside it."""


class ReplacingDialog(QDialog):
    """Two profiles of one machine; closed, nothing is chosen."""

    def __init__(
        self,
        mine: MachineProfile,
        theirs: MachineProfile,
        second: MachineProfile,
        words: Words,
        figures: Figures,
        taken: Container[str],
        parent: QWidget | None = None,
        effects: Callable[[MachineProfile], CommonFigures | None] = common_figures,
        base: MachineProfile | None = None,
    ) -> None:
        """Show `mine` beside `theirs`; `second` of them gets a new name where both are kept.

        `taken` are the ids that other machines have. `base` is the profile that both were made
        from, where there is one: then it stands beside them, and what `theirs` alone changed is
        ticked.
        """
        super().__init__(parent)
        self._mine, self._theirs, self._second, self._base = mine, theirs, second, base
        self._figures, self._taken = figures, taken
        self.kept: Kept | None = None
        self.profile = mine
        """What stays, where something was chosen; both: the second one under its new name."""
        self.setWindowTitle(words.title)
        self.setWindowFlag(Qt.WindowType.WindowMaximizeButtonHint)
        self.head = Text(words.head, bold=True, parent=self)
        self.revisions = Text(self._revisions(words), faint=True, parent=self)
        self.effect = Text(self.tr("Working out what a common rider would notice…"), parent=self)
        self.refusal = Remark(self)
        opened = self.tr("When you opened it") if base is not None else ""
        self.tree = Pair(words.mine, words.theirs, self, opened)
        self.differing = QCheckBox(self.tr("Only what &differs"), self)
        self.differing.setChecked(True)
        self.name = QLineEdit(self._proposed(), self)
        self.name.setMaxLength(120)
        self.name.setAccessibleName(words.second.replace("&", ""))
        self._lay_out(words)
        self._fill()
        self.tree.itemChanged.connect(self._show_ticks)
        self.differing.toggled.connect(self._show_rows)
        self.name.textChanged.connect(self._show_name)
        self._show_rows()
        self._show_ticks()
        self._show_name()
        self.resize(_SIZE)
        self._asker = Newest(lambda _: _both(effects, mine, theirs), "profiles", self)
        self._asker.answered.connect(self._show_effect)
        self._asker.ask("effects")

    def _lay_out(self, words: Words) -> None:
        self.buttons: dict[Kept, QPushButton] = {}
        offers = (
            (
                Kept.MERGED,
                self.tr("Take &over what is ticked"),
                self.tr("The other figures stay as they are on the left"),
            ),
            (
                Kept.THEIRS,
                self.tr("Take the &right one whole"),
                self.tr("The left one is replaced"),
            ),
            (Kept.MINE, words.keep_mine, words.keep_mine_hint),
        )
        row = QHBoxLayout()
        row.addWidget(self.differing)
        row.addStretch(1)
        for kept, said, hint in offers:
            row.addWidget(self._button(kept, said, hint))
        self.cancel = QPushButton(self.tr("&Cancel"), self)
        self.cancel.setAutoDefault(False)
        self.cancel.clicked.connect(self.reject)
        row.addWidget(self.cancel)
        both = QHBoxLayout()
        label = plain_label(words.second, self)
        label.setBuddy(self.name)
        both.addWidget(label)
        both.addWidget(self.name, 1)
        said = self.tr("Keep &both")
        both.addWidget(self._button(Kept.BOTH, said, self.tr("Two machines stand in the library")))
        column = QVBoxLayout(self)
        column.setSpacing(8)
        for widget in (self.head, self.revisions, self.effect):
            column.addWidget(widget)
        column.addWidget(self.tree, 1)
        column.addWidget(self.refusal)
        column.addLayout(both)
        column.addLayout(row)
        self.cancel.setVisible(words.saves_mine)
        harmless = self.cancel if words.saves_mine else self.buttons[Kept.MINE]
        harmless.setFocus(Qt.FocusReason.OtherFocusReason)

    def _button(self, kept: Kept, words: str, hint: str) -> QPushButton:
        button = QPushButton(words, self)
        button.setToolTip(tip(hint))
        # None of them is chosen by a key pressed for something else.
        button.setAutoDefault(False)
        button.clicked.connect(self._clicked)
        self.buttons[kept] = button
        return button

    def _revisions(self, words: Words) -> str:
        mine, theirs, base = self._mine, self._theirs, self._base
        if base is not None:
            said = self.tr(
                "{name} ({id}). You opened revision {a}; {theirs}: revision {b}. Bold is what is "
                "not as it was then; ticked is what only the right one changed."
            )
        else:
            said = self.tr("{name} ({id}). {mine}: revision {a}. {theirs}: revision {b}.")
        return said.format(
            name=mine.name,
            id=mine.id,
            mine=words.mine,
            a=(base or mine).revision,
            theirs=words.theirs if base is None else words.theirs[:1].lower() + words.theirs[1:],
            b=theirs.revision,
        )

    # Rows.

    def _fill(self) -> None:
        groups: dict[str, QTreeWidgetItem] = {}
        began = began_with(self._base, self._mine, self._theirs, self._figures)
        for entry in entries(self._mine, self._theirs):
            group = group_words(entry)
            if group not in groups:
                groups[group] = self.tree.add_group(group)
            sides = side_words(entry, self._figures)
            self.tree.add_entry(groups[group], entry, sides, began.get(entry.address))
        self.tree.expandAll()

    def _show_rows(self) -> None:
        self.tree.show_only_differing(self.differing.isChecked())

    def _show_ticks(self) -> None:
        self.buttons[Kept.MERGED].setEnabled(bool(self.tree.ticked()))
        self.refusal.show_text("")

    def _show_name(self) -> None:
        self.buttons[Kept.BOTH].setEnabled(bool(self.name.text().strip()))

    def _show_effect(self, _: object, found: Effects | None) -> None:
        words = "" if found is None else effect_words(*found, self._figures)
        self.effect.setText(words)
        self.effect.setVisible(bool(words))

    # Choosing.

    def _proposed(self) -> str:
        """A name for the second one: its own where that tells both apart already."""
        if self._mine.name != self._theirs.name:
            return self._second.name
        return self.tr("{name} (2)").format(name=self._second.name[:110])

    def _clicked(self) -> None:
        kept = next(one for one, button in self.buttons.items() if button is self.sender())
        try:
            self.profile = self._result(kept)
        except DocumentError as refused:
            self.refusal.show_text(str(refused), CAUTION)
            return
        self.kept = kept
        self.accept()

    def _result(self, kept: Kept) -> MachineProfile:
        """Raises `DocumentError` where what is ticked does not fit together."""
        if kept is Kept.THEIRS:
            return self._theirs
        if kept is Kept.MERGED:
            places = [entry.address for entry in self.tree.ticked()]
            return take_over(self._mine, self._theirs, places)
        if kept is Kept.BOTH:
            name = self.name.text().strip()
            return self._second.replace(name=name, id=free_id(name, self._taken), revision=1)
        return self._mine

    def done(self, result: int) -> None:
        """Whichever way it ends, nobody waits for what a rider would notice."""
        self._asker.close()
        super().done(result)


def _both(
    effects: Callable[[MachineProfile], CommonFigures | None],
    mine: MachineProfile,
    theirs: MachineProfile,
) -> Effects | None:
    """Off the window's thread; a fault of the program is logged and costs only this line."""
    try:
        return effects(mine), effects(theirs)
    except Exception:
        log.exception("two profiles could not be worked out for a common rider")
        return None
