"""Owns the drawing of where the tape goes for the figure in use, with how it is measured in words.

Refuses what the tape shows.
"""

from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QVBoxLayout, QWidget

from fitplanner.documents.base import FigureSpec
from fitplanner.library.stages import caution, how
from fitplanner.outline.shape import Bounds
from fitplanner.outline.taping import Taping
from fitplanner.planning.sizing import Address, Size, size_of
from fitplanner.quantities import UnitSystem, fill
from fitplanner.ui.profiles.asking import Sketch
from fitplanner.ui.tape.view import Sight, TapeView
from fitplanner.ui.widgets.figures import decimal_mark
from fitplanner.ui.widgets.mark import CAUTION
from fitplanner.ui.widgets.remark import Remark
from fitplanner.ui.widgets.text import Text

_ROOM_MM = 60.0


class TapingView(QWidget):
    """Title, drawing and sentence of one figure."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._sketch: Sketch | None = None
        self._address: Address | None = None
        self._spec: FigureSpec | None = None
        self._system = UnitSystem.METRIC
        self.title = Text(bold=True, scale=1.1, parent=self)
        self.view = TapeView(self)
        self.how = Text(parent=self)
        self.caution = Remark(self)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(8)
        column.addWidget(self.title)
        column.addWidget(self.view)
        self.view.hide()
        column.addWidget(self.how)
        column.addWidget(self.caution)
        column.addStretch(1)
        self.how.setText(
            self.tr("Go into a field: here is shown where the tape goes. Enter leads to the next.")
        )

    def show_figure(self, address: Address, spec: FigureSpec) -> None:
        """Show how a figure is measured."""
        self._address, self._spec = address, spec
        self._show()

    def show_sketch(self, sketch: Sketch) -> None:
        """Draw on another picture of the machine."""
        self._sketch = sketch
        self._show()

    def set_system(self, system: UnitSystem) -> None:
        """Write lengths in another unit system."""
        self._system = system
        self._show()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """As large as there is room for."""
        super().resizeEvent(event)
        tall = min(int(0.62 * self.width()), self.height() // 2)
        self.view.setFixedHeight(max(tall, self.view.sizeHint().height()))

    def _show(self) -> None:
        if self._address is None or self._spec is None:
            return
        words = fill(
            f"{how(self._address)}.", self._system, decimal_mark=decimal_mark(self.locale())
        )
        help = f"{self._spec.help}." if self._spec.help else ""
        minding = caution(self._address)
        self.caution.show_text(minding, CAUTION)
        self.title.setText(self._spec.label)
        self.how.setText("\n".join(each for each in (words, help) if each))
        sight = self._sight(words)
        self.view.show_sight(sight)
        self.view.setVisible(sight is not None)

    def _sight(self, words: str) -> Sight | None:
        sketch, address = self._sketch, self._address
        if sketch is None or sketch.side is None or sketch.front is None or address is None:
            return None
        size = size_of(sketch.profile, address)
        if size is None:
            return None
        scene = sketch.side if size.view == "side" else sketch.front
        taping = Taping(
            shapes=scene.after, bounds=_around(scene.bounds, size), start=size.start, end=size.end
        )
        return Sight(taping, self.tr(size.start_words), self.tr(size.end_words), words=words)


def _around(bounds: Bounds, size: Size) -> Bounds:
    """The picture with both ends of the tape in it."""
    (x, z), (u, w) = size.start, size.end
    return Bounds(
        min(bounds.left, x - _ROOM_MM, u - _ROOM_MM),
        min(bounds.bottom, 0.0),
        max(bounds.right, x + _ROOM_MM, u + _ROOM_MM),
        max(bounds.top, z, w),
    )
