"""Profiles on the command line: many at once, one line a finding, a sum, codes and JSON."""

import json
import os
from pathlib import Path

import pytest

from fitplanner import paths
from fitplanner.cli import main
from fitplanner.documents import codec
from fitplanner.library.loader import load_library
from tests.factories import machine_profile

SHIPPED = paths.resources() / "profiles"
Captured = pytest.CaptureFixture[str]


def saved(folder: Path, name: str, **changes: object) -> Path:
    path = folder / f"{name}.json"
    path.write_text(codec.dump(machine_profile(id=name, **changes)), encoding="utf-8")
    return path


def clean(folder: Path) -> Path:
    source = SHIPPED / "brackwell-250.json"
    path = folder / source.name
    path.write_bytes(source.read_bytes())
    return path


def test_a_folder_of_clean_profiles(capsys: Captured) -> None:
    assert main(["check-profile", str(SHIPPED)]) == 0
    count = len(load_library().profiles)
    assert capsys.readouterr().out == f"{count} profiles: no slip found.\n"


def test_each_finding_is_a_line_with_its_file(tmp_path: Path, capsys: Captured) -> None:
    good = clean(tmp_path)
    slip = saved(tmp_path, "slip", rear={"spring_rate_n_mm": 310.0})
    assert main(["check-profile", str(good), str(slip)]) == 1
    *lines, last = capsys.readouterr().out.splitlines()
    assert lines and all(line.startswith(f"{slip}: ") for line in lines)
    assert any(": caution: rear.spring_rate_n_mm: " in line for line in lines)
    assert last == f"2 profiles: 1 clean, 1 with findings ({len(lines)}), 0 unreadable."


def test_one_that_cannot_be_read_hides_no_other(tmp_path: Path, capsys: Captured) -> None:
    slip = saved(tmp_path, "slip", rear={"spring_rate_n_mm": 310.0})
    torn = tmp_path / "torn.json"
    torn.write_text("{", encoding="utf-8")
    assert main(["check-profile", str(tmp_path), str(tmp_path / "gone.json")]) == 2
    out = capsys.readouterr().out
    assert f"{torn}: unreadable: the file is damaged at line 1" in out
    assert f"{tmp_path / 'gone.json'}: unreadable: The file cannot be read. It is not there" in out
    assert f"{slip}: caution: rear.spring_rate_n_mm: " in out
    assert out.splitlines()[-1].endswith("2 unreadable.")


def test_every_problem_of_a_file_is_a_line(tmp_path: Path, capsys: Captured) -> None:
    raw = json.loads(codec.dump(machine_profile()))
    raw["rear"]["travel_mm"]["value"] = "300"
    raw["nonsense"] = 1
    (tmp_path / "odd.json").write_text(json.dumps(raw), encoding="utf-8")
    assert main(["check-profile", str(tmp_path)]) == 2
    lines = capsys.readouterr().out.splitlines()
    assert len(lines) == 3
    assert "Rear wheel travel (rear.travel_mm.value): must be a number" in "\n".join(lines)


def test_two_profiles_of_one_id(tmp_path: Path, capsys: Captured) -> None:
    clean(tmp_path)
    twin = tmp_path / "twin.json"
    twin.write_bytes((SHIPPED / "brackwell-250.json").read_bytes())
    assert main(["check-profile", str(tmp_path)]) == 1
    out = capsys.readouterr().out
    assert f'{twin}: caution: id: The id "brackwell-250" is that of' in out


