"""Someone who sits at the program: runs `main` in a real window and works with keys and mouse.

Started as a program of its own: ``python person.py STORY FOLDER [argument of the program ...]``.
A story is a generator that yields what it waits for; what it returns is printed as JSON.
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


def photograph(folder: Path, name: str) -> None:
    """Keep what the screen shows."""
    shown = window()
    shown.screen().grabWindow(shown.winId()).save(str(folder / name))


def lower_a_machine(folder: Path) -> Story:
    """A lighter rider is entered, the plan follows, the job is saved in inches and opened again."""
    yield planned
    before = headline()
    type_into("Body mass", "52,5" if window().locale().decimalPoint() == "," else "52.5")
    yield lambda: planned() and headline() != before
    metric = headline()
    photograph(folder, "window-metric.png")
    units = named("Units", QComboBox)
    units.setFocus()
    QTest.keyClick(units, Qt.Key.Key_End)
    yield lambda: headline() != metric
    inches = headline()
    for index in range(window().pages.count()):
        window().pages.setCurrentIndex(index)
        yield planned
    photograph(folder, "window-inch.png")
    window().activateWindow()
    yield window().isActiveWindow
    press(Qt.Key.Key_S, ctrl=True, shift=True)
    yield lambda: dialog(QFileDialog)
    chooser = dialog()
    chooser.findChild(QLineEdit, "fileNameEdit").setText(str(folder / "light-rider"))
    QTimer.singleShot(0, chooser.accept)
    yield lambda: not window().isWindowModified()
    title = window().windowTitle()
    window().close()
    return {"before": before, "metric": metric, "inches": inches, "title": title}


def work_without_saving(folder: Path) -> Story:
    """A mass is entered and kept; then the machine loses its power."""
    yield planned
    type_into("Body mass", "61")
    yield lambda: any(Path(os.environ["FITPLANNER_HOME"]).glob("autosave*.json"))
    os._exit(9)


def find_the_work_again(folder: Path) -> Story:
    """The question after a crash is answered with the key that stands first."""
    yield dialog
    question = dialog().text()
    press(Qt.Key.Key_Return)
    yield lambda: not dialog() and planned()
    mass = named("Body mass", QLineEdit).text()
    modified = window().isWindowModified()
    photograph(folder, "window-recovered.png")
    # Without a window manager nobody gives the keys back to the window.
    window().activateWindow()
    yield window().isActiveWindow
    press(Qt.Key.Key_Q, ctrl=True)
    yield dialog
    question_at_the_end = dialog().text()
    give_up = next(one for one in dialog().buttons() if "not save" in one.text())
    QTimer.singleShot(0, give_up.click)
    return {
        "question": question,
        "mass": mass,
        "modified": modified,
        "at_the_end": question_at_the_end,
    }


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
            frame = self._story.gi_frame
            line = frame.f_lineno if frame is not None else 0
            print(f"waited in vain at line {line}", file=sys.stderr, flush=True)
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


STORIES = {one.__name__: one for one in (lower_a_machine, work_without_saving, find_the_work_again)}


if __name__ == "__main__":
    QApplication(sys.argv[:1])
    teller = Teller(STORIES[sys.argv[1]](Path(sys.argv[2])))
    sys.exit(main(sys.argv[3:]))
