from pathlib import Path

import platformdirs
import pytest

from fitplanner import paths


def test_resources_lie_beside_the_package_in_the_source_tree():
    assert paths.resources() == Path(paths.__file__).resolve().parents[1] / "resources"


def test_resources_inside_the_package_come_first(tmp_path, monkeypatch):
    package = tmp_path / "fitplanner"
    (package / "resources").mkdir(parents=True)
    (tmp_path / "resources").mkdir()
    monkeypatch.setattr(paths, "__file__", str(package / "paths.py"))
    assert paths.resources() == (package / "resources").resolve()


def test_missing_resources_are_refused_and_both_places_named(tmp_path, monkeypatch):
    monkeypatch.setattr(paths, "__file__", str(tmp_path / "fitplanner" / "paths.py"))
    with pytest.raises(FileNotFoundError) as refusal:
        paths.resources()
    assert str(tmp_path.resolve() / "resources") in str(refusal.value)
    assert str(tmp_path.resolve() / "fitplanner" / "resources") in str(refusal.value)


def test_the_variable_moves_every_user_file(tmp_path, monkeypatch):
    monkeypatch.setenv("FITPLANNER_HOME", str(tmp_path))
    assert paths.user_data_dir() == tmp_path
    assert paths.autosave_file().parent == tmp_path
    assert paths.recent_file().parent == tmp_path
    assert paths.autosave_file() != paths.recent_file()
    assert paths.shop_file().parent == paths.invented_shop_file().parent == tmp_path
    assert paths.rules_file().parent == tmp_path
    assert paths.shop_file() != paths.invented_shop_file()
    assert list(tmp_path.iterdir()) == [], "paths names files and makes none"


@pytest.mark.parametrize("home", [None, ""])
def test_without_the_variable_the_platform_decides(home, monkeypatch):
    if home is None:
        monkeypatch.delenv("FITPLANNER_HOME")
    else:
        monkeypatch.setenv("FITPLANNER_HOME", home)
    assert paths.user_data_dir() == platformdirs.user_data_path("fitplanner", appauthor=False)


def test_a_relative_variable_does_not_follow_later_changes_of_folder(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("FITPLANNER_HOME", "mine")
    assert paths.user_data_dir() == tmp_path / "mine"
