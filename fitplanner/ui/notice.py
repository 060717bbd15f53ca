"""Owns the strip that says what went wrong with the plan: an icon and words."""

from PySide6.QtCore import QCoreApplication, QSize, Qt
from PySide6.QtGui import QPalette
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QStyle, QWidget

from fitplanner.ui.forms import plain_label
from fitplanner.ui.tasks import Answer
from fitplanner.ui.theme import colours_of

_ICON = 20


class Notice(QFrame):
    """Words on a tint, with a sign."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAutoFillBackground(True)
        self._icon = QLabel(self)
        self._words = plain_label("", self, wrap=True)
        font = self._words.font()
        font.setPointSizeF(font.pointSizeF() + 1)
        self._words.setFont(font)
        row = QHBoxLayout(self)
        row.setContentsMargins(12, 10, 12, 10)
        row.setSpacing(10)
        row.addWidget(self._icon, 0, Qt.AlignmentFlag.AlignTop)
        row.addWidget(self._words, 1)

    def text(self) -> str:
        """The words as shown."""
        return self._words.text()

    def show_text(self, text: str) -> None:
        """Show `text`."""
        self._words.setText(text)
        sign = self.style().standardIcon(QStyle.StandardPixmap.SP_MessageBoxWarning)
        self._icon.setPixmap(sign.pixmap(QSize(_ICON, _ICON)))
        palette = QPalette(self.window().palette())
        tint = colours_of(palette).colour("stop_tint")
        palette.setColor(QPalette.ColorRole.Window, tint)
        self.setPalette(palette)


def reason_of(answer: Answer) -> str:
    """What went wrong, or ""."""
    if answer.problem:
        what = _tr("No machine can be built from the figures of the profile: {why}")
        return what.format(why=answer.problem)
    if answer.fault is not None:
        what = _tr(
            "The plan could not be worked out because of a fault in the program: {why}. It was "
            "written to the log; your entries are kept."
        )
        return what.format(why=f"{type(answer.fault).__name__}: {answer.fault}")
    return ""


def _tr(text: str) -> str:
    return QCoreApplication.translate("Notice", text)
