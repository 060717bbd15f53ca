"""The session: what is unsaved, who is told, and that a refusal changes nothing."""

from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

import pytest

from fitplanner.documents.errors import DocumentError
from fitplanner.documents.job import Job
from fitplanner.session.edits import Edit
from fitplanner.session.session import Session
from fitplanner.store.files import StoreError, open_job, save_job
from fitplanner.store.shop.records import Kept
from tests import factories

LIGHTER = Edit(("rider", "mass_kg"), 55.0)


@pytest.fixture
def session() -> Session:
    return Session(factories.job())


def test_an_edit_makes_the_job_unsaved_and_taking_it_back_saved(session: Session) -> None:
    seen: list[bool] = []
    session.subscribe(lambda _: seen.append(session.unsaved))
    before = session.job
    session.apply(LIGHTER)
    after = session.job
    assert after.rider.mass_kg == 55.0
    session.set_job(before)
    session.set_job(after)
    session.apply(Edit(LIGHTER.address, 75.0))
    assert seen == [True, False, True, False]


def test_a_refused_edit_changes_nothing_and_tells_nobody(session: Session) -> None:
    told: list[Job] = []
    session.subscribe(told.append)
    before = session.job
    with pytest.raises(DocumentError, match="Body mass"):
        session.apply(Edit(("rider", "mass_kg"), 7500.0))
    assert session.job is before
    assert not session.unsaved
    assert told == []


def test_listeners_are_told_until_they_end_it(session: Session) -> None:
    first: list[Job] = []
    second: list[Job] = []
    end_first = session.subscribe(first.append)
    session.subscribe(second.append)
    session.apply(LIGHTER)
    end_first()
    end_first()
    session.set_job(session.job)
    session.change_machine(factories.machine_profile(id="other"))
    assert [job.machine.id for job in first] == ["trail-bike"]
    assert [job.machine.id for job in second] == ["trail-bike", "other"]


def test_a_listener_may_end_another_while_it_is_told(session: Session) -> None:
    told: list[Job] = []
    ends: list[Callable[[], None]] = []
    session.subscribe(lambda _: ends[0]())
    ends.append(session.subscribe(told.append))
    session.apply(LIGHTER)
    assert told == []


def test_save_and_open(session: Session, tmp_path: Path) -> None:
    path = tmp_path / "a.fit.json"
    with pytest.raises(ValueError, match="needs a path"):
        session.save()
    session.apply(LIGHTER)
    session.save(path)
    assert (session.path, session.unsaved) == (path, False)
    session.apply(Edit(("title",), "second"))
    session.save()
    assert open_job(path) == session.job

    other = tmp_path / "b.fit.json"
    save_job(factories.job(title="other"), other)
    session.open(other)
    assert (session.job.title, session.path, session.unsaved) == ("other", other, False)


def test_a_failed_save_or_open_keeps_the_job(session: Session, tmp_path: Path) -> None:
    session.apply(LIGHTER)
    job = session.job
    (tmp_path / "file").write_text("", encoding="utf-8")
    with pytest.raises(StoreError):
        session.save(tmp_path / "file" / "a.fit.json")
    with pytest.raises(StoreError):
        session.open(tmp_path / "gone.fit.json")
    with pytest.raises(DocumentError):
        session.open(tmp_path / "file")
    assert (session.job, session.path, session.unsaved) == (job, None, True)


def test_recovered_work_is_unsaved(session: Session, tmp_path: Path) -> None:
    path = tmp_path / "a.fit.json"
    session.start(factories.job(title="recovered"), path, unsaved=True)
    assert session.unsaved
    session.save()
    assert open_job(path).title == "recovered"
    assert session.path == path


def test_a_job_is_kept_in_the_shop_or_in_a_file_not_in_both(
    session: Session, tmp_path: Path
) -> None:
    at = datetime(2026, 3, 1, tzinfo=UTC)
    told: list[bool] = []
    session.subscribe(lambda _: told.append(session.unsaved))
    session.save(tmp_path / "a.fit.json")
    session.apply(LIGHTER)
    kept = Kept("a" * 32, 1, session.job, None, at, at, "Maud")
    session.mark_saved(kept)
    assert (session.path, session.kept, session.unsaved) == (None, kept, False)
    session.apply(Edit(("title",), "more"))
    assert session.unsaved and session.kept is kept
    assert told == [False, True, False, True]
    session.save(tmp_path / "b.fit.json")
    assert (session.path, session.kept) == (tmp_path / "b.fit.json", None)
    session.start(kept.job, kept=kept)
    assert (session.path, session.kept, session.unsaved) == (None, kept, False)
    session.start(factories.job(title="an old version"), kept=kept, unsaved=True)
    assert session.unsaved
    session.open(tmp_path / "b.fit.json")
    assert session.kept is None


def test_what_was_changed_since_the_saving_began_is_unsaved(session: Session) -> None:
    at = datetime(2026, 3, 1, tzinfo=UTC)
    sent = session.job
    session.apply(LIGHTER)
    session.mark_saved(Kept("a" * 32, 1, sent, None, at, at, ""))
    assert session.unsaved
