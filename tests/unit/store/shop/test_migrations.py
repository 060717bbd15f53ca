"""Tables of any version come to this one with what they hold; newer or foreign ones are refused."""

import json
from datetime import UTC, datetime
from typing import Any

import pytest
from alembic.autogenerate import compare_metadata
from alembic.runtime.migration import MigrationContext
from sqlalchemy import text

from fitplanner.documents import codec
from fitplanner.store.files import StoreError
from fitplanner.store.shop import Query, Shop, migrations, tables
from fitplanner.store.shop.address import address
from fitplanner.store.shop.database import Database
from tests import factories


@pytest.fixture
def database(place: Any) -> Any:
    opened = Database(address(place.setting))
    yield opened
    opened.close()


def run(database: Database, statement: str, **values: object) -> None:
    with database.write("") as db:
        db.execute(text(statement), values)


def test_an_empty_database_gets_the_tables_that_the_program_knows(database: Database) -> None:
    migrations.bring_up(database)
    with database.read("") as db:
        assert migrations.version_of(db, "") == migrations.LATEST
        assert compare_metadata(MigrationContext.configure(db), tables.metadata) == []


def test_step_by_step_gives_the_same_tables(database: Database) -> None:
    for version in range(1, migrations.LATEST + 1):
        migrations.bring_up(database, version)
        with database.read("") as db:
            assert migrations.version_of(db, "") == version
    with database.read("") as db:
        assert compare_metadata(MigrationContext.configure(db), tables.metadata) == []


def test_version_1_with_jobs_comes_along(database: Database, place: Any) -> None:
    job = factories.job(rider={"name": "Ähra Holm", "phone": "01632 960 007"}, title="Größe")
    raw = json.loads(codec.dump(job))
    raw["schema_version"] = 1  # such as the job files of that time
    for key in ("reference", "stage", "readings", "ticks"):
        del raw[key]
    migrations.bring_up(database, 1)
    run(database, "INSERT INTO rider VALUES ('r1', 'Ähra Holm', '01632 960 007')")
    at = datetime(2031, 5, 4, 3, 2, 1)
    run(
        database,
        "INSERT INTO job VALUES ('j1', 1, 'r1', 'Ähra Holm', 'Trail bike of the tests', 'trail',"
        " 'asked', 'Größe', '', :at, :at)",
        at=at,
    )
    run(
        database,
        "INSERT INTO change VALUES ('j1', 1, 'Jo', :at, 'added', :document)",
        at=at,
        document=json.dumps(raw),
    )
    with Shop.open(place.setting) as shop:
        kept = shop.get("j1")
        assert kept.job == job
        assert kept.created == at.replace(tzinfo=UTC)
        assert [row.id for row in shop.find(Query(words="ahra GROSSE trail"))] == ["j1"]
        assert [one.id for one in shop.riders("960007")] == ["r1"]
        saved = shop.save(kept, job.replace(note="on"), "Mo")
        assert [one.address for one in shop.history("j1")[0].differences] == [("note",)]
        assert shop.erase_rider("r1", "Jo") == 1
        assert shop.get("j1").revision == saved.revision + 1


def test_a_step_that_fails_leaves_the_old_version_whole(
    database: Database, place: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    migrations.bring_up(database, 1)

    def broken(op: Any) -> None:
        migrations.to_2.step(op)
        op.execute("no such statement")

    monkeypatch.setattr(migrations, "STEPS", (migrations.to_1.step, broken))
    with pytest.raises(StoreError):
        migrations.bring_up(database)
    monkeypatch.undo()
    with database.read("") as db:
        assert migrations.version_of(db, "") == 1
    migrations.bring_up(database)


def test_a_newer_database_is_refused_with_both_versions(database: Database, place: Any) -> None:
    migrations.bring_up(database)
    run(database, "UPDATE alembic_version SET version_num = '7'")
    with pytest.raises(StoreError, match=rf"version 7.* up to {migrations.LATEST};"):
        Shop.open(place.setting)
    with database.read("") as db:
        assert db.execute(text("SELECT version_num FROM alembic_version")).scalar() == "7"


@pytest.mark.parametrize(
    "foreign",
    ["CREATE TABLE job (id INTEGER)", "CREATE TABLE alembic_version (version_num VARCHAR(32))"],
)
def test_a_database_of_another_program_is_refused(
    database: Database, place: Any, foreign: str
) -> None:
    run(database, foreign)
    if "alembic" in foreign:
        run(database, "INSERT INTO alembic_version VALUES ('3f2a9c')")
    with pytest.raises(StoreError, match="another program"):
        Shop.open(place.setting)
