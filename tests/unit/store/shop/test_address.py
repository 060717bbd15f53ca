"""One setting says where the jobs are, in a shop's words."""

import re
from pathlib import Path

import pytest

from fitplanner import paths
from fitplanner.store.files import StoreError
from fitplanner.store.shop.address import address


@pytest.mark.parametrize("setting", ["", "  "])
def test_nothing_set_is_the_file_in_the_users_folder(setting: str) -> None:
    found = address(setting)
    assert found.file == paths.shop_file()
    assert found.url.drivername == "sqlite"


def test_a_path_is_a_file(tmp_path: Path) -> None:
    found = address(tmp_path / "a%20b#?.sqlite")
    assert found.file == tmp_path / "a%20b#?.sqlite"
    assert found.url.database == str(found.file)


@pytest.mark.parametrize(
    ("setting", "user", "password", "host", "port", "database"),
    [
        ("workshop-pc/jobs", None, None, "workshop-pc", None, "jobs"),
        (" 10.0.0.7:5433/jobs ", None, None, "10.0.0.7", 5433, "jobs"),
        ("jo@pc/jobs", "jo", None, "pc", None, "jobs"),
        ("jo:p@ss:w/rd%41@pc:1/jobs", "jo", "p@ss:w/rd%41", "pc", 1, "jobs"),
        ("postgresql://jo:p%40ss@pc/jobs", "jo", "p@ss", "pc", None, "jobs"),
        ("postgres://pc:5432/jobs", None, None, "pc", 5432, "jobs"),
    ],
)
def test_a_server(
    setting: str, user: str, password: str, host: str, port: int, database: str
) -> None:
    url = address(setting).url
    assert url.drivername == "postgresql+psycopg"
    assert (url.username, url.password, url.host) == (user, password, host)
    assert (url.port, url.database) == (port, database)


def test_what_a_url_asks_of_the_connection_is_kept() -> None:
    assert address("postgresql://pc/jobs?sslmode=require").url.query == {"sslmode": "require"}


@pytest.mark.parametrize(
    "setting",
    [
        *("pc", "pc/", "jo:secret@pc", r"C:\jobs\shop", "pc:99999999/jobs"),
        *("postgresql://", "postgresql://pc", "postgresql://jo:secret@pc:port/jobs"),
        *("mysql://pc/jobs", "sqlite:///x"),
    ],
)
def test_anything_else_is_refused_with_how_to_write_it(setting: str) -> None:
    with pytest.raises(StoreError, match="workshop-pc/jobs") as caught:
        address(setting)
    assert "secret" not in str(caught.value)


def test_no_message_shows_a_password() -> None:
    found = address("jo:secret@pc:1/jobs")
    assert found.shown == "pc:1/jobs"
    assert not re.search("secret", repr(found))


def test_a_folder_keeps_the_jobs_in_a_file_of_its_own(tmp_path: Path) -> None:
    found = address(str(tmp_path))
    assert found.file == tmp_path / paths.shop_file().name and str(tmp_path) in found.shown


def test_what_is_not_understood_is_quoted_without_a_password() -> None:
    with pytest.raises(StoreError) as caught:
        address("jo:secret@work shop")
    assert "work shop" in str(caught.value) and "secret" not in str(caught.value)
