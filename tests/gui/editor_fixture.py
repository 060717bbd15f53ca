"""The window in which a machine profile is made, and hands for its fields."""

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from fitplanner.documents.base import Figure
from fitplanner.ui.main_window import MainWindow
from fitplanner.ui.profiles.editor import ProfileEditor
from fitplanner.ui.profiles.entry import StageEntry
from fitplanner.ui.profiles.office import Office
from tests.gui.shell import open_window, retype


def office(qtbot: QtBot, window: MainWindow | None = None) -> Office:
    """The windows about machines, the list shown."""
    window = window or open_window(qtbot)
    window.side.show_machines()
    found = window.side.office
    assert found is not None
    return found


def new_machine(qtbot: QtBot, window: MainWindow | None = None) -> ProfileEditor:
    """The editor with a machine of which nothing is known."""
    window = window or open_window(qtbot)
    window.side.new_machine()
    found = window.side.office
    assert found is not None
    return in_use(qtbot, found.editor)


def in_use(qtbot: QtBot, editor: ProfileEditor) -> ProfileEditor:
    """The editor once it has the keys and everything in it is told."""
    qtbot.waitUntil(lambda: editor.isVisible() and editor.isActiveWindow(), timeout=5_000)
    settled(qtbot, editor)
    return editor


def settled(qtbot: QtBot, editor: ProfileEditor) -> None:
    """Until everything that is shown is of the profile as it stands."""
    qtbot.waitUntil(lambda: not editor.asker.busy and not editor.slips.busy, timeout=20_000)


def entry(editor: ProfileEditor, section: str, key: str) -> StageEntry:
    """The field of a figure, with its page in front."""
    for page in editor.stages:
        found = page.entry(("machine", section, key))
        if found is not None:
            editor.tabs.setCurrentWidget(page)
            return found
    raise AssertionError(f"no field for {section}.{key}")


def enter(editor: ProfileEditor, section: str, key: str, text: str) -> StageEntry:
    """Type into the field of a figure, without leaving it."""
    found = entry(editor, section, key)
    retype(found, text)
    return found


def figure(editor: ProfileEditor, section: str, key: str) -> Figure:
    """What the profile holds."""
    found = getattr(getattr(editor.draft.profile, section), key)
    assert isinstance(found, Figure)
    return found


def tab() -> None:
    """Go on to the next field."""
    QTest.keyClick(QApplication.focusWidget(), Qt.Key.Key_Tab)
