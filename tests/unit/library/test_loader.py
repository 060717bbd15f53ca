"""The library: a broken file is reported and never hides the others."""

from pathlib import Path

import pytest

from fitplanner.documents import codec
from fitplanner.library.loader import BrokenFile, load_library
from tests import factories


@pytest.fixture
def shelf(tmp_path: Path) -> Path:
    for folder in ("profiles", "riders"):
        (tmp_path / folder).mkdir()
    for name in ("zebra", "Ant", "mule"):
        profile = factories.machine_profile(id=name.lower(), name=name)
        (tmp_path / "profiles" / f"{name}.json").write_text(codec.dump(profile), encoding="utf-8")
    (tmp_path / "riders" / "tall.json").write_text(
        codec.dump(factories.rider(name="Tall")), encoding="utf-8"
    )
    return tmp_path


def test_everything_is_listed_by_name(shelf: Path) -> None:
    library = load_library(shelf)
    assert list(library.profiles) == ["ant", "mule", "zebra"]
    assert library.riders["tall"] == factories.rider(name="Tall")
    assert library.broken == ()
    assert load_library(shelf) is library


def test_a_broken_file_is_reported_beside_the_others(shelf: Path) -> None:
    (shelf / "profiles" / "torn.json").write_text("{", encoding="utf-8")
    (shelf / "profiles" / "bytes.json").write_bytes(b"\xff")
    (shelf / "profiles" / "folder.json").mkdir()
    (shelf / "riders" / "job.json").write_text(codec.dump(factories.job()), encoding="utf-8")
    twin = factories.machine_profile(id="ant", name="Second ant")
    (shelf / "profiles" / "twin.json").write_text(codec.dump(twin), encoding="utf-8")
    library = load_library(shelf)
    assert list(library.profiles) == ["ant", "mule", "zebra"]
    assert library.profiles["ant"].name == "Ant"
    said = {one.path.name: one.message for one in library.broken}
    assert sorted(said) == ["bytes.json", "folder.json", "job.json", "torn.json", "twin.json"]
    assert "damaged at line 1" in said["torn.json"]
    assert "not a rider" in said["job.json"]
    assert 'id "ant"' in said["twin.json"]


def test_an_empty_folder_is_an_empty_library(tmp_path: Path) -> None:
    library = load_library(tmp_path)
    assert (dict(library.profiles), dict(library.riders), library.broken) == ({}, {}, ())


def test_the_shipped_library_has_no_broken_file() -> None:
    assert load_library().broken == ()


def test_the_shops_own_stand_beside_and_before_the_others(shelf: Path) -> None:
    library = load_library(shelf)
    own = {
        one.id: one
        for one in (
            factories.machine_profile(id="ant", name="Our ant"),
            factories.machine_profile(id="bee", name="Bee"),
        )
    }
    broken = (BrokenFile(shelf / "torn.json", "damaged"),)
    joined = library.with_own(own, broken)
    assert [one.name for one in joined.profiles.values()] == ["Bee", "mule", "Our ant", "zebra"]
    assert joined.profiles["ant"] == own["ant"]
    assert (joined.own, joined.replacing) == ({"ant", "bee"}, {"ant"})
    assert joined.broken == broken
    assert library.profiles["ant"].name == "Ant"


def test_invented_machines_stay_while_the_shop_has_none(tmp_path: Path) -> None:
    (tmp_path / "profiles").mkdir()
    for name, invented in (("made-up", True), ("real", False)):
        profile = factories.machine_profile(id=name, name=name, invented=invented)
        path = tmp_path / "profiles" / f"{name}.json"
        path.write_text(codec.dump(profile), encoding="utf-8")
    library = load_library(tmp_path)
    assert list(library.with_own({}, invented=False).profiles) == ["made-up", "real"]
    own = {"bee": factories.machine_profile(id="bee", name="bee", invented=True)}
    assert list(library.with_own(own, invented=False).profiles) == ["bee", "real"]
    assert list(library.with_own(own).profiles) == ["bee", "made-up", "real"]
