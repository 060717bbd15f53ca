"""Owns how the tape's page writes readings and bands.

Refuses figures of its own.
"""

from PySide6.QtCore import QCoreApplication

from fitplanner.documents.bench import Reading
from fitplanner.planning.measured.series import title_of
from fitplanner.planning.plan import Band
from fitplanner.quantities import Kind
from fitplanner.ui.widgets.figures import Figures

_FINE = {Kind.LENGTH: 1, Kind.PERCENT: 1, Kind.ANGLE: 1}


def reading_title(reading: Reading) -> str:
    """What was read, such as "Rear axle, rider up, lifted"."""
    return _tr(title_of(reading))


def fine(figures: Figures, value: float, kind: Kind, *, signed: bool = False) -> str:
    """A value with a digit more than usual, for what is compared."""
    return figures.text(value, kind, signed=signed, decimals=_FINE.get(kind))


def banded(figures: Figures, band: Band, kind: Kind = Kind.LENGTH) -> str:
    """A value with its band, such as "905.2 mm (901.0 to 909.4)"."""
    decimals = _FINE.get(kind)
    value = figures.text(band.value, kind, decimals=decimals)
    low, high = (figures.bare(end, kind, decimals=decimals) for end in (band.low, band.high))
    return _tr("{value} ({low} to {high})").format(value=value, low=low, high=high)


def _tr(text: str) -> str:
    return QCoreApplication.translate("tape", text)
