"""The command line as a user calls it: output, exit codes, and no Qt."""

import json
import subprocess
import sys
from pathlib import Path

import pytest

from fitplanner import paths
from fitplanner.cli import main
from fitplanner.documents import codec
from fitplanner.planning.plan import STATE_NAMES
from tests.factories import job, machine_profile

STATE_KEYS = {
    "seat_height_mm",
    "fork_compression_mm",
    "rear_compression_mm",
    "pitch_deg",
    "rake_deg",
    "trail_mm",
    "wheelbase_mm",
    "front_load_n",
    "rear_load_n",
}


def saved(tmp_path: Path, **changes: object) -> str:
    path = tmp_path / "job.fit.json"
    path.write_text(codec.dump(job(**changes)), encoding="utf-8")
    return str(path)


def test_plan_as_json_has_every_state(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["plan", saved(tmp_path), "--json"]) == 0
    plan = json.loads(capsys.readouterr().out)
    assert (plan["format"], plan["version"]) == ("fitplanner-plan", 1)
    for machine in ("stock", "planned"):
        assert tuple(plan["states"][machine]) == STATE_NAMES
        for name, state in plan["states"][machine].items():
            assert set(state) >= STATE_KEYS
            assert ("lean_deg" in state) == (name == "parked")
    order = list(plan)
    for earlier, later in zip(
        ("states", "requirement", "split", "springs", "consequences"),
        ("requirement", "split", "springs", "consequences", "checks"),
        strict=True,
    ):
        assert order.index(earlier) < order.index(later)


def test_sentences_in_json_carry_plain_figures(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    main(["plan", saved(tmp_path), "--json"])
    assert "{length|" not in capsys.readouterr().out


@pytest.mark.parametrize(("units", "unit"), [("metric", " mm"), ("inch", " in")])
def test_plan_as_text(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], units: str, unit: str
) -> None:
    assert main(["plan", saved(tmp_path), "--units", units]) == 0
    text = capsys.readouterr().out
    assert "On its wheels" in text
    assert "Cautions" in text
    assert unit in text
    assert "{" not in text


def test_a_stop_check_gives_exit_code_1(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["plan", saved(tmp_path, rider={"mass_kg": 190.0})]) == 1
    assert "stop: " in capsys.readouterr().out


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("{", "damaged at line 1"),
        (None, "job.fit.json"),
        ('{"format": "fitplanner-job", "schema_version": 99}', "99"),
    ],
)
def test_bad_input_gives_exit_code_2_and_names_what(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], text: str | None, told: str
) -> None:
    path = tmp_path / "job.fit.json"
    if text is not None:
        path.write_text(text, encoding="utf-8")
    assert main(["plan", str(path)]) == 2
    out = capsys.readouterr()
    assert told in out.err
    assert "job.fit.json" in out.err
    assert not out.out


