"""Owns how the program looks: its colours, light and dark, its font and their use in Qt.

Every colour stands here under the role that it plays. What paints itself asks `colours_of` for
its own palette each time it paints, so that a change of appearance needs no wiring. Refuses
sizes and spacing, which belong to the pages.
"""

from dataclasses import dataclass
from functools import cache

from PySide6.QtCore import QObject, Qt
from PySide6.QtGui import QColor, QFont, QFontDatabase, QPalette
from PySide6.QtWidgets import QApplication, QStyleFactory

from fitplanner.documents.preferences import Theme as ThemeMode
from fitplanner.paths import resources

__all__ = [
    "DARK",
    "FONT_FAMILY",
    "LIGHT",
    "Colours",
    "ThemeMode",
    "apply_theme",
    "bundled_fonts",
    "colours_of",
    "figure_font",
]

FONT_FAMILY = "Inter"
FONT_POINTS = 10.0


@dataclass(frozen=True)
class Colours:
    """One appearance. Text roles are readable on `window`, `panel`, `field` and every tint.

    `accent` marks what is planned, `stock` what was before. `ok`, `note`, `caution` and `stop`
    never stand without a word and a shape.
    """

    window: str
    panel: str
    field: str
    text: str
    faint: str
    line: str
    accent: str
    on_accent: str
    stock: str
    ok: str
    note: str
    caution: str
    stop: str
    accent_tint: str
    caution_tint: str
    stop_tint: str

    def colour(self, role: str) -> QColor:
        """The colour of a role, for example "caution"."""
        return QColor(getattr(self, role))


LIGHT = Colours(
    window="#eeede8",
    panel="#f9f8f5",
    field="#ffffff",
    text="#1f2428",
    faint="#545b62",
    line="#cfcdc5",
    accent="#1d5c8c",
    on_accent="#ffffff",
    stock="#6b6f73",
    ok="#00605a",
    note="#3f5470",
    caution="#7f5600",
    stop="#9c1525",
    accent_tint="#dfe9f0",
    caution_tint="#f6ecd2",
    stop_tint="#f9e3df",
)

DARK = Colours(
    window="#1c1f22",
    panel="#25292d",
    field="#383e44",
    text="#e8e6e1",
    faint="#aab0b6",
    line="#42474d",
    accent="#7fbbe6",
    on_accent="#0d1d29",
    stock="#9a9fa4",
    ok="#62cfc0",
    note="#a9bedb",
    caution="#edc050",
    stop="#ff8a7d",
    accent_tint="#24364a",
    caution_tint="#3a3220",
    stop_tint="#43292a",
)


def colours_of(palette: QPalette) -> Colours:
    """The appearance that `palette` belongs to, judged by how bright its window is."""
    dark = palette.color(QPalette.ColorRole.Window).lightnessF() < 0.5
    return DARK if dark else LIGHT


def apply_theme(app: QApplication, mode: ThemeMode) -> Colours:
    """Give `app` style, font and colours; returns the appearance that shows now.

    With `ThemeMode.SYSTEM` the appearance goes on following the desktop. May be called again.
    """
    follower = app.findChild(_Follower)
    if follower is None:
        follower = _Follower(app)
        app.setStyle(QStyleFactory.create("Fusion"))
        families = bundled_fonts()
        font = QFont(families[0]) if families else app.font()
        font.setPointSizeF(max(FONT_POINTS, app.font().pointSizeF()))
        app.setFont(font)
    return follower.follow(mode)


@cache
def bundled_fonts() -> tuple[str, ...]:
    """Load the fonts shipped with the program, once; their families, or none where absent."""
    families: dict[str, None] = {}
    for file in sorted((resources() / "fonts").glob("*.[ot]tf")):
        number = QFontDatabase.addApplicationFont(str(file))
        families |= dict.fromkeys(QFontDatabase.applicationFontFamilies(number))
    return tuple(families)


def figure_font(base: QFont, *, scale: float = 1.0, bold: bool = False) -> QFont:
    """`base`, enlarged, with digits of one width so that columns of figures line up."""
    font = QFont(base)
    font.setPointSizeF(base.pointSizeF() * scale)
    font.setBold(bold)
    font.setFeature(QFont.Tag("tnum"), 1)
    return font


class _Follower(QObject):
    """Holds the mode that was asked for and follows the desktop where it is the system's."""

    def __init__(self, app: QApplication) -> None:
        super().__init__(app)
        self._app = app
        self._mode = ThemeMode.SYSTEM
        app.styleHints().colorSchemeChanged.connect(self._scheme_changed)

    def follow(self, mode: ThemeMode) -> Colours:
        self._mode = mode
        hints = self._app.styleHints()
        # Asked of the desktop too, so that title bars and its own dialogs match.
        hints.setColorScheme(_SCHEMES[mode])
        if mode is ThemeMode.SYSTEM:
            return self._show(dark=hints.colorScheme() is Qt.ColorScheme.Dark)
        return self._show(dark=mode is ThemeMode.DARK)

    def _scheme_changed(self, scheme: Qt.ColorScheme) -> None:
        if self._mode is ThemeMode.SYSTEM:
            self._show(dark=scheme is Qt.ColorScheme.Dark)

    def _show(self, *, dark: bool) -> Colours:
        colours = DARK if dark else LIGHT
        palette = _palette(colours)
        if palette != self._app.palette():
            self._app.setPalette(palette)
            # Qt passes another palette over what has a style sheet: that is polished anew.
            for widget in self._app.allWidgets():
                if sheet := widget.styleSheet():
                    widget.setStyleSheet("")
                    widget.setStyleSheet(sheet)
        return colours


_SCHEMES = {
    ThemeMode.LIGHT: Qt.ColorScheme.Light,
    ThemeMode.DARK: Qt.ColorScheme.Dark,
    ThemeMode.SYSTEM: Qt.ColorScheme.Unknown,
}


def _palette(colours: Colours) -> QPalette:
    """The colours in Qt's own roles; faint text is its placeholder, the accent its link."""
    role = QPalette.ColorRole
    palette = QPalette(QColor(colours.panel), QColor(colours.window))
    for each, name in {
        role.Window: "window",
        role.WindowText: "text",
        role.Base: "field",
        role.AlternateBase: "panel",
        role.Text: "text",
        role.Button: "panel",
        role.ButtonText: "text",
        role.BrightText: "stop",
        role.PlaceholderText: "faint",
        role.ToolTipBase: "panel",
        role.ToolTipText: "text",
        role.Highlight: "accent",
        role.HighlightedText: "on_accent",
        role.Accent: "accent",
        role.Link: "accent",
        role.LinkVisited: "accent",
    }.items():
        palette.setColor(each, colours.colour(name))
    for each in (role.WindowText, role.Text, role.ButtonText, role.HighlightedText):
        palette.setColor(QPalette.ColorGroup.Disabled, each, colours.colour("stock"))
    palette.setColor(QPalette.ColorGroup.Disabled, role.Highlight, colours.colour("line"))
    return palette
