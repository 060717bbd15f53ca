"""Someone who sits at the program: hands for keys and mouse, and how a story is gone through.

A story is a generator that yields what it waits for; what it returns is printed as JSON. `perform`
runs the program's `main` in a real window with one of them:
``python a_story.py STORY FOLDER [argument of the program ...]``.
"""

import json
import os
import sys
import traceback
from collections.abc import Callable, Generator
from pathlib import Path
from typing import Any

from PySide6.QtCore import QObject, Qt, QTimer
from PySide6.QtTest import QTest
from PySide6.QtWidgets import (
    QApplication,
    QComboBox,
    QDialog,
    QFileDialog,
    QLineEdit,
    QMainWindow,
    QWidget,
)

from fitplanner.__main__ import main

PATIENCE_MS = 30_000
Story = Generator[Callable[[], Any], None, dict[str, Any]]
Part = Generator[Callable[[], Any], None, None]


def window() -> Any:
    """The program's window, once it stands."""
    return next(
        (one for one in QApplication.topLevelWidgets() if isinstance(one, QMainWindow)), None
    )


def dialog(kind: type[QDialog] = QDialog) -> Any:
    """The dialog that waits for an answer."""
    shown = QApplication.activeModalWidget()
    return shown if isinstance(shown, kind) else None


def planned() -> bool:
    """Whether the plan of what was entered last is shown."""
    return window() is not None and window().plan is not None and not window().planner.busy


def named(name: str, kind: type[QWidget]) -> Any:
    """The widget that a screen reader calls `name`."""
    return next(one for one in window().findChildren(kind) if one.accessibleName() == name)


def headline() -> list[str]:
    """The large figures as read."""
    return [text.replace("\N{NO-BREAK SPACE}", " ") for text in window().headline.texts()]


def type_into(name: str, text: str) -> None:
    """Click into the field called `name` and write."""
    field = named(name, QLineEdit)
    QTest.mouseClick(field, Qt.MouseButton.LeftButton)
    field.selectAll()
    QTest.keyClicks(field, text)


def press(key: Qt.Key, *, ctrl: bool = False, shift: bool = False) -> None:
    """Press a key soon; a dialog that it opens does not hold up the story."""
    modifiers = Qt.KeyboardModifier
    modifier = modifiers.ControlModifier if ctrl else modifiers.NoModifier
    modifier |= modifiers.ShiftModifier if shift else modifiers.NoModifier
    target = QApplication.activeModalWidget() or window()
    QTimer.singleShot(0, lambda: QTest.keyClick(target, key, modifier))


def front() -> Part:
    """Without a window manager nobody gives the keys to the window."""
    window().activateWindow()
    yield window().isActiveWindow


def painted() -> Part:
    """The screen shows what the window was told just now."""
    yield lambda: True
    yield lambda: True


def pick(name: str, words: str) -> None:
    """Go down in the choice called `name` until `words` stand there."""
    box = named(name, QComboBox)
    box.setFocus()
    while box.currentText() != words:
        before = box.currentIndex()
        QTest.keyClick(box, Qt.Key.Key_Down)
        if box.currentIndex() == before:
            raise LookupError(f"{name}: no {words}")


def save_as(file: Path) -> Part:
    """Name the file that the program asks for."""
    yield lambda: dialog(QFileDialog)
    chooser = dialog()
    chooser.findChild(QLineEdit, "fileNameEdit").setText(str(file))
    QTimer.singleShot(0, chooser.accept)
    yield lambda: not dialog()


def photograph(folder: Path, name: str, shown: QWidget | None = None) -> None:
    """Keep what the screen shows, of the window or another one."""
    shown = shown or window()
    shown.screen().grabWindow(shown.winId()).save(str(folder / name))


class Teller(QObject):
    """Goes on with the story whenever what it waits for has come."""

    def __init__(self, story: Story) -> None:
        super().__init__()
        self._story = story
        self._wanted: Callable[[], Any] = window
        self._left = PATIENCE_MS
        self._timer = QTimer(self)
        self._timer.timeout.connect(self._go_on)
        self._timer.start(20)

    def _go_on(self) -> None:
        self._left -= 20
        if self._left < 0:
            print(f"waited in vain at {_place(self._story)}", file=sys.stderr, flush=True)
            os._exit(3)
        if self._wanted():
            try:
                self._wanted = next(self._story)
            except StopIteration as end:
                print(json.dumps(end.value), flush=True)
                self._timer.stop()
            except Exception:
                traceback.print_exc()
                os._exit(4)


def _place(part: Any) -> str:
    """Where a story stands, from the outside in."""
    lines = []
    while part is not None:
        lines.append(f"{part.gi_code.co_name}:{part.gi_frame.f_lineno if part.gi_frame else 0}")
        part = part.gi_yieldfrom
    return " > ".join(lines)


def perform(*stories: Callable[[Path], Story]) -> None:
    """Tell the one of `stories` that the command line names."""
    _, name, folder, *arguments = sys.argv
    QApplication(sys.argv[:1])
    story = next(one for one in stories if one.__name__ == name)
    teller = Teller(story(Path(folder)))
    code = main(arguments)
    del teller
    sys.exit(code)
