"""Owns that a form is scrolled with the wheel: a value passed on the way must not change."""

from PySide6.QtCore import QEvent, QObject
from PySide6.QtWidgets import QWidget


class _Passes(QObject):
    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        passes = event.type() == QEvent.Type.Wheel
        if passes and isinstance(watched, QWidget) and not watched.hasFocus():
            event.ignore()
            return True
        return False


def scrolls_past(widget: QWidget) -> None:
    """Leave the wheel to the page around `widget` unless the widget is in use."""
    widget.installEventFilter(_Passes(widget))
