"""Owns the four sliders that say what matters to the customer, in plain words.

Refuses to rank.
"""

from PySide6.QtCore import Qt, QTimer, Signal
from PySide6.QtWidgets import QGridLayout, QHBoxLayout, QSlider, QWidget

from fitplanner.planning.search.options import Priorities
from fitplanner.ui.forms import tip
from fitplanner.ui.widgets.text import RIGHT, Text
from fitplanner.ui.widgets.wheel import scrolls_past

REST_MS = 250
_STEPS = 4


class PrioritySliders(QWidget):
    """From "does not matter" to "matters most"; `changed` comes once the hand rests."""

    changed = Signal(object)
    """`Priorities`."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._rest = QTimer(self)
        self._rest.setSingleShot(True)
        self._rest.setInterval(REST_MS)
        self._rest.timeout.connect(self._tell)
        words = {
            "travel": (self.tr("Keep the travel"), self.tr("For fast and rough riding")),
            "steering": (self.tr("Keep the steering"), self.tr("Trail as on the stock machine")),
            "comfort": (self.tr("Comfort"), self.tr("Legroom, foam and bottoming reserve")),
            "price": (self.tr("Low price"), self.tr("Few parts and little work")),
        }
        grid = QGridLayout(self)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setHorizontalSpacing(22)
        grid.setVerticalSpacing(2)
        self.sliders: dict[str, Slider] = {}
        self._said: dict[str, Text] = {}
        for place, (key, (name, hint)) in enumerate(words.items()):
            slider, said = Slider(self), Text(faint=True, wrap=False, align=RIGHT, parent=self)
            slider.setAccessibleName(name)
            slider.setToolTip(tip(hint))
            slider.valueChanged.connect(self._moved)
            head = QHBoxLayout()
            label = Text(name, wrap=False, parent=self)
            label.set_hint(hint)
            head.addWidget(label)
            head.addStretch(1)
            head.addWidget(said)
            grid.addLayout(head, 0, place)
            grid.addWidget(slider, 1, place)
            grid.setColumnStretch(place, 1)
            self.sliders[key], self._said[key] = slider, said
        self._say()

    def priorities(self) -> Priorities:
        """As the sliders stand."""
        return Priorities(**{key: one.value() / _STEPS for key, one in self.sliders.items()})

    def _moved(self) -> None:
        self._say()
        self._rest.start()

    def _say(self) -> None:
        words = (
            self.tr("not at all"), self.tr("a little"), self.tr("as usual"),
            self.tr("much"), self.tr("most"),
        )  # fmt: skip
        for key, slider in self.sliders.items():
            self._said[key].setText(words[slider.value()])
            slider.setAccessibleDescription(words[slider.value()])

    def _tell(self) -> None:
        self.changed.emit(self.priorities())


class Slider(QSlider):
    """Five places; a wheel turn over it scrolls the page unless it has the focus."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(Qt.Orientation.Horizontal, parent)
        self.setRange(0, _STEPS)
        self.setValue(_STEPS // 2)
        self.setPageStep(1)
        self.setTickPosition(QSlider.TickPosition.TicksBelow)
        self.setTickInterval(1)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        scrolls_past(self)
