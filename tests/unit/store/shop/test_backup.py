"""The whole shop in one file and back, between a file and a server; who was erased stays so."""

import sqlite3
import sys
from pathlib import Path
from typing import Any

import pytest

from fitplanner import paths
from fitplanner.store.files import StoreError
from fitplanner.store.shop import ConflictError, Deed, Shop, backup, check_backup, tables
from tests import factories


def job(rider: str, **changes: Any) -> Any:
    return factories.job(rider={"name": rider}, **changes)


def content(shop: Shop) -> dict[str, list[tuple[Any, ...]]]:
    with shop.database.read("") as db:
        return {
            table.name: sorted(map(tuple, db.execute(table.select()).all())) for table in tables.ALL
        }


@pytest.fixture
def filled(shop: Shop) -> Shop:
    for rider in ("Ähra", "Bo", ""):
        kept = shop.add(job(rider, title=f"of {rider}"), "Jo")
        shop.save(kept, job(rider, title=f"again of {rider}"), "Mo")
    return shop


def test_a_backup_holds_everything_and_goes_into_either_kind(
    filled: Shop, tmp_path: Path, request: pytest.FixtureRequest
) -> None:
    made = filled.back_up(tmp_path / "backup")
    assert (made.jobs, made.riders, made.changes) == (3, 2, 6)
    assert made.newest == filled.find()[0].changed
    assert check_backup(made.path) == made
    assert [one.name for one in tmp_path.iterdir() if one.is_file()] == ["backup"]
    with Shop.open(tmp_path / "other.sqlite") as other:
        other.restore(made.path, "Jo")
        assert content(other) == content(filled)


def test_a_backup_of_a_file_goes_onto_a_server(server: Any, tmp_path: Path) -> None:
    with Shop.open(tmp_path / "shop.sqlite") as shop, server.database() as name:
        shop.add(job("Ähra"), "Jo")
        shop.back_up(tmp_path / "backup")
        with Shop.open(server.setting(name)) as other:
            other.restore(tmp_path / "backup", "Jo")
            assert content(other) == content(shop)


def test_a_backup_is_of_one_moment_while_others_save(
    filled: Shop, place: Any, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    real = backup._copy

    def copy(*arguments: Any) -> None:
        with Shop.open(place.setting) as elsewhere:
            elsewhere.add(job("Late"), "Mo")
        real(*arguments)

    with filled.database.read("") as db:
        filled_before = backup._count(db, tables.job)
    monkeypatch.setattr(backup, "_copy", copy)
    filled.find()
    with filled.database.read("") as db:
        backup._count(db, tables.job)  # the moment
        made = backup.copy_out(db, tmp_path / "backup")
    assert made.jobs == filled_before
    assert filled.count() == filled_before + 1


def test_restoring_brings_back_what_was_and_keeps_what_is(filled: Shop, tmp_path: Path) -> None:
    before = content(filled)
    filled.back_up(tmp_path / "backup")
    late = filled.add(job("Late"), "Jo")
    now = content(filled)
    safety = filled.restore(tmp_path / "backup", "Jo")
    assert content(filled) == before
    assert safety.parent == paths.shop_backups_dir()
    with pytest.raises(StoreError):
        filled.get(late.id)
    filled.restore(safety, "Jo")
    assert content(filled) == now


def test_who_has_a_job_open_is_told_that_it_was_restored(filled: Shop, tmp_path: Path) -> None:
    filled.back_up(tmp_path / "backup")
    row = filled.find()[0]
    old = filled.get(row.id)
    mine = filled.save(old, job("", title="mine"), "Jo")
    filled.restore(tmp_path / "backup", "Mo")
    with pytest.raises(ConflictError) as caught:
        filled.save(mine, job("", title="mine, more"), "Jo")
    assert caught.value.theirs.job == old.job
    change = filled.history(row.id)[0]
    assert (change.revision, change.who, change.deed) == (4, "Mo", Deed.RESTORED)
    assert change.differences == ()


def test_who_was_erased_since_the_backup_stays_erased(filled: Shop, tmp_path: Path) -> None:
    filled.back_up(tmp_path / "backup")
    (rider,) = filled.riders("ahra")
    filled.erase_rider(rider.id, "Jo")
    filled.restore(tmp_path / "backup", "Jo")
    assert filled.riders("ahra") == []
    assert "Ähra" not in str(content(filled))
    filled.back_up(tmp_path / "second")
    filled.restore(tmp_path / "second", "Jo")
    assert [row[0] for row in content(filled)["erased"]] == [rider.id]


def _damage(path: Path) -> None:
    data = bytearray(path.read_bytes())
    data[5000:9000] = b"\xff" * 4000
    path.write_bytes(data)


def _without_a_document(path: Path) -> None:
    connection = sqlite3.connect(path)
    connection.execute("DELETE FROM change WHERE revision = 2")
    connection.commit()
    connection.close()


@pytest.mark.parametrize(
    ("spoil", "mend"),
    [
        (_damage, "damaged"),
        (_without_a_document, "damaged"),
        (lambda path: path.write_bytes(b""), "no backup"),
        (lambda path: path.write_text("{}" * 500), "no database of this program"),
        (lambda path: path.unlink(), "not there"),
    ],
)
def test_a_bad_backup_is_refused_and_everything_stays(
    filled: Shop, tmp_path: Path, spoil: Any, mend: str
) -> None:
    path = tmp_path / "backup"
    filled.back_up(path)
    before = content(filled)
    spoil(path)
    with pytest.raises(StoreError, match=mend) as caught:
        check_backup(path)
    assert caught.value.where == path
    with pytest.raises(StoreError, match=mend):
        filled.restore(path, "Jo")
    assert content(filled) == before


def test_a_newer_backup_is_refused(filled: Shop, tmp_path: Path) -> None:
    filled.back_up(tmp_path / "backup")
    connection = sqlite3.connect(tmp_path / "backup")
    connection.execute("UPDATE alembic_version SET version_num = '99'")
    connection.commit()
    connection.close()
    with pytest.raises(StoreError, match="version 99"):
        filled.restore(tmp_path / "backup", "Jo")


@pytest.mark.skipif(sys.platform == "win32", reason="needs POSIX rights")
def test_a_backup_is_for_its_owner_alone(filled: Shop, tmp_path: Path) -> None:
    made = filled.back_up(tmp_path / "deeper" / "backup")
    assert made.path.stat().st_mode & 0o777 == 0o600


def test_a_backup_that_fails_leaves_the_one_before(
    filled: Shop, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "backup"
    filled.back_up(path)
    data = path.read_bytes()

    def fail(*_: Any) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(backup.os, "fsync", fail)
    with pytest.raises(StoreError, match="disk is full") as caught:
        filled.back_up(path)
    assert caught.value.where == path
    assert path.read_bytes() == data
    assert list(tmp_path.glob(".*")) == []


def test_a_restore_that_fails_changes_nothing(
    filled: Shop, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    filled.back_up(tmp_path / "backup")
    filled.add(job("Late"), "Jo")
    before = content(filled)
    real = backup._copy
    calls: list[int] = []

    def copy(*arguments: Any) -> None:
        real(*arguments)
        calls.append(1)
        if len(calls) == 2:
            raise StoreError("broken", "here", "off and on again")

    monkeypatch.setattr(backup, "_copy", copy)
    with pytest.raises(StoreError, match="broken"):
        filled.restore(tmp_path / "backup", "Jo")
    assert content(filled) == before
