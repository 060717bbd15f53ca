"""Stories of machines: from a maker's catalogue page to a plan, and a profile after a crash."""

import os
from pathlib import Path
from typing import Any

from PySide6.QtCore import Qt, QTimer
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget

from tests.e2e.person import (
    Part,
    Story,
    dialog,
    headline,
    painted,
    perform,
    photograph,
    planned,
    press,
    window,
)

NAME = "Larkhope 350"
SHEET = (
    ("state", ""),
    ("seat_height_mm", "35 7/8 in"),
    ("wheelbase_mm", "1480"),
    ("rake_deg", "27"),
    ("trail_mm", "112"),
    ("ground_clearance_mm", "305"),
    ("rider_mass_kg", ""),
    ("spring_legs", ""),
    ("fork travel_mm", "285"),
    ("stanchion_diameter_mm", "43"),
    ("fork spring_rate_n_mm", ""),
    ("the fork spring's button", ""),
    ("rear travel_mm", "290"),
    ("rear spring_rate_n_mm", ""),
    ("the shock spring's button", ""),
    ("running_order_kg", "139"),
    ("running_order_fuel_share", "90"),
    ("tank_l", "9.5"),
    ("payload_kg", "170"),
    ("front_radius_mm", "90/90-21"),
    ("rear_radius_mm", "140/80-18"),
    ("front_section_mm", "90"),
    ("rear_section_mm", "140"),
)
"""An invented catalogue page in the order in which it is asked; what it does not say is passed."""


class Hands:
    """Someone whose every key and click is counted."""

    def __init__(self) -> None:
        self.steps = 0

    def types(self, text: str) -> None:
        """Write where the keys are."""
        self.steps += len(text)
        QTest.keyClicks(QApplication.focusWidget(), text)

    def key(self, key: Qt.Key, modifier: Qt.KeyboardModifier | None = None) -> None:
        """Press one key, or one together with another."""
        self.steps += 1 if modifier is None else 2
        held = modifier or Qt.KeyboardModifier.NoModifier
        QTest.keyClick(QApplication.focusWidget(), key, held)

    def clicks(self, target: QWidget) -> None:
        """Click once."""
        self.steps += 1
        QTest.mouseClick(target, Qt.MouseButton.LeftButton)


def plan_from_a_catalogue_page(folder: Path) -> Story:
    """A machine that the library does not know is typed from its sheet and planned on."""
    yield planned
    before, hands, seen = headline(), Hands(), dict[str, Any]()
    yield from _begin(hands)
    editor = window().side.office.editor
    hands.types(NAME)
    hands.key(Qt.Key.Key_Tab)
    hands.key(Qt.Key.Key_Up)
    hands.key(Qt.Key.Key_Up)
    seen["kind"] = editor.head.kind.currentText()
    for _ in range(2):
        hands.key(Qt.Key.Key_Tab)
    for number, (_, text) in enumerate(SHEET):
        hands.key(Qt.Key.Key_Tab)
        hands.types(text)
        if number == 1:
            # It plans from the first figure on.
            yield lambda: not editor.asker.busy
            seen["first heights"] = editor.beside.strip.texts()
    yield lambda: not editor.asker.busy and not editor.slips.busy
    seen["heights"] = editor.beside.strip.texts()
    seen["still a guess"] = editor.beside.needed.text()
    seen["slips"] = editor.beside.found.text()
    seen["scrolls"] = editor.stages[0].scrolls()
    yield from painted()
    photograph(folder, "machine-catalogue.png", editor)
    control = Qt.KeyboardModifier.ControlModifier
    hands.key(Qt.Key.Key_S, control)
    yield lambda: not editor.isWindowModified()
    hands.key(Qt.Key.Key_Return, control)
    yield lambda: window().session.job.machine.name == NAME and planned()
    seen["steps"] = hands.steps
    seen["title"] = editor.windowTitle()
    seen["plan"] = headline()
    seen["changed"] = seen["plan"] != before
    seen["chooser"] = window().inputs.machine.chooser.currentText()
    editor.close()
    yield from painted()
    photograph(folder, "machine-planned.png")
    window().session.start(window().session.job)
    window().close()
    return seen


def type_without_saving(folder: Path) -> Story:
    """A name is typed and kept; then the machine loses its power."""
    yield planned
    hands = Hands()
    yield from _begin(hands)
    hands.types(NAME)
    yield lambda: any(Path(os.environ["FITPLANNER_HOME"]).glob("machine-autosave*.json"))
    os._exit(9)


def find_the_machine_again(folder: Path) -> Story:
    """The question after a crash is answered with the key that stands first."""
    yield dialog
    question = dialog().text()
    press(Qt.Key.Key_Return)
    yield lambda: not dialog() and window().side.office and planned()
    editor = window().side.office.editor
    yield lambda: editor.isVisible() and not editor.asker.busy
    seen = {
        "question": question,
        "name": editor.head.name.text(),
        "modified": editor.isWindowModified(),
    }
    QTimer.singleShot(0, editor.close)
    yield dialog
    seen["at_the_end"] = dialog().text()
    press(Qt.Key.Key_D)
    yield lambda: not dialog() and not editor.isVisible()
    window().close()
    return seen


def _begin(hands: Hands) -> Part:
    """From the window to the first field of a new machine."""
    hands.clicks(window().inputs.machine.new_button)
    yield lambda: window().side.office and window().side.office.editor.isVisible()
    editor = window().side.office.editor
    # Without a window manager nobody gives the keys to it.
    editor.activateWindow()
    yield lambda: editor.isActiveWindow() and editor.head.name.hasFocus()


if __name__ == "__main__":
    perform(plan_from_a_catalogue_page, type_without_saving, find_the_machine_again)
