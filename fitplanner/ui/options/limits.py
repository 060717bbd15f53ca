"""Owns what the limits ruled out, and what would have to give where nothing fits.

Refuses to judge limits: the search says what each of them cost.
"""

from PySide6.QtCore import QCoreApplication, Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from fitplanner.documents.machine import MachineProfile
from fitplanner.planning.search.options import Found
from fitplanner.ui.options.card import OptionCard
from fitplanner.ui.options.words import Writer
from fitplanner.ui.widgets.bars import BarRow, BarRows
from fitplanner.ui.widgets.card import Card
from fitplanner.ui.widgets.text import Text


class ExcludedCard(Card):
    """How many combinations fell to each limit."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent=parent)
        self.set_title(self.tr("What the limits ruled out"))
        self._intro = Text(faint=True)
        self._rows = BarRows(name=self.tr("What the limits ruled out"))
        self.body.addWidget(self._intro)
        self.body.addWidget(self._rows)

    def show_found(self, found: Found, writer: Writer) -> None:
        """Show the limits, those that cost most at the top."""
        excluded = sorted(found.excluded, key=lambda each: -each.count)
        self._intro.setText(
            self.tr(
                "{all} combinations can be built from what this machine accepts; {fit} stay within "
                "all limits. One combination may fall to several."
            ).format(all=writer.count(found.candidates), fit=writer.count(found.fitting))
        )
        most = max((each.count for each in excluded), default=1) or 1
        self._rows.show_rows(
            [
                BarRow(
                    _fell(each.count).format(count=writer.count(each.count), limit=each.title),
                    "",
                    0.0,
                    each.count / most,
                    "stock",
                )
                for each in excluded
            ]
        )
        self.setVisible(bool(excluded))

    def texts(self) -> list[str]:
        """The sentences, from the top."""
        return [words for words, _ in self._rows.texts()]


def _fell(count: int) -> str:
    one, many = "{count} combination fell to {limit}", "{count} combinations fell to {limit}"
    return QCoreApplication.translate("Options", one if count == 1 else many)


class RelaxationList(QWidget):
    """What would have to give, limit by limit, each with the option that it lets through."""

    use_wanted = Signal(object)
    compare_wanted = Signal(object)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._cards: list[OptionCard] = []
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(8)
        self._column.addWidget(
            Text(
                self.tr(
                    "Nothing stays within all limits. Nearest first, each of these would be "
                    "possible if one limit gave way; the limits are there for a reason, so decide "
                    "with the rider and look at the checks."
                ),
                parent=self,
            )
        )

    def show_found(self, found: Found, machine: MachineProfile, writer: Writer) -> None:
        """Show the least relaxation of each limit."""
        while len(self._cards) < len(found.relaxations):
            card = OptionCard(self)
            card.set_tone("caution")
            card.use_wanted.connect(self.use_wanted)
            card.compare_wanted.connect(self.compare_wanted)
            self._column.addWidget(card)
            self._cards.append(card)
        for card in self._cards[len(found.relaxations) :]:
            card.hide()
        for place, (card, relaxation) in enumerate(
            zip(self._cards, found.relaxations, strict=False)
        ):
            amount = writer.amount(relaxation)
            words = self.tr("If {limit} gave way by {amount}")
            if not amount:
                words = self.tr("If {limit} gave way")
            reason = words.format(limit=relaxation.title, amount=amount)
            if place == 0:
                reason = self.tr("Nearest: {what}").format(what=f"{reason[0].lower()}{reason[1:]}")
            card.show_option(relaxation.option, machine, writer, reason=reason)
            card.show()
        self.setVisible(bool(found.relaxations))

    def cards(self) -> list[OptionCard]:
        """The cards shown, from the top."""
        return [card for card in self._cards if not card.isHidden()]
