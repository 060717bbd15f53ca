"""The window lists what the shop's folder holds now; a job keeps the profile it was planned on."""

from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from fitplanner.documents.machine import MachineProfile
from fitplanner.documents.preferences import Preferences, Theme
from fitplanner.store.profiles import Shelf
from fitplanner.ui.main_window import MainWindow
from fitplanner.ui.panels.machine import MachineChooser
from fitplanner.ui.profiles import watching
from tests import factories
from tests.gui.shell import answers, open_window, press, wait_for_plan

SOON = 20_000


@pytest.fixture(autouse=True)
def hurried(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(watching.ShelfWatch.__init__, "__kwdefaults__", _HURRIED)


_HURRIED = {"every_s": 0.05, "settled_s": 0.01, "quiet_ms": 1}


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    found = tmp_path / "shop"
    found.mkdir()
    return found


def own(**changes: object) -> MachineProfile:
    return factories.machine_profile(id="plover-300", name="Plover 300", **changes)


def window_on(qtbot: QtBot, folder: Path, **changes: object) -> MainWindow:
    preferences = Preferences(theme=Theme.LIGHT, profiles_folder=str(folder), **changes)
    return open_window(qtbot, preferences=preferences)


def listed(window: MainWindow) -> list[str]:
    chooser = window.inputs.machine.chooser
    return [chooser.itemText(row) for row in range(chooser.count())]


def machines(window: MainWindow) -> list[str]:
    chooser = window.inputs.machine.chooser
    return [chooser.itemText(row) for row in range(chooser.count()) if chooser.itemData(row)]


def test_a_machine_of_the_shop_comes_and_goes(qtbot: QtBot, folder: Path) -> None:
    window = window_on(qtbot, folder)
    before = machines(window)
    Shelf(folder).save(own(), None)
    qtbot.waitUntil(lambda: "Plover 300" in machines(window), timeout=SOON)
    assert len(machines(window)) == len(before) + 1
    assert window.inputs.machine.chooser.currentText() == window.session.job.machine.name
    Shelf(folder).remove("plover-300")
    qtbot.waitUntil(lambda: machines(window) == before, timeout=SOON)


def test_the_job_keeps_its_copy_and_says_what_the_library_holds(qtbot: QtBot, folder: Path) -> None:
    first = Shelf(folder).save(own(), None)
    window = window_on(qtbot, folder)
    qtbot.waitUntil(lambda: "Plover 300" in machines(window), timeout=SOON)
    panel = window.inputs.machine
    panel.chooser.setCurrentIndex(panel.chooser.findData("plover-300"))
    panel.chooser.activated.emit(panel.chooser.currentIndex())
    assert window.session.job.machine == first
    assert panel.changed.text() == ""
    Shelf(folder).save(first.replace(note="measured again"), first)
    qtbot.waitUntil(lambda: "revision" in panel.changed.text(), timeout=SOON)
    assert "Planned on revision 1" in panel.changed.text()
    assert "the library holds 2" in panel.changed.text()
    assert window.session.job.machine == first
    Shelf(folder).remove("plover-300")
    qtbot.waitUntil(lambda: "comes with the job" in panel.changed.text(), timeout=SOON)
    assert window.session.job.machine == first
    assert panel.chooser.currentIndex() == -1
    assert panel.chooser.placeholderText() == "Plover 300"


def test_the_shops_profile_wins_over_the_programs_and_says_so(qtbot: QtBot, folder: Path) -> None:
    window = window_on(qtbot, folder)
    shipped = window.session.job.machine
    Shelf(folder).save(shipped.replace(name="Trail bike, as we know it", revision=2), None)
    panel = window.inputs.machine
    qtbot.waitUntil(lambda: "Trail bike, as we know it" in machines(window), timeout=SOON)
    assert shipped.name not in machines(window)
    assert "the library holds 2" in panel.changed.text()
    panel.chooser.activated.emit(panel.chooser.findData(shipped.id))
    assert window.session.job.machine.revision == 2
    assert "stands in the place" in panel.changed.text()


def test_the_comparison_and_the_ranking_follow(qtbot: QtBot, folder: Path) -> None:
    window = window_on(qtbot, folder)
    press(window, "compare")
    press(window, "fleet")
    assert window.compare is not None and window.fleet is not None
    fleet, compare = window.fleet, window.compare
    qtbot.waitUntil(lambda: len(fleet.rows()) == 2, timeout=SOON)
    Shelf(folder).save(own(), None)
    qtbot.waitUntil(lambda: len(fleet.rows()) == 3, timeout=SOON)
    assert "Plover 300" in [row.profile.name for row in fleet.rows()]
    offered = [action.text() for action in compare._machines.actions()]
    assert "Plover 300" in offered
    Shelf(folder).remove("plover-300")
    qtbot.waitUntil(lambda: len(fleet.rows()) == 2, timeout=SOON)
    wait_for_plan(qtbot, window)


def test_a_folder_that_is_away_is_told_calmly_and_the_program_goes_on(
    qtbot: QtBot, folder: Path
) -> None:
    Shelf(folder).save(own(), None)
    window = window_on(qtbot, folder)
    panel = window.inputs.machine
    qtbot.waitUntil(lambda: "Plover 300" in machines(window), timeout=SOON)
    assert panel.shelf.text() == ""
    away = folder.with_name("away")
    folder.rename(away)
    qtbot.waitUntil(lambda: panel.shelf.text() != "", timeout=SOON)
    assert str(folder) in panel.shelf.text()
    assert "drive is connected" in panel.shelf.text()
    assert "Plover 300" not in machines(window) and machines(window)
    assert answers(window).told == []
    away.rename(folder)
    qtbot.waitUntil(lambda: panel.shelf.text() == "", timeout=SOON)
    assert "Plover 300" in machines(window)


def test_a_file_that_cannot_be_used_is_named_with_its_mend(qtbot: QtBot, folder: Path) -> None:
    Shelf(folder).save(own(), None)
    (folder / "torn.json").write_text("{", encoding="utf-8")
    window = window_on(qtbot, folder)
    panel = window.inputs.machine
    qtbot.waitUntil(lambda: panel.shelf.text() != "", timeout=SOON)
    assert "torn.json: the file is damaged at line 1" in panel.shelf.text()
    assert "Plover 300" in machines(window)


def test_invented_machines_hide_once_the_shop_has_its_own(qtbot: QtBot, folder: Path) -> None:
    preferences = Preferences(theme=Theme.LIGHT, profiles_folder=str(folder), show_invented=False)
    invented = {
        each.id: each
        for each in (
            factories.machine_profile(invented=True),
            factories.machine_profile(id="second", name="Second", invented=True),
        )
    }
    window = open_window(qtbot, preferences=preferences, profiles=invented)
    assert len(machines(window)) == 2
    Shelf(folder).save(own(), None)
    qtbot.waitUntil(lambda: machines(window) == ["Plover 300"], timeout=SOON)
    window.shelving.show_invented(True)
    assert len(machines(window)) == 3
    window.shelving.show_invented(False)
    assert machines(window) == ["Plover 300"]
    Shelf(folder).remove("plover-300")
    qtbot.waitUntil(lambda: len(machines(window)) == 2, timeout=SOON)


def test_two_windows_see_each_others_machines(qtbot: QtBot, folder: Path) -> None:
    here, there = window_on(qtbot, folder), window_on(qtbot, folder)
    assert here.shelving.save(own(), None) == own()
    assert "Plover 300" in machines(here)
    qtbot.waitUntil(lambda: "Plover 300" in machines(there), timeout=SOON)


def test_headings_cannot_be_chosen_however_often_the_list_changes(qtbot: QtBot) -> None:
    """Nor does Python keep the item of a row that is gone, see `MachineChooser._add_heading`."""
    profiles = {own().id: own()}
    chooser = MachineChooser(profiles)
    qtbot.addWidget(chooser)
    for _ in range(50):
        chooser.list_machines()
        flags = [chooser.model().index(row, 0).flags() for row in range(chooser.count())]
        assert [bool(each) for each in flags] == [False, True]
        assert (chooser.itemText(0), chooser.itemText(1)) == ("Trail", "Plover 300")
    profiles.clear()
    chooser.list_machines()
    assert (chooser.count(), chooser.currentIndex()) == (0, -1)
