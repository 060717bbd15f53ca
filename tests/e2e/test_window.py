"""The whole program, started as a user starts it."""

import json
import struct
from pathlib import Path

import pytest

from fitplanner import paths
from fitplanner.store.files import open_job
from tests.e2e.starting import environment, keep, run, tell

pytestmark = [pytest.mark.e2e, pytest.mark.slow]


def test_a_lighter_rider_is_planned_shown_in_inches_and_saved(
    xvfb_display: str, tmp_path: Path
) -> None:
    code, seen = tell("window_story", "lower_a_machine", tmp_path, tmp_path / "home", xvfb_display)
    keep(tmp_path)
    assert code == 0, seen
    assert seen["before"] != seen["metric"]
    assert any(" mm" in text for text in seen["metric"])
    assert any(" in" in text for text in seen["inches"])
    assert not any(" mm" in text for text in seen["inches"])
    assert "light-rider.fit.json" in seen["title"]
    saved = open_job(tmp_path / "light-rider.fit.json")
    assert saved.rider.mass_kg == 52.5
    example = open_job(paths.resources() / "demo.fit.json")
    assert saved == example.replace(rider=example.rider.replace(mass_kg=52.5))


def test_a_shop_asks_who_reaches_a_machine(xvfb_display: str, tmp_path: Path) -> None:
    home = tmp_path / "home"
    code, seen = tell("window_story", "ask_who_reaches", tmp_path, home, xvfb_display)
    keep(tmp_path)
    assert code == 0, seen

    def women(sentence: str) -> int:
        return int(sentence.split("Of 100 women ")[1].split()[0])

    assert "balls of both feet" in seen["before"] and "both feet flat" in seen["flat"]
    assert women(seen["flat"]) < women(seen["before"])
    assert [row[0] for row in seen["rows"]] == [chr(65 + n) for n in range(len(seen["rows"]))]
    assert seen["picture"] == [1800, 1350]


def test_work_is_found_again_after_a_crash(xvfb_display: str, tmp_path: Path) -> None:
    home = tmp_path / "home"
    code, seen = tell("window_story", "work_without_saving", tmp_path, home, xvfb_display)
    assert code == 9, seen
    code, seen = tell("window_story", "find_the_work_again", tmp_path, home, xvfb_display)
    keep(tmp_path)
    assert code == 0, seen
    assert "unsaved work" in seen["question"]
    assert seen["mass"] == "61" and seen["modified"]
    assert "Save the changes" in seen["at_the_end"]
    assert not any(home.glob("autosave*.json"))


def test_without_a_display_the_plan_is_printed_and_written(tmp_path: Path) -> None:
    done = run(
        "-m", "fitplanner", "--unattended", "--output", str(tmp_path / "out"),
        environ=environment(tmp_path / "home"),
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    assert done.stderr == ""
    picture, plan = tmp_path / "out" / "window.png", tmp_path / "out" / "plan.json"
    assert f"Written: {picture}" in done.stdout and f"Written: {plan}" in done.stdout
    # The size stands in the picture's first chunk (PNG specification, 11.2.2).
    assert struct.unpack(">II", picture.read_bytes()[16:24]) == (1280, 800)
    assert json.loads(plan.read_text("utf-8"))["format"] == "fitplanner-plan"
    example = open_job(paths.resources() / "demo.fit.json")
    assert example.machine.name in done.stdout
    assert not any((tmp_path / "home").glob("*.sqlite*"))


@pytest.mark.parametrize(
    ("name", "content", "said"),
    [("gone.fit.json", None, "gone.fit.json"), ("bad.fit.json", "{", "bad.fit.json")],
)
def test_a_file_that_cannot_be_planned_is_told(
    tmp_path: Path, name: str, content: str | None, said: str
) -> None:
    if content is not None:
        (tmp_path / name).write_text(content)
    done = run(
        "-m", "fitplanner", "--unattended", str(tmp_path / name),
        environ=environment(tmp_path / "home"),
    )  # fmt: skip
    assert done.returncode == 2 and said in done.stderr
    assert "Traceback" not in done.stderr


def test_a_verb_needs_no_window_system(tmp_path: Path) -> None:
    program = (
        "import sys; from fitplanner.__main__ import main; code = main(sys.argv[1:]);"
        "print(sorted({name.split('.')[0] for name in sys.modules} & {'PySide6', 'pyqtgraph'}));"
        "sys.exit(code)"
    )
    demo = str(paths.resources() / "demo.fit.json")
    done = run("-c", program, "plan", demo, environ=environment(tmp_path / "home"))
    assert done.returncode == 0, done.stderr
    assert done.stdout.splitlines()[-1] == "[]"
