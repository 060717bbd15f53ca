"""Where the machines are kept is tried before it is taken; the old place stays until then."""

from pathlib import Path

from pytestqt.qtbot import QtBot

from fitplanner.store.preferences import load_preferences
from fitplanner.store.profiles import Shelf
from fitplanner.ui.profiles.place import MachinesPlace, MachinesPlaceDialog
from tests import factories
from tests.gui.shell import answers, open_window, press

OWN = factories.machine_profile(id="plover-300", name="Plover 300")


def test_another_folder_is_read_and_taken(qtbot: QtBot, tmp_path: Path) -> None:
    folder = tmp_path / "drive"
    folder.mkdir()
    Shelf(folder).save(OWN, None)
    window = open_window(qtbot)
    answers(window).machines_place = MachinesPlace(str(folder), False)
    press(window, "machines_place")
    assert answers(window).failure == ""
    assert answers(window).asked == [f"machines in {tmp_path / 'home' / 'profiles'}: "]
    qtbot.waitUntil(lambda: "plover-300" in window.machines, timeout=20_000)
    kept, _ = load_preferences()
    assert (kept.profiles_folder, kept.show_invented) == (str(folder), False)
    answers(window).machines_place = MachinesPlace("", True)
    press(window, "machines_place")
    qtbot.waitUntil(lambda: "plover-300" not in window.machines, timeout=20_000)


def test_a_folder_that_cannot_be_read_is_not_taken(qtbot: QtBot, tmp_path: Path) -> None:
    window = open_window(qtbot)
    answers(window).machines_place = MachinesPlace(str(tmp_path / "gone"), False)
    press(window, "machines_place")
    assert "drive is connected" in answers(window).failure
    preferences = window.settings.preferences
    assert (preferences.profiles_folder, preferences.show_invented) == ("", True)


def test_the_dialog_takes_nothing_that_failed(qtbot: QtBot, tmp_path: Path) -> None:
    tried: list[MachinesPlace] = []

    def take(place: MachinesPlace) -> str:
        tried.append(place)
        return "It is not there." if place.folder else ""

    dialog = MachinesPlaceDialog(
        MachinesPlace("", True), "/home/a", "torn.json is damaged", take, lambda _: tmp_path
    )
    qtbot.addWidget(dialog)
    dialog.show()
    assert "torn.json" in dialog.trouble.text()
    assert not dialog.folder.isEnabled() and not dialog.choose_button.isEnabled()
    dialog.shared.setChecked(True)
    for text in ("", "machines"):
        dialog.folder.setText(text)
        dialog.take_button.click()
        assert dialog.isVisible() and "whole path" in dialog.said.text()
    assert tried == []
    dialog.choose_button.click()
    assert dialog.folder.text() == str(tmp_path)
    dialog.invented.setChecked(False)
    dialog.take_button.click()
    assert dialog.isVisible() and dialog.said.text() == "It is not there."
    dialog.here.setChecked(True)
    dialog.take_button.click()
    assert not dialog.isVisible()
    assert tried == [MachinesPlace(str(tmp_path), False), MachinesPlace("", False)]
