"""Owns paper: its sizes, how a sheet lies, its margins and its font.

Refuses to know what stands on a page, and devices (`pages`).
"""

from enum import Enum

from PySide6.QtCore import QLocale, QMarginsF
from PySide6.QtGui import QFont, QPageLayout, QPageSize

from fitplanner.ui.theme import FONT_FAMILY, bundled_fonts

POINTS_PER_INCH = 72.0
_MARGIN_MM, _SIDE_MM = 9.0, 12.0


class Paper(Enum):
    """Sizes of paper in use at workshops; the value is the name."""

    A4 = "A4"
    LETTER = "Letter"


_SIZES = {Paper.A4: QPageSize.PageSizeId.A4, Paper.LETTER: QPageSize.PageSizeId.Letter}


def paper_of(locale: QLocale) -> Paper:
    """The paper usual where inches are."""
    system = QLocale.MeasurementSystem.ImperialUSSystem
    return Paper.LETTER if locale.measurementSystem() is system else Paper.A4


def paper_font(size: int, *, bold: bool = False) -> QFont:
    """The bundled font, in units of the page.

    Without its contextual and tabular forms: text made of these cannot be copied from a PDF.
    """
    families = bundled_fonts()
    font = QFont(families[0] if families else FONT_FAMILY)
    font.setPixelSize(size)
    font.setBold(bold)
    font.setFeature(QFont.Tag("calt"), 0)
    font.setHintingPreference(QFont.HintingPreference.PreferNoHinting)
    return font


def upright(paper: Paper) -> QPageLayout:
    """The sheet upright; wider at the sides, where it is punched."""
    return _layout(paper, QPageLayout.Orientation.Portrait, _SIDE_MM)


def on_its_side(paper: Paper) -> QPageLayout:
    """The sheet on its side."""
    return _layout(paper, QPageLayout.Orientation.Landscape, _MARGIN_MM)


def _layout(paper: Paper, lies: QPageLayout.Orientation, side_mm: float) -> QPageLayout:
    margins = QMarginsF(side_mm, _MARGIN_MM, side_mm, _MARGIN_MM)
    return QPageLayout(QPageSize(_SIZES[paper]), lies, margins, QPageLayout.Unit.Millimeter)
