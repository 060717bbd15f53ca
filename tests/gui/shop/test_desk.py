"""The desk: its own thread, a notice where it takes long, and an end that waits."""

import threading
import time
from typing import Any

import pytest
from PySide6.QtCore import Qt, QTimer
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QPushButton
from pytestqt.qtbot import QtBot

from fitplanner.store.files import StoreError
from fitplanner.store.shop import Query, Shop
from fitplanner.ui import attending as attending_module
from fitplanner.ui.attending import GivenUpError
from fitplanner.ui.shop.desk import Desk
from fitplanner.ui.waiting import Waiting
from tests.gui.shell import open_window, press
from tests.gui.shop.people import changed

# The desk.


class Slow:
    """A database behind a slow line: each call waits for its turn."""

    gone = False

    def __init__(self) -> None:
        self.go = threading.Event()
        self.calls = 0
        self.closed = False

    def count(self, query: Query | None = None) -> int:
        self.calls += 1
        assert self.go.wait(20)
        return 7

    def fail(self) -> None:
        raise StoreError("The job is not saved", "far away", "Try again.")

    def close(self) -> None:
        self.closed = True


def slow_desk(slow: Any) -> Desk:
    return Desk(opener=lambda _: slow)


def notice() -> Waiting | None:
    shown = QApplication.activeModalWidget()
    return shown if isinstance(shown, Waiting) else None


def test_what_takes_long_is_said_and_the_window_lives_on(qtbot: QtBot) -> None:
    slow = Slow()
    desk = slow_desk(slow)
    seen: list[str] = []

    def look() -> None:
        shown = notice()
        if shown is None:
            seen.append("not yet")
            return
        seen.append("shown")
        assert not shown.findChildren(QPushButton), "a save cannot be given up"
        shown.close()
        QTest.keyClick(shown, Qt.Key.Key_Escape)
        assert shown.isVisible() and desk.waiting
        with pytest.raises(GivenUpError):
            desk.wait(lambda shop: shop.count(), "while another is waited for")
        timer.stop()
        slow.go.set()

    timer = QTimer()
    timer.timeout.connect(look)
    timer.start(20)
    assert desk.wait(lambda shop: shop.count(), "Saving…") == 7
    assert seen[0] == "not yet" and seen[-1] == "shown"
    assert notice() is None and not desk.waiting
    with pytest.raises(StoreError, match="far away"):
        desk.wait(lambda _: slow.fail(), "Saving…")
    desk.close()
    assert slow.closed


def test_a_quick_answer_shows_no_notice(qtbot: QtBot, monkeypatch: pytest.MonkeyPatch) -> None:
    def never(*_: object) -> None:
        raise AssertionError("no notice was due")

    slow = Slow()
    slow.go.set()
    monkeypatch.setattr(attending_module, "Waiting", never)
    desk = slow_desk(slow)
    assert desk.wait(lambda shop: shop.count(), "…") == 7
    desk.close()


def test_reading_can_be_given_up_and_is_finished_all_the_same(
    qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(attending_module, "NOTICE_AFTER_MS", 10)
    slow = Slow()
    desk = slow_desk(slow)

    def give_up() -> None:
        shown = notice()
        if shown is not None:
            timer.stop()
            shown.findChildren(QPushButton)[0].click()

    timer = QTimer()
    timer.timeout.connect(give_up)
    timer.start(10)
    with pytest.raises(GivenUpError):
        desk.wait(lambda shop: shop.count(), "Reading…", may_give_up=True)
    QTimer.singleShot(50, slow.go.set)
    # What was given up is done first; its end is not taken for the end of this one.
    assert desk.wait(lambda shop: shop.calls, "Reading…") == 1
    desk.close()


def test_closing_waits_for_what_was_begun(qtbot: QtBot) -> None:
    slow = Slow()
    desk = slow_desk(slow)
    window = open_window(qtbot, wait=False, desk=desk)
    asker = desk.questions(window)
    asker.ask(lambda shop: shop.count())
    qtbot.waitUntil(lambda: slow.calls == 1)
    QTimer.singleShot(30, slow.go.set)
    assert window.close()
    assert slow.closed


def test_the_newest_question_is_answered(qtbot: QtBot) -> None:
    slow = Slow()
    desk = slow_desk(slow)
    asker = desk.questions()
    told: list[object] = []
    asker.answered.connect(lambda question, reply: told.append(reply.value))
    asker.ask(lambda shop: shop.count())
    for number in range(50):
        asker.ask(lambda _, number=number: number)
    slow.go.set()
    qtbot.waitUntil(lambda: not asker.busy)
    assert told == [49]
    desk.close()


@pytest.mark.expects_log
def test_a_fault_in_a_question_is_logged_and_answered(qtbot: QtBot) -> None:
    desk = slow_desk(Slow())
    asker = desk.questions()
    with qtbot.waitSignal(asker.answered) as told:
        asker.ask(lambda _: 1 / 0)
    assert isinstance(told.args[1].error, ZeroDivisionError)
    desk.close()


def test_nothing_else_is_begun_while_a_save_is_waited_for(
    qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    window = open_window(qtbot, wait=False)
    job = changed(window, ("note",), "typed")
    tried: list[object] = []

    def meanwhile() -> None:
        tried.append(window.close())
        tried.append(window.files.new())
        tried.append(window.files.save())

    real = Shop.add

    def slow_add(shop: Shop, *arguments: Any) -> Any:
        time.sleep(0.2)
        return real(shop, *arguments)

    monkeypatch.setattr(Shop, "add", slow_add)
    QTimer.singleShot(20, meanwhile)
    press(window, "save")
    assert tried == [False, False, False]
    assert window.isVisible() and window.session.job == job and not window.session.unsaved
