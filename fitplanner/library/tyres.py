"""Tyre sizes as they stand on the tyre's side, read as its width and free radius.

Owns the two ways that off-road tyres are marked: width, ratio and rim (90/90-21, 140/80 R 18), and
width and rim in inches (3.00-21), whose height is the width. Nominal figures: a new tyre on its
rim is a few millimetres off. Source: the designation of ISO 5751; that a size in inches is as
high as it is wide is common practice, no source.
"""

import re
from dataclasses import dataclass

from fitplanner.quantities.units import MM_PER_INCH

_RATIO = re.compile(
    r"(\d{2,3})\s*/\s*(\d{2,3})\s*-?\s*[RB]?\s*-?\s*(\d{2})(?:\s.*)?", re.IGNORECASE
)
_INCH = re.compile(r"(\d[.,]\d{1,2})\s*-\s*(\d{2})(?:\s.*)?")
_WIDTHS_MM, _RATIOS, _RIMS_IN = (40, 230), (40, 110), (8, 23)


@dataclass(frozen=True)
class TyreSize:
    """Nominal width and free radius."""

    width_mm: float
    radius_mm: float


def tyre_size(text: str) -> TyreSize | None:
    """The size that `text` names; None where it is none."""
    typed = text.strip()
    found = _RATIO.fullmatch(typed)
    if found:
        width, ratio, rim = (float(part) for part in found.groups())
        if not _within(ratio, _RATIOS):
            return None
        return _checked(width, width * ratio / 100, rim)
    found = _INCH.fullmatch(typed)
    if found:
        width = float(found[1].replace(",", ".")) * MM_PER_INCH
        return _checked(width, width, float(found[2]))
    return None


def _checked(width_mm: float, height_mm: float, rim_in: float) -> TyreSize | None:
    if not (_within(width_mm, _WIDTHS_MM) and _within(rim_in, _RIMS_IN)):
        return None
    return TyreSize(width_mm, rim_in * MM_PER_INCH / 2 + height_mm)


def _within(value: float, ends: tuple[int, int]) -> bool:
    return ends[0] <= value <= ends[1]
