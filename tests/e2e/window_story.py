"""Stories of the window: planning and saving to a file, and unsaved work after a crash."""

import os
from pathlib import Path

from PySide6.QtCore import Qt, QTimer
from PySide6.QtGui import QGuiApplication
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QComboBox, QLineEdit

from tests.e2e.person import (
    Story,
    dialog,
    front,
    headline,
    named,
    painted,
    perform,
    photograph,
    planned,
    press,
    save_as,
    type_into,
    window,
)


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
    yield from front()
    press(Qt.Key.Key_S, ctrl=True, shift=True)
    yield from save_as(folder / "light-rider")
    yield lambda: not window().isWindowModified()
    title = window().windowTitle()
    window().close()
    return {"before": before, "metric": metric, "inches": inches, "title": title}


def ask_who_reaches(folder: Path) -> Story:
    """A shop asks who reaches the machine, flat-footed, and takes the picture along."""
    yield planned
    yield from front()
    press(Qt.Key.Key_R, ctrl=True)
    yield lambda: window().side.people
    people = window().side.people
    yield lambda: not people.asker.busy and people.found()
    before = people.sentence.text()
    box = named("Footing", QComboBox)
    box.setFocus()
    QTest.keyClick(box, Qt.Key.Key_Home)
    yield lambda: not people.asker.busy and people.sentence.text() != before
    last = people.table.items()[-1]
    people.table.setCurrentItem(last)
    yield from painted()
    photograph(folder, "who-reaches.png", people)
    QTest.mouseClick(people.taking.copy_button, Qt.MouseButton.LeftButton)
    picture = QGuiApplication.clipboard().image()
    rows = people.table.texts()
    people.close()
    window().close()
    return {
        "before": before,
        "flat": people.sentence.text(),
        "rows": rows,
        "picture": [picture.width(), picture.height()],
    }


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
    yield from front()
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


if __name__ == "__main__":
    perform(lower_a_machine, ask_who_reaches, work_without_saving, find_the_work_again)
