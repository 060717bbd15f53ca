"""Owns where a window beside the main one opens: so that it hides as little of the plan as it can.

Refuses to move a window that stands already: the user may have put it there.
"""

from PySide6.QtCore import QPoint, QRect, QSize, Qt
from PySide6.QtWidgets import QWidget


def place_of(screen: QRect, main: QRect, size: QSize) -> QPoint:
    """Where a window of `size` opens; all with their frames, in pixels of the desktop.

    Right of the main window or left of it where there is room, else in the lower right corner of
    the screen: the pictures and what was entered stand above and left of that.
    """
    down = max(screen.top(), min(main.top(), screen.bottom() + 1 - size.height()))
    if screen.right() - main.right() >= size.width():
        return QPoint(main.right() + 1, down)
    if main.left() - screen.left() >= size.width():
        return QPoint(main.left() - size.width(), down)
    return QPoint(
        max(screen.left(), screen.right() + 1 - size.width()),
        max(screen.top(), screen.bottom() + 1 - size.height()),
    )


def bring_up(window: QWidget, main: QWidget) -> None:
    """Show a window before the others; the first time it stands beside the main one."""
    if not window.testAttribute(Qt.WidgetAttribute.WA_Moved):
        # What the window system puts round it is known of the main window only.
        frame = main.frameGeometry().size() - main.size()
        place = place_of(
            main.screen().availableGeometry(), main.frameGeometry(), window.size() + frame
        )
        window.move(place)
    window.show()
    window.raise_()
    window.activateWindow()