def test_unfinished_rider_gives_exit_code_2_and_names_the_entry(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = saved(tmp_path, rider={"mass_kg": None})
    assert main(["plan", path]) == 2
    assert "body mass" in capsys.readouterr().err


def test_wrong_figure_is_named_with_its_mend(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    raw = json.loads(codec.dump(job()))
    raw["machine"]["catalogue"]["seat_height_mm"]["value"] = 36.5
    path = tmp_path / "job.fit.json"
    path.write_text(json.dumps(raw), encoding="utf-8")
    assert main(["plan", str(path)]) == 2
    message = capsys.readouterr().err
    assert "Seat height" in message
    assert "400 mm" in message


@pytest.mark.parametrize("document", ["job", "machine", "rules"])
def test_schema_describes_the_files(capsys: pytest.CaptureFixture[str], document: str) -> None:
    assert main(["schema", document]) == 0
    schema = json.loads(capsys.readouterr().out)
    assert schema["type"] == "object"
    assert "schema_version" in schema["properties"]


def test_check_profile(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    clean = next(iter(sorted((paths.resources() / "profiles").glob("*.json"))))
    assert main(["check-profile", str(clean)]) == 0
    slip = tmp_path / "slip.json"
    profile = machine_profile(rear={"spring_rate_n_mm": 310.0})
    slip.write_text(codec.dump(profile), encoding="utf-8")
    capsys.readouterr()
    assert main(["check-profile", str(slip)]) == 1
    assert "spring" in capsys.readouterr().out.lower()
    slip.write_text(codec.dump(machine_profile(fork={"preload_mm": 0.3})), encoding="utf-8")
    assert main(["check-profile", str(slip)]) == 1
    said, _ = capsys.readouterr().out.splitlines()
    assert f"{slip}: caution: fork.preload_mm: Fork preload: 0.30 mm" in said and "inches" in said
    assert said.endswith("Likely mend: fork.preload_mm = 7.62")


def test_no_qt_and_no_pint_is_loaded(tmp_path: Path) -> None:
    code = (
        "import sys; from fitplanner.__main__ import main; "
        f"code = main(['plan', {saved(tmp_path)!r}]); "
        "bad = [m for m in sys.modules if m.split('.')[0] in ('PySide6', 'pyqtgraph', 'pint')]; "
        "assert not bad, bad; sys.exit(code)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr


def run(*words: str, **how: object) -> "subprocess.Popen[str]":
    command = [sys.executable, *words]
    root = Path(__file__).resolve().parents[2]
    return subprocess.Popen(command, cwd=root, text=True, stderr=subprocess.PIPE, **how)  # type: ignore[call-overload,no-any-return]


def test_without_its_packages_the_program_says_how_to_get_them() -> None:
    # -S: a Python without installed packages
    with run("-S", "-m", "fitplanner", "plan", "resources/demo.fit.json") as process:
        said = process.communicate()[1]
    assert process.returncode == 3
    assert "python3 packaging/start.py" in said and "Traceback" not in said


@pytest.mark.parametrize(
    "words",
    [("schema", "machine"), ("plan", "resources/demo.fit.json")],
    ids=lambda words: words[0],
)
def test_a_reader_that_has_enough_is_no_fault(words: tuple[str, ...]) -> None:
    with run("-m", "fitplanner", *words, stdout=subprocess.PIPE) as process:
        assert process.stdout is not None and process.stderr is not None
        process.stdout.close()
        assert process.stderr.read() == ""
    assert process.returncode == 0


@pytest.mark.parametrize("verb", ["plan", "check-profile"])
def test_help_tells_the_exit_codes(verb: str, capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit):
        main([verb, "--help"])
    assert "Exit codes: 0" in capsys.readouterr().out


def test_every_figure_of_a_spring_names_its_unit_in_json(
    capsys: pytest.CaptureFixture[str],
) -> None:
    main(["plan", str(paths.resources() / "demo.fit.json"), "--json"])
    plan = json.loads(capsys.readouterr().out)
    front = plan["springs"]["front"]
    assert {"ideal_rate_n_mm", "ideal_preload_mm"} <= set(front) and "ideal" not in front
    assert {"chance", "need_here_mm", "spare_mm"} <= set(plan["requirement"])


def test_rules_are_printed_with_source_and_literature(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("FITPLANNER_HOME", str(tmp_path))
    assert main(["rules"]) == 0
    printed = capsys.readouterr()
    assert "arm-length: Swing-arm length (rear.arm_length_mm)" in printed.out
    assert "Published: 42 machines" in printed.out
    assert printed.err == ""


def test_a_shop_s_rules_are_looked_for_among_the_user_s_data(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("FITPLANNER_HOME", str(tmp_path))
    rule = {"key": "seat-foam", "target": "seat.foam_mm", "says": "Ours", "source": "our floor"}
    whole = {"format": "fitplanner-rules", "schema_version": 1, "rules": [{**rule, "constant": 70}]}
    (tmp_path / "rules.json").write_text(json.dumps(whole), encoding="utf-8")
    assert main(["rules"]) == 0
    assert "  Ours.\n  Value: 70\n" in capsys.readouterr().out
    whole["rules"] = [{**rule, "constant": "thick"}]
    (tmp_path / "rules.json").write_text(json.dumps(whole), encoding="utf-8")
    assert main(["rules"]) == 1
    printed = capsys.readouterr()
    assert 'rules.json, rule "seat-foam": Constant' in printed.err
    assert "  Ours." not in printed.out


def test_a_named_file_of_rules_must_be_there(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["rules", str(tmp_path / "none.json")]) == 2
    assert "none.json" in capsys.readouterr().err
