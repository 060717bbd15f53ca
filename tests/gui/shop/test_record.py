"""The record over the shop's own jobs: read part by part, from the database that is shown."""

import pytest
from pytestqt.qtbot import QtBot

from fitplanner.documents.bench import Stage
from fitplanner.store.shop import Shop
from fitplanner.ui.record.window import RecordWindow
from fitplanner.ui.shop import closed
from fitplanner.ui.shop.desk import Desk
from tests import factories
from tests.gui.shell import open_window


def test_closed_jobs_come_in_parts_and_each_once(
    qapp: object, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(closed, "_AT_ONCE", 2)
    with Shop.open() as shop:
        for number, stage in enumerate(Stage):
            shop.add(factories.job(title=f"job {number}", stage=stage), "Jo")
        for number in range(3):
            shop.add(factories.job(title=f"more {number}", stage=Stage.HANDED_OVER), "Jo")
    desk = Desk()
    try:
        titles = [job.title for job in closed.closed_jobs(desk)]
    finally:
        desk.close()
    assert sorted(titles) == ["job 5", "job 6", "more 0", "more 1", "more 2"]


def test_the_record_shows_the_invented_shop_s_closed_jobs(qtbot: QtBot) -> None:
    window = open_window(qtbot)
    window.desk.visit("Opening")
    window.commands["record"].trigger()
    record = window.side.record
    assert isinstance(record, RecordWindow)
    qtbot.waitUntil(lambda: not record.reader.busy, timeout=60_000)
    assert record._answer is not None and not record._answer.problem
    assert len(record._answer.past.jobs) == 12


def test_a_shop_out_of_reach_is_told_in_the_record(qtbot: QtBot) -> None:
    window = open_window(qtbot)
    window.desk._setting = "nowhere.invalid:1/none"
    window.commands["record"].trigger()
    record = window.side.record
    assert record is not None
    qtbot.waitUntil(lambda: not record.reader.busy, timeout=30_000)
    assert "could not be read" in record.notice.text()
