"""Colours that everybody can read and tell apart, and words for every key."""

from dataclasses import fields
from enum import StrEnum
from itertools import combinations

import numpy as np
import pytest
from numpy.typing import NDArray
from PySide6.QtCore import Qt
from PySide6.QtGui import QColor, QFont, QFontInfo, QFontMetricsF, QPalette
from PySide6.QtWidgets import QApplication, QLabel, QVBoxLayout, QWidget
from pytestqt.qtbot import QtBot

from fitplanner.body.inside_leg import Population
from fitplanner.body.reach import Footing
from fitplanner.documents.base import Source
from fitplanner.documents.machine import CatalogueState, EngineShape, MachineKind
from fitplanner.documents.rider import Boot, Experience, RidingStyle
from fitplanner.planning.plan import STATE_NAMES, Basis, Severity, WayId
from fitplanner.quantities import Kind, UnitSystem
from fitplanner.ui import texts
from fitplanner.ui.linkage.plots import TravelPlot
from fitplanner.ui.linkage.reading_plots import ReadingPlots
from fitplanner.ui.pages.plots import PlotCard
from fitplanner.ui.people.table import PeopleTable
from fitplanner.ui.theme import (
    DARK,
    FONT_FAMILY,
    LIGHT,
    Colours,
    ThemeMode,
    apply_theme,
    bundled_fonts,
    colours_of,
    figure_font,
)
from fitplanner.ui.widgets.plot import Canvas

Floats = NDArray[np.float64]
TEXT_ROLES = ("text", "faint", "accent", "ok", "note", "caution", "stop")
SURFACES = ("window", "panel", "field", "accent_tint", "caution_tint", "stop_tint")
SIGNALS = ("ok", "caution", "stop")
BOTH = pytest.mark.parametrize("colours", [LIGHT, DARK], ids=["light", "dark"])

# Machado, Oliveira, Fernandes 2009, full severity, on linear RGB (from memory). Each row adds up
# to one, because white stays white; the test below holds them to that.
RED_BLIND = np.array(
    [
        [0.152286, 1.052583, -0.204868],
        [0.114503, 0.786281, 0.099216],
        [-0.003882, -0.048116, 1.051998],
    ]
)
GREEN_BLIND = np.array(
    [
        [0.367322, 0.860646, -0.227968],
        [0.280085, 0.672501, 0.047413],
        [-0.011820, 0.042940, 0.968881],
    ]
)


def linear(colour: str) -> Floats:
    """sRGB to linear light, WCAG 2.1, definition of relative luminance."""
    shown = np.array([QColor(colour).redF(), QColor(colour).greenF(), QColor(colour).blueF()])
    return np.where(shown <= 0.03928, shown / 12.92, ((shown + 0.055) / 1.055) ** 2.4)


def contrast(one: str, other: str) -> float:
    """Contrast ratio of WCAG 2.1: (L1 + 0.05) / (L2 + 0.05), the lighter first."""
    weights = np.array([0.2126, 0.7152, 0.0722])
    low, high = sorted(float(weights @ linear(each)) for each in (one, other))
    return (high + 0.05) / (low + 0.05)


def lab(light: Floats) -> Floats:
    """CIE L*a*b* of linear sRGB under D65 (IEC 61966-2-1 matrix)."""
    matrix = np.array(
        [[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]]
    )
    ratio = matrix @ np.clip(light, 0, 1) / np.array([0.9505, 1.0, 1.089])
    f = np.where(ratio > (6 / 29) ** 3, np.cbrt(ratio), ratio / (3 * (6 / 29) ** 2) + 4 / 29)
    return np.array([116 * f[1] - 16, 500 * (f[0] - f[1]), 200 * (f[1] - f[2])])


def spread_of_digits(font: QFont) -> float:
    """Widest less narrowest digit, in pixels."""
    widths = [QFontMetricsF(font).horizontalAdvance(digit) for digit in "0123456789"]
    return max(widths) - min(widths)


def test_the_contrast_formula_gives_the_standard_s_own_extremes() -> None:
    assert contrast("#000000", "#ffffff") == pytest.approx(21.0)  # WCAG 2.1: from 1 to 21
    assert contrast("#777777", "#777777") == 1.0
    # Widely cited: #767676 is the lightest grey that passes on white (common practice).
    assert contrast("#767676", "#ffffff") >= 4.5 > contrast("#777777", "#ffffff")


@BOTH
@pytest.mark.parametrize("surface", SURFACES)
@pytest.mark.parametrize("role", TEXT_ROLES)
def test_text_is_readable_on_every_surface(colours: Colours, role: str, surface: str) -> None:
    # WCAG 2.1, success criterion 1.4.3: at least 4.5 : 1.
    assert contrast(getattr(colours, role), getattr(colours, surface)) >= 4.5


@BOTH
def test_drawn_marks_and_selected_text_stand_out(colours: Colours) -> None:
    assert contrast(colours.on_accent, colours.accent) >= 4.5
    # WCAG 2.1, success criterion 1.4.11: what must be seen to understand, 3 : 1.
    for surface in ("window", "panel", "field"):
        assert contrast(colours.stock, getattr(colours, surface)) >= 3.0


