"""The shop's folder is looked at while the window goes on; what is there now is told once."""

import threading
from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from fitplanner.documents import codec
from fitplanner.library.loader import BrokenFile
from fitplanner.store.files import StoreError
from fitplanner.store.profiles import Shelf, Shelved
from fitplanner.ui.profiles.watching import ShelfWatch, Sight, look
from tests import factories

SOON = 10_000


class Told:
    """Everything that a watch tells."""

    def __init__(self, watch: ShelfWatch) -> None:
        self.sights: list[Sight] = []
        watch.seen.connect(self.take)

    def take(self, sight: Sight) -> None:
        self.sights.append(sight)

    def names(self) -> list[str]:
        return sorted(self.sights[-1].shelved.profiles) if self.sights else ["not yet"]


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    found = tmp_path / "shelf"
    found.mkdir()
    return found


def watch_of(every_s: float = 0.05) -> ShelfWatch:
    return ShelfWatch(every_s=every_s, settled_s=0.01, quiet_ms=1)


def test_a_change_is_seen_by_the_slow_look_alone(qtbot: QtBot, folder: Path) -> None:
    """As on a network drive, which tells of nothing."""
    watch = watch_of()
    told = Told(watch)
    watch._watcher.blockSignals(True)
    watch.watch(Shelf(folder))
    qtbot.waitUntil(lambda: told.names() == [], timeout=SOON)
    saved = Shelf(folder).save(factories.machine_profile(id="one"), None)
    qtbot.waitUntil(lambda: told.names() == ["one"], timeout=SOON)
    Shelf(folder).save(saved.replace(note="new"), saved)
    qtbot.waitUntil(lambda: told.sights[-1].shelved.profiles["one"].note == "new", timeout=SOON)
    watch.close()


def test_a_change_is_seen_at_once_where_the_folder_tells(qtbot: QtBot, folder: Path) -> None:
    watch = watch_of(every_s=3600)
    told = Told(watch)
    watch.watch(Shelf(folder))
    qtbot.waitUntil(lambda: told.names() == [], timeout=SOON)
    Shelf(folder).save(factories.machine_profile(id="one"), None)
    qtbot.waitUntil(lambda: told.names() == ["one"], timeout=SOON)
    Shelf(folder).remove("one")
    qtbot.waitUntil(lambda: told.names() == [], timeout=SOON)
    watch.close()


def test_what_did_not_change_is_told_once(qtbot: QtBot, folder: Path) -> None:
    Shelf(folder).save(factories.machine_profile(id="one"), None)
    shelf, looks = _counting(folder)
    watch = watch_of(every_s=0.001)
    told = Told(watch)
    watch.watch(shelf)
    qtbot.waitUntil(lambda: len(looks) > 10, timeout=SOON)
    watch.close()
    assert len(told.sights) == 1


def test_a_folder_that_goes_and_comes_back(qtbot: QtBot, folder: Path) -> None:
    Shelf(folder).save(factories.machine_profile(id="one"), None)
    watch = watch_of()
    told = Told(watch)
    watch.watch(Shelf(folder))
    qtbot.waitUntil(lambda: told.names() == ["one"], timeout=SOON)
    away = folder.with_name("away")
    folder.rename(away)
    qtbot.waitUntil(lambda: told.sights[-1].problem is not None, timeout=SOON)
    assert isinstance(told.sights[-1].problem, StoreError)
    away.rename(folder)
    qtbot.waitUntil(lambda: told.names() == ["one"], timeout=SOON)
    assert told.sights[-1].problem is None
    watch.close()


def test_the_users_own_folder_is_seen_once_it_is_made(qtbot: QtBot, tmp_path: Path) -> None:
    shelf = Shelf(tmp_path / "own", make=True)
    watch = watch_of(every_s=3600)
    told = Told(watch)
    watch.watch(shelf)
    qtbot.waitUntil(lambda: told.names() == [], timeout=SOON)
    Shelf(tmp_path / "own", make=True).save(factories.machine_profile(id="one"), None)
    watch.look()
    qtbot.waitUntil(lambda: told.names() == ["one"], timeout=SOON)
    Shelf(tmp_path / "own").save(factories.machine_profile(id="two"), None)
    qtbot.waitUntil(lambda: told.names() == ["one", "two"], timeout=SOON)
    watch.close()


def test_a_drive_that_never_answers_holds_up_nobody(qtbot: QtBot, folder: Path) -> None:
    hangs, answer = threading.Event(), threading.Event()

    class Dead(Shelf):
        def read(self) -> Shelved:
            hangs.set()
            answer.wait(30)
            return super().read()

    watch = watch_of()
    told = Told(watch)
    watch.watch(Dead(folder))
    assert hangs.wait(10)
    # Another folder is looked at while the first still hangs, and what that says is not heard.
    other = folder.with_name("other")
    other.mkdir()
    Shelf(other).save(factories.machine_profile(id="two"), None)
    watch.watch(Shelf(other))
    qtbot.waitUntil(lambda: told.names() == ["two"], timeout=SOON)
    answer.set()
    watch.close()
    assert len(told.sights) == 1


def test_a_watch_that_was_closed_begins_no_more(qtbot: QtBot, folder: Path) -> None:
    """As where a window is closed before it stood."""
    before = threading.active_count()
    watch = watch_of()
    watch.close()
    watch.watch(Shelf(folder))
    assert threading.active_count() <= before
    assert watch.sight is None


def test_a_file_that_is_just_being_written_is_read_again_and_not_reported(folder: Path) -> None:
    whole = codec.dump(factories.machine_profile(id="one"))
    path = folder / "one.json"
    path.write_text(whole[:400], encoding="utf-8")
    pauses: list[str] = []

    def goes_on() -> None:
        pauses.append("")
        path.write_text(whole, encoding="utf-8")

    sight = look(Shelf(folder), (), goes_on)
    assert (sorted(sight.shelved.profiles), sight.shelved.broken) == (["one"], ())
    assert pauses == [""]


def test_a_file_that_stays_broken_is_reported_and_then_not_waited_for(folder: Path) -> None:
    (folder / "one.json").write_text("{", encoding="utf-8")
    pauses: list[str] = []
    sight = look(Shelf(folder), (), lambda: pauses.append(""))
    assert [one.path.name for one in sight.shelved.broken] == ["one.json"]
    assert pauses == [""]
    again = look(Shelf(folder), sight.shelved.broken, lambda: pauses.append(""))
    assert again.shelved.broken == sight.shelved.broken
    assert pauses == [""]


def test_a_file_that_is_written_without_end_is_told_in_the_end(folder: Path) -> None:
    path = folder / "one.json"
    path.write_text("{", encoding="utf-8")
    pauses: list[str] = []

    def goes_on() -> None:
        pauses.append("")
        path.write_text("{" + " " * len(pauses) + "\n" * len(pauses), encoding="utf-8")

    sight = look(Shelf(folder), (), goes_on)
    assert len(sight.shelved.broken) == 1
    assert len(pauses) == 2


def test_a_sight_is_the_same_where_nothing_changed() -> None:
    assert Shelved() == Shelved()
    assert Shelved(broken=(BrokenFile(Path("a"), "b"),)) != Shelved()


def _counting(folder: Path) -> tuple[Shelf, list[str]]:
    looks: list[str] = []

    class Counting(Shelf):
        def read(self) -> Shelved:
            looks.append("")
            return super().read()

    return Counting(folder), looks
