"""Owns the canvas of plots whose points are picked: it neither pans nor zooms, and tells clicks.

Loads the plotting library, so it is imported when there is something to draw. Refuses to say what
a point is.
"""

import os
from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import QPointF, Qt, Signal
from PySide6.QtGui import QMouseEvent, QWheelEvent

os.environ.setdefault("PYQTGRAPH_QT_LIB", "PySide6")

import pyqtgraph as pg

from fitplanner.ui.pages.plots import Axis
from fitplanner.ui.theme import Colours

Array = NDArray[np.float64]


class PointCanvas(pg.PlotWidget):  # type: ignore[misc]
    """A plot that only tells where it was clicked; a wheel turn scrolls the page."""

    clicked = Signal(float, float)

    def __init__(self, axes: Mapping[str, Axis]) -> None:
        super().__init__(axisItems=dict(axes), enableMenu=False)
        self._axes = dict(axes)
        self.hideButtons()
        self.setMouseEnabled(x=False, y=False)
        self.setFrameShape(self.Shape.NoFrame)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setCursor(Qt.CursorShape.PointingHandCursor)

    def colour(self, colours: Colours) -> None:
        """Background and axes in the colours of the appearance."""
        self.setBackground(colours.colour("panel"))
        for axis in self._axes.values():
            axis.setPen(pg.mkPen(colours.colour("line")))
            axis.setTextPen(pg.mkPen(colours.colour("faint")))
            axis.set_label_colour(colours.faint)

    def pixels_from(self, x_px: float, y_px: float, x: Array, y: Array) -> Array:
        """How far points, in the units of the axes, are from a place on the canvas [px]."""
        box = self.getPlotItem().vb
        width, height = box.viewPixelSize()
        at = box.mapSceneToView(self.mapToScene(int(x_px), int(y_px)))
        far: Array = np.hypot((x - at.x()) / width, (y - at.y()) / height)
        return far

    def place_of(self, x: float, y: float) -> QPointF:
        """Where a point stands on the canvas."""
        at = self.getPlotItem().vb.mapViewToScene(pg.Point(float(x), float(y)))
        return QPointF(self.mapFromScene(at))

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Tell a click."""
        if event.button() == Qt.MouseButton.LeftButton:
            self.clicked.emit(event.position().x(), event.position().y())
        event.accept()

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Nothing to do."""
        event.accept()

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Nothing to do."""
        event.accept()

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Leave it to the page."""
        event.ignore()