@BOTH
@pytest.mark.parametrize("blind", [RED_BLIND, GREEN_BLIND], ids=["red", "green"])
def test_signals_differ_for_the_colour_blind(colours: Colours, blind: Floats) -> None:
    np.testing.assert_allclose(blind.sum(axis=1), 1.0, atol=2e-6)
    seen = {role: lab(blind @ linear(getattr(colours, role))) for role in SIGNALS}
    for one, other in combinations(SIGNALS, 2):
        # A difference of about 2.3 is just noticeable (from memory); ask for several times that.
        assert float(np.linalg.norm(seen[one] - seen[other])) > 10.0, (one, other)


@BOTH
def test_every_colour_is_one(colours: Colours) -> None:
    for field in fields(colours):
        assert colours.colour(field.name).isValid(), field.name


def test_a_theme_reaches_widgets_that_exist_and_can_be_changed(
    qtbot: QtBot, qapp: QApplication
) -> None:
    label = QLabel("864 mm")
    qtbot.addWidget(label)
    label.show()
    for mode, colours in ((ThemeMode.DARK, DARK), (ThemeMode.LIGHT, LIGHT)):
        assert apply_theme(qapp, mode) is colours
        qapp.processEvents()
        assert colours_of(label.palette()) is colours
        palette = label.palette()
        assert palette.color(QPalette.ColorRole.WindowText) == QColor(colours.text)
        assert palette.color(QPalette.ColorRole.PlaceholderText) == QColor(colours.faint)


def test_only_the_system_mode_follows_the_desktop(qapp: QApplication) -> None:
    apply_theme(qapp, ThemeMode.LIGHT)
    qapp.styleHints().colorSchemeChanged.emit(Qt.ColorScheme.Dark)
    assert colours_of(qapp.palette()) is LIGHT
    apply_theme(qapp, ThemeMode.SYSTEM)
    qapp.styleHints().colorSchemeChanged.emit(Qt.ColorScheme.Dark)
    assert colours_of(qapp.palette()) is DARK
    qapp.styleHints().colorSchemeChanged.emit(Qt.ColorScheme.Light)
    assert colours_of(qapp.palette()) is LIGHT


def test_the_shipped_font_is_used_and_its_digits_line_up(qapp: QApplication) -> None:
    apply_theme(qapp, ThemeMode.LIGHT)
    assert FONT_FAMILY in bundled_fonts()
    assert QFontInfo(qapp.font()).family() == FONT_FAMILY
    assert qapp.font().pointSizeF() >= 10.0
    for bold in (False, True):
        font = figure_font(qapp.font(), bold=bold)
        # The font itself draws its bold 4 a thirtieth of a pixel narrower.
        assert spread_of_digits(font) < 0.05
        font.clearFeatures()
        assert spread_of_digits(font) > 1.0


@pytest.mark.parametrize(
    "enum",
    [
        Footing, RidingStyle, Experience, Boot, Population, Source, Severity, Basis, WayId,
        CatalogueState, MachineKind, EngineShape, UnitSystem, ThemeMode,
    ],
)  # fmt: skip
def test_every_key_has_a_word_of_its_own(qapp: QApplication, enum: type[StrEnum]) -> None:
    words = [texts.label(value) for value in enum]
    assert all(words)
    assert len(set(words)) == len(words)
    assert not any("_" in word for word in words)
    for value in enum:
        assert texts.hint(value) != texts.label(value)


def test_every_state_has_a_word_and_the_trade_s_other_word(qapp: QApplication) -> None:
    assert len({texts.state_label(name) for name in STATE_NAMES}) == len(STATE_NAMES)
    assert "free sag" in texts.state_hint("on_wheels")
    assert "race sag" in texts.state_hint("rider_up")


def _ground(widget: QWidget) -> str:
    """The colour in the lower left corner, where nothing is drawn."""
    return str(widget.grab().toImage().pixelColor(3, widget.height() - 4).name())


def test_plots_and_tables_follow_the_appearance_while_the_program_runs(qtbot: QtBot) -> None:
    app = QApplication.instance()
    assert isinstance(app, QApplication)
    before = colours_of(app.palette())
    window = QWidget()
    qtbot.addWidget(window)
    plots = (TravelPlot("Leverage", Kind.RATIO), PlotCard("Heights", from_zero=True))
    readings, table, column = ReadingPlots(), PeopleTable(), QVBoxLayout(window)
    readings.setCurrentIndex(1)
    for each in (*plots, readings, table):
        column.addWidget(each)
    window.resize(900, 1400)
    window.show()
    canvases = [each for each in window.findChildren(Canvas) if each.isVisible()]
    assert len(canvases) == 4
    try:
        for mode, colours in ((ThemeMode.DARK, DARK), (ThemeMode.LIGHT, LIGHT)) * 2:
            apply_theme(app, mode)
            app.processEvents()
            assert {_ground(each) for each in canvases} == {colours.panel}
            assert _ground(table.viewport()) == colours.field
            assert plots[0]._now.opts["pen"].color().name() == colours.accent
    finally:
        apply_theme(app, ThemeMode.DARK if before == DARK else ThemeMode.LIGHT)
