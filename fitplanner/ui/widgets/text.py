"""Owns the label of the pages: plain words only, with digits of one width.

Refuses rich text, because names and notes of documents are shown with it, and colours of its
own: it stands in one of the palette's roles, so that it follows the appearance by itself.
"""

import html

from PySide6.QtCore import Qt
from PySide6.QtGui import QPalette
from PySide6.QtWidgets import QApplication, QLabel, QSizePolicy, QWidget

from fitplanner.ui.theme import figure_font

LEFT = Qt.AlignmentFlag.AlignLeft
RIGHT = Qt.AlignmentFlag.AlignRight
_TOP = Qt.AlignmentFlag.AlignTop
# Longer text is cut where it is quoted.
QUOTED_CHARACTERS = 16


def tip(text: str) -> str:
    """A tooltip that breaks long lines and shows marks in its text as they are."""
    return f"<qt>{html.escape(text)}</qt>" if text else ""


def quoted(text: str) -> str:
    """Typed text in quotation marks and not too long."""
    text = text.strip()
    if len(text) > QUOTED_CHARACTERS:
        text = f"{text[: QUOTED_CHARACTERS - 1]}…"
    return f"“{text}”"


class Text(QLabel):
    """Words or figures; `scale` is against the program's own font size."""

    def __init__(
        self,
        text: str = "",
        *,
        scale: float = 1.0,
        bold: bool = False,
        faint: bool = False,
        wrap: bool = True,
        align: Qt.AlignmentFlag = LEFT,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self.setTextFormat(Qt.TextFormat.PlainText)
        self.setWordWrap(wrap)
        self.setAlignment(align | _TOP)
        policy = self.sizePolicy()
        policy.setHorizontalPolicy(
            QSizePolicy.Policy.Preferred if wrap else QSizePolicy.Policy.Minimum
        )
        self.setSizePolicy(policy)
        self._scale = scale
        self.set_look(bold=bold, faint=faint)
        self.setText(text)

    def set_look(self, *, bold: bool = False, faint: bool = False, link: bool = False) -> None:
        """Weight and strength of the words, or that a click on them leads somewhere."""
        roles = QPalette.ColorRole
        role = roles.Link if link else roles.PlaceholderText if faint else roles.WindowText
        if self.foregroundRole() != role:
            self.setForegroundRole(role)
        font = figure_font(self.font(), bold=bold)
        font.setPointSizeF(QApplication.font().pointSizeF() * self._scale)
        if font != self.font():
            self.setFont(font)

    def set_hint(self, text: str) -> None:
        """A tooltip, see `tip`."""
        self.setToolTip(tip(text))
