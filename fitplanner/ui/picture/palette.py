"""Colours of the picture: one table per theme, from a shape's role to its colour.

Owns the colours. Before and after are never told apart by colour, but by dashes against solid
fills; the accents (petrol, amber) stay apart for the common colour-vision deficiencies.
"""

from dataclasses import dataclass
from functools import cache

from PySide6.QtGui import QColor

from fitplanner.outline import Role


@dataclass(frozen=True, eq=False)
class Palette:
    """Colours of one theme; `fill` by role."""

    paper: QColor
    ground: QColor
    ground_line: QColor
    ink: QColor
    quiet: QColor
    ghost: QColor
    halo: QColor
    change: QColor
    edge: QColor
    fill: dict[Role, QColor]


_LIGHT: dict[Role, str] = {
    "shadow": "#ccd1d5",
    "tyre": "#2b2f34", "tread": "#4a5057", "rubber": "#1d2024", "rim": "#596470",
    "spoke": "#8b97a3",
    "hub": "#4a545e", "disc": "#aab3bc", "metal": "#a9b3bd", "dark_metal": "#454e57",
    "chrome": "#ccd4db", "frame": "#6a7580", "engine": "#7b868f", "case": "#5f6a74",
    "fin": "#4b555e", "exhaust": "#98a1a9", "spring": "#e0a020", "chain": "#3b4249",
    "seat": "#33383e", "tank": "#15596a", "plastic": "#1c7288", "panel": "#eef2f4",
    "trim": "#363c43", "lamp": "#c4502e", "glass": "#cfe6ee", "plate": "#d8dde1",
    "guard": "#8d97a0", "foam": "#d9b878",
    "helmet": "#e3e8eb", "goggle": "#3a4f5a", "peak": "#c98a1b",
    "jacket": "#c98a1b", "jacket_trim": "#3d4650", "trousers": "#4a5663",
    "trousers_trim": "#c98a1b", "boot": "#e3e7ea", "boot_trim": "#4a5663", "sole": "#24282c",
    "glove": "#2f363d", "shade": "#38000000", "shine": "#3cffffff",
}  # fmt: skip

_DARK: dict[Role, str] = {
    **_LIGHT,
    "shadow": "#14171a",
    "tyre": "#4b525a", "tread": "#6b747d", "rubber": "#3a4047", "rim": "#8793a0",
    "spoke": "#a3aeb9",
    "hub": "#6a7580", "disc": "#b9c2ca", "dark_metal": "#59636d", "frame": "#8c97a2",
    "engine": "#8a959e", "case": "#6c7882", "fin": "#566069", "chain": "#7c8690",
    "seat": "#525a63", "tank": "#1f7185", "plastic": "#2a8ca4", "panel": "#dfe5e9",
    "trim": "#4c545d", "trousers": "#5f6d7c", "jacket_trim": "#4b5661", "boot_trim": "#6c7a88",
    "sole": "#3b4249", "glove": "#4a535c", "shade": "#4a000000", "shine": "#30ffffff",
}  # fmt: skip


def _colour(code: str) -> QColor:
    return QColor.fromString(code)


@cache
def palette(dark: bool) -> Palette:
    """The colours of the light or the dark theme."""
    table = _DARK if dark else _LIGHT
    return Palette(
        paper=_colour("#1d2125" if dark else "#f8f9f9"),
        ground=_colour("#2b3036" if dark else "#e6e9eb"),
        ground_line=_colour("#89949e" if dark else "#59636c"),
        ink=_colour("#f1f4f6" if dark else "#1b2126"),
        quiet=_colour("#aeb8c1" if dark else "#55606a"),
        ghost=_colour("#d5dce2" if dark else "#39424a"),
        halo=_colour("#e01d2125" if dark else "#e6f8f9f9"),
        change=_colour("#ffb454" if dark else "#a34a00"),
        edge=_colour("#66000000" if dark else "#55000000"),
        fill={role: _colour(code) for role, code in table.items()},
    )
