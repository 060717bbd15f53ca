"""A story of shared machines: another counter changes one, a file is compared with it."""

from pathlib import Path

from PySide6.QtCore import Qt, QTimer
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QMessageBox

from fitplanner.store.profiles import Shelf
from fitplanner.ui.profiles.replacing import Kept, ReplacingDialog
from tests.e2e.person import Story, dialog, perform, photograph, planned, window

MACHINE, FRIEND = "plover-300", "from-a-friend.json"


def share_a_machine(folder: Path) -> Story:
    """The job is put on a shared machine, which changes elsewhere; a file brings figures."""
    yield planned
    panel = window().inputs.machine
    yield lambda: panel.chooser.findData(MACHINE) >= 0
    panel.chooser.setFocus()
    panel.chooser.setCurrentIndex(panel.chooser.findData(MACHINE))
    panel.chooser.activated.emit(panel.chooser.currentIndex())
    yield planned
    # Another counter, on another computer: it knows nothing of this window.
    elsewhere = Shelf(window().shelving.usual_folder)
    present = elsewhere.read().profiles[MACHINE]
    elsewhere.save(present.replace(note="chain renewed"), present)
    yield lambda: "the library holds 2" in panel.changed.text()
    planned_on = window().session.job.machine.revision
    photograph(folder, "sharing-revision.png")

    window().side.show_machines()
    importing = window().side.office.importing
    QTimer.singleShot(0, lambda: importing.import_path(folder / FRIEND))
    yield lambda: dialog(ReplacingDialog) and "common rider" in dialog().effect.text()
    yield lambda: "Working" not in dialog().effect.text()
    differing = [row.text(0) for row in dialog().tree.rows() if not row.isHidden()]
    tick = next(row for row in dialog().tree.rows() if row.text(0) == "Seat height")
    tick.setCheckState(0, Qt.CheckState.Checked)
    dialog().grab().save(str(folder / "sharing-compared.png"))
    QTest.mouseClick(dialog().buttons[Kept.MERGED], Qt.MouseButton.LeftButton)
    yield lambda: dialog(QMessageBox)
    said = dialog().text()
    QTest.keyClick(dialog(), Qt.Key.Key_Return)
    yield lambda: not dialog()
    kept = elsewhere.read().profiles[MACHINE]
    QTimer.singleShot(0, window().close)
    yield lambda: dialog(QMessageBox)
    give_up = next(one for one in dialog().buttons() if "not save" in one.text())
    QTimer.singleShot(0, give_up.click)
    return {
        "planned_on": planned_on,
        "differing": differing,
        "said": said,
        "seat_mm": kept.catalogue.seat_height_mm.value,
        "travel_mm": kept.rear.travel_mm.value,
        "note": kept.note,
        "revision": kept.revision,
    }


if __name__ == "__main__":
    perform(share_a_machine)
