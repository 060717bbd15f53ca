"""Owns the page of checks: what does not hold first, in a mechanic's words.

Refuses to judge or to leave out: those that hold are one click away.
"""

from collections.abc import Sequence

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QCheckBox, QGridLayout, QHBoxLayout, QVBoxLayout, QWidget

from fitplanner.planning.plan import Check, Plan, Severity
from fitplanner.ui import texts
from fitplanner.ui.pages.page import Page
from fitplanner.ui.pages.wording import (
    limit_text,
    margin_text,
    meaning_of,
    title_of,
    value_text,
    word_of,
    worst_first,
)
from fitplanner.ui.widgets.card import Card
from fitplanner.ui.widgets.figures import Figures
from fitplanner.ui.widgets.mark import OK, Mark
from fitplanner.ui.widgets.text import RIGHT, Text

_SEVERITY_WIDTH = 96
_FIGURE_WIDTH = 118


class ChecksPage(Page):
    """One card for each check."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._summary = Text(bold=True, scale=1.1)
        self._holding = QCheckBox()
        self._holding.toggled.connect(self._filter)
        self._mark = Mark(side=20)
        top = QHBoxLayout()
        top.setSpacing(8)
        top.addWidget(self._mark)
        top.addWidget(self._summary, 1)
        top.addWidget(self._holding)
        self.column.addLayout(top)
        self._rows = QVBoxLayout()
        self._rows.setSpacing(8)
        self.column.addLayout(self._rows)
        self._cards: list[_CheckCard] = []

    def render_plan(self, plan: Plan) -> None:
        """Show the plan's checks, worst first."""
        checks = worst_first(plan.checks)
        failing = sum(not check.holds for check in checks)
        self._summary.setText(_summary(checks))
        self._holding.setText(self.tr("Show the {n} that &hold").format(n=len(checks) - failing))
        self._holding.setEnabled(failing < len(checks))
        self._mark.set_meaning(meaning_of(checks[0]) if failing else OK)
        while len(self._cards) > len(checks):
            card = self._cards.pop()
            self._rows.removeWidget(card)
            card.deleteLater()
        while len(self._cards) < len(checks):
            card = _CheckCard()
            self._rows.addWidget(card)
            self._cards.append(card)
        figures = self.figures()
        for card, check in zip(self._cards, checks, strict=True):
            card.show_check(check, figures)
        self._filter(self._holding.isChecked())

    def shown_checks(self) -> list[Check]:
        """The checks that stand on the page, from its top."""
        return [card.check for card in self._cards if card.check and not card.isHidden()]

    def holding_box(self) -> QCheckBox:
        """The switch that shows or hides those that hold."""
        return self._holding

    def _filter(self, show_holding: bool) -> None:
        for card in self._cards:
            card.setVisible(show_holding or bool(card.check and not card.check.holds))


class _CheckCard(Card):
    """Mark and word, title and reason, value, limit and margin, and where the limit is from."""

    def __init__(self) -> None:
        super().__init__()
        self.check: Check | None = None
        self._mark = Mark()
        self._word = Text(bold=True, wrap=False)
        self._heading = Text(bold=True, scale=1.05)
        self._reason = Text()
        self._source = Text(faint=True)
        self._value = Text(bold=True, wrap=False, align=RIGHT)
        self._limit = Text(wrap=False, align=RIGHT)
        self._margin = Text(wrap=False, align=RIGHT)
        severity = QHBoxLayout()
        severity.setSpacing(6)
        severity.addWidget(self._mark, 0, Qt.AlignmentFlag.AlignTop)
        severity.addWidget(self._word, 1)
        words, amounts = QVBoxLayout(), QVBoxLayout()
        for column, parts in (
            (words, (self._heading, self._reason, self._source)),
            (amounts, (self._value, self._limit, self._margin)),
        ):
            column.setSpacing(4)
            for part in parts:
                column.addWidget(part)
            column.addStretch(1)
        grid = QGridLayout()
        grid.setHorizontalSpacing(16)
        grid.addLayout(severity, 0, 0)
        grid.addLayout(words, 0, 1)
        grid.addLayout(amounts, 0, 2)
        grid.setColumnMinimumWidth(0, _SEVERITY_WIDTH)
        grid.setColumnMinimumWidth(2, _FIGURE_WIDTH)
        grid.setColumnStretch(1, 1)
        self.body.addLayout(grid)

    def show_check(self, check: Check, figures: Figures) -> None:
        self.check = check
        self._mark.set_meaning(meaning_of(check))
        self._word.setText(word_of(check))
        self._word.set_hint("" if check.holds else texts.hint(check.severity))
        self._heading.setText(title_of(check))
        self._reason.setText(figures.sentence(check.reason))
        self._reason.set_look(faint=check.holds)
        self._value.setText(value_text(check, figures))
        self._limit.setText(limit_text(check, figures))
        self._margin.setText(margin_text(check, figures))
        self._margin.set_look(bold=not check.holds, faint=check.holds)
        self._source.setText(_source(check, figures))
        self._source.set_hint(texts.hint(check.basis))
        self.set_tone("" if check.holds or check.severity is Severity.NOTE else meaning_of(check))


def _source(check: Check, figures: Figures) -> str:
    """Where the limit comes from, without saying it twice."""
    basis, source = texts.label(check.basis), figures.sentence(check.source)
    if not source or source.casefold().startswith(basis.casefold()):
        return f"{basis}{source[len(basis) :]}"
    return f"{basis}: {source}"


def _summary(checks: Sequence[Check]) -> str:
    """How many do not hold, by severity."""
    failing = [check for check in checks if not check.holds]
    if not failing:
        return f"All {len(checks)} checks hold"
    parts = [
        f"{count} {texts.label(severity).lower()}{'s' if count > 1 else ''}"
        for severity in Severity
        if (count := sum(check.severity is severity for check in failing))
    ]
    return f"{len(failing)} of {len(checks)} do not hold: {', '.join(parts)}"