def test_json_says_the_same(tmp_path: Path, capsys: Captured) -> None:
    clean(tmp_path)
    slip = saved(tmp_path, "slip", rear={"spring_rate_n_mm": 310.0})
    (tmp_path / "torn.json").write_text("{", encoding="utf-8")
    assert main(["check-profile", "--json", str(tmp_path)]) == 2
    said = json.loads(capsys.readouterr().out)
    assert (said["format"], said["version"]) == ("fitplanner-profile-check", 1)
    files = {Path(one["file"]).name: one for one in said["files"]}
    assert list(files) == ["brackwell-250.json", "slip.json", "torn.json"]
    assert files["brackwell-250.json"]["findings"] == []
    assert (files["slip.json"]["id"], files["slip.json"]["revision"]) == ("slip", 1)
    finding = next(
        one for one in files["slip.json"]["findings"] if one["field"] == "rear.spring_rate_n_mm"
    )
    assert set(finding) == {"field", "severity", "text", "mend", "changes"}
    assert "{" not in finding["text"] + finding["mend"]
    (problem,) = files["torn.json"]["problems"]
    assert "damaged at line 1" in problem["text"]
    assert said["summary"] == {
        "files": 3,
        "clean": 1,
        "with_findings": 1,
        "findings": len(files["slip.json"]["findings"]),
        "unreadable": 1,
    }
    assert str(slip) in [one["file"] for one in said["files"]]


def test_units(tmp_path: Path, capsys: Captured) -> None:
    slip = saved(tmp_path, "slip", rear={"spring_rate_n_mm": 310.0})
    main(["check-profile", "--units", "inch", str(slip)])
    out = capsys.readouterr().out
    assert "lbf/in" in out and "N/mm" not in out


@pytest.mark.skipif(os.name != "posix", reason="names that only POSIX has")
def test_a_file_name_cannot_play_with_the_terminal(tmp_path: Path, capsys: Captured) -> None:
    path = tmp_path / "a\x1b[31m\udcff\u202eb.json"
    path.write_text("{", encoding="utf-8")
    assert main(["check-profile", str(tmp_path)]) == 2
    out = capsys.readouterr().out
    assert "\x1b" not in out and "\u202e" not in out
    assert "a(U+001B)[31m(U+DCFF)(U+202E)b.json: unreadable" in out


def test_an_empty_folder_is_told(tmp_path: Path, capsys: Captured) -> None:
    assert main(["check-profile", str(tmp_path)]) == 2
    assert "The folder holds no profile" in capsys.readouterr().out


OLD = Path(__file__).parents[1] / "files" / "job-version-1.fit.json"


def old_profile(folder: Path) -> Path:
    """A profile of version 1, out of a job of that time."""
    raw = json.loads(OLD.read_text(encoding="utf-8"))["machine"]
    assert raw["schema_version"] == 1
    path = folder / "old.json"
    path.write_text(json.dumps(raw), encoding="utf-8")
    return path


def test_an_old_profile_is_brought_to_the_present_version(tmp_path: Path, capsys: Captured) -> None:
    path = old_profile(tmp_path)
    before = path.read_bytes()
    assert main(["migrate-profile", str(path)]) == 0
    out = capsys.readouterr().out
    assert codec.load_machine(out) == codec.load_machine(before.decode())
    assert json.loads(out)["schema_version"] == codec.MACHINE.version
    assert path.read_bytes() == before
    assert main(["migrate-profile", "--in-place", str(path)]) == 0
    assert path.read_text(encoding="utf-8") == out
    assert [one.name for one in tmp_path.iterdir()] == ["old.json"]


def test_migrating_refuses_in_words_and_leaves_files_alone(
    tmp_path: Path, capsys: Captured
) -> None:
    old, torn = old_profile(tmp_path), tmp_path / "torn.json"
    torn.write_text("{", encoding="utf-8")
    assert main(["migrate-profile", str(old), str(torn)]) == 2
    assert "--in-place" in capsys.readouterr().err
    assert main(["migrate-profile", "--in-place", str(torn), str(old)]) == 2
    told = capsys.readouterr()
    assert "torn.json: the file is damaged" in told.err and "Written" in told.out
    assert torn.read_text(encoding="utf-8") == "{"


@pytest.mark.parametrize("verb", ["check-profile", "migrate-profile"])
def test_help_tells_the_exit_codes(verb: str, capsys: Captured) -> None:
    with pytest.raises(SystemExit):
        main([verb, "--help"])
    assert "Exit codes: 0" in capsys.readouterr().out
