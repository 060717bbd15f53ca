"""Set-up from a bare Python, and what the built package holds."""

import importlib.util
import json
import os
import re
import subprocess
import sys
import tomllib
import venv
from pathlib import Path
from types import ModuleType
from typing import Any
from unittest.mock import MagicMock

import pytest
from packaging.requirements import Requirement

from fitplanner.store.shop.address import address

ROOT = Path(__file__).resolve().parents[2]


def script(name: str, monkeypatch: pytest.MonkeyPatch) -> ModuleType:
    """One of the scripts, which lie in a folder that is no package."""
    monkeypatch.syspath_prepend(str(ROOT / "packaging"))
    spec = importlib.util.spec_from_file_location(name, ROOT / "packaging" / f"{name}.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


@pytest.fixture
def setup_env(monkeypatch: pytest.MonkeyPatch) -> ModuleType:
    return script("setup_env", monkeypatch)


@pytest.fixture
def start(monkeypatch: pytest.MonkeyPatch) -> ModuleType:
    return script("start", monkeypatch)


def locked(name: str) -> dict[str, int]:
    """Requirement line to its number of hashes."""
    text = (ROOT / "packaging" / "lock" / name).read_text(encoding="utf-8").replace("\\\n", " ")
    lines = [line for line in text.splitlines() if line and not line.startswith("--")]
    return {re.split(r"\s+--hash", line)[0].strip(): line.count("--hash=sha256:") for line in lines}


@pytest.mark.parametrize("name", ["runtime.txt", "test.txt"])
def test_locks_pin_and_hash_everything_and_name_no_place(name):
    requirements = locked(name)
    assert all(hashes >= 1 for hashes in requirements.values())
    for requirement in map(Requirement, requirements):
        assert re.fullmatch(r"==[^,*]+", str(requirement.specifier)), requirement
    text = (ROOT / "packaging" / "lock" / name).read_text(encoding="utf-8")
    assert "://" not in text
    assert "/" not in text
    assert "index" not in text


def test_one_environment_serves_program_and_tests():
    test = set(locked("test.txt"))
    # A test's own wish may widen where a package is needed, never which version.
    for pin in locked("runtime.txt"):
        assert pin in test or pin.partition(";")[0].strip() in test, pin


def test_locks_answer_the_declared_dependencies():
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    declared = {
        "runtime.txt": project["dependencies"],
        "test.txt": project["dependencies"] + project["optional-dependencies"]["test"],
    }
    for name, texts in declared.items():
        for version in ("3.11", "3.12", "3.14"):
            environment = {"python_version": version, "python_full_version": version + ".0"}
            pins: dict[str, str] = {}
            for pin in map(Requirement, locked(name)):
                if pin.marker is None or pin.marker.evaluate(environment):
                    assert pin.name not in pins, "two versions for one Python"
                    pins[pin.name] = next(iter(pin.specifier)).version
            for wanted in map(Requirement, texts):
                if wanted.marker is None or wanted.marker.evaluate(environment):
                    assert wanted.specifier.contains(pins[wanted.name.lower()]), wanted


def test_qt_is_locked_for_every_platform_that_has_it():
    # The project publishes a wheel each for Windows and Linux on x86-64 and ARM, and for macOS.
    pins = {pin: n for pin, n in locked("runtime.txt").items() if pin.startswith("pyside6")}
    assert len(pins) == 2
    assert all(hashes >= 5 for hashes in pins.values())


def test_scripts_run_on_the_standard_library_alone():
    names = {"setup_env", "start", "check"}
    for name in names:
        text = (ROOT / "packaging" / f"{name}.py").read_text(encoding="utf-8")
        imported = set(re.findall(r"^(?:import|from) (\w+)", text, re.MULTILINE))
        assert imported <= set(sys.stdlib_module_names) | names


@pytest.mark.parametrize(
    ("arguments", "display", "expected"),
    [
        ([], True, []),
        (["job.json"], True, ["job.json"]),
        ([], False, ["--unattended"]),
        (["pyproject.toml"], False, ["--unattended", "pyproject.toml"]),
        (["--units", "us"], False, ["--unattended", "--units", "us"]),
        (["plan", "job.json"], False, ["plan", "job.json"]),
    ],
)
def test_only_a_window_that_cannot_be_shown_is_replaced(
    start, monkeypatch, arguments, display, expected
):
    monkeypatch.chdir(ROOT)
    assert start.program_arguments(arguments, display) == expected


@pytest.mark.parametrize(
    ("environ", "expected"),
    [
        ({}, False),
        ({"DISPLAY": ""}, False),
        ({"DISPLAY": ":0"}, True),
        ({"WAYLAND_DISPLAY": "wayland-0"}, True),
        ({"DISPLAY": ":0", "QT_QPA_PLATFORM": "offscreen"}, False),
        ({"QT_QPA_PLATFORM": "vnc"}, True),
    ],
)
def test_a_display_is_missed_only_on_linux(setup_env, monkeypatch, environ, expected):
    monkeypatch.setattr(sys, "platform", "linux")
    assert setup_env.has_display(environ) is expected
    monkeypatch.setattr(sys, "platform", "win32")
    assert setup_env.has_display(environ)


@pytest.mark.parametrize(
    ("version", "suits"),
    [((3, 6), False), ((3, 10), False), ((3, 11, 2), True), ((3, 15), True), ((3, 16), False)],
)
def test_pythons_that_suit(setup_env, version, suits):
    assert setup_env.suits(version) is suits


def test_the_newest_python_that_really_starts_is_taken(setup_env, monkeypatch):
    commands = [command[0] for command in setup_env.candidates()]
    assert commands.index("python3.13") < commands.index("python3.12") < commands.index("python3")
    monkeypatch.setattr(setup_env.shutil, "which", lambda name: None)
    assert setup_env.interpreter(["python3.13"]) == ""
    monkeypatch.setattr(setup_env.shutil, "which", lambda name: sys.executable)
    assert setup_env.interpreter(["python3"]) == sys.executable
    # A name on the path that starts no Python, as version managers leave behind.
    assert setup_env.interpreter(["python3", "-c", "raise SystemExit(127)"]) == ""


def test_too_old_and_no_other_is_refused_with_both_versions(setup_env, monkeypatch):
    monkeypatch.setattr(setup_env, "suits", lambda version: False)
    with pytest.raises(setup_env.SetupError) as refusal:
        setup_env.require_python()
    assert "3.11" in str(refusal.value)
    assert "{}.{}".format(*sys.version_info[:2]) in str(refusal.value)


@pytest.fixture
def small_venv(tmp_path: Path) -> Path:
    venv.create(tmp_path / "env", with_pip=False, symlinks=os.name != "nt")
    return tmp_path / "env"


def test_a_stamp_holds_until_lock_or_python_changes(setup_env, monkeypatch, small_venv, tmp_path):
    lock = tmp_path / "packaging" / "lock" / "runtime.txt"
    lock.parent.mkdir(parents=True)
    lock.write_text("one")
    monkeypatch.setattr(setup_env, "ROOT", tmp_path)

    first = setup_env.fingerprint("runtime", small_venv)
    assert not setup_env.stamp_holds("runtime", first, small_venv)
    setup_env.write_stamp("runtime", first, small_venv)
    assert setup_env.stamp_holds(
        "runtime", setup_env.fingerprint("runtime", small_venv), small_venv
    )

    lock.write_text("two")
    assert not setup_env.stamp_holds(
        "runtime", setup_env.fingerprint("runtime", small_venv), small_venv
    )
    lock.write_text("one")
    settings = small_venv / "pyvenv.cfg"
    settings.write_text(re.sub("home = .*", f"home = {tmp_path / 'gone'}", settings.read_text()))
    assert setup_env.fingerprint("runtime", small_venv) == ""
    assert not setup_env.stamp_holds("runtime", "", small_venv)


def test_a_later_start_runs_nothing(setup_env, monkeypatch):
    monkeypatch.setattr(setup_env, "stamp_holds", lambda *_: True)
    monkeypatch.setattr(setup_env, "subprocess", None)
    monkeypatch.setattr(setup_env, "ctypes", None)
    setup_env.ensure(window=True, tests=True)


def test_missing_libraries_name_each_package_once(setup_env):
    libraries = {"libnone-a.so.1": "libnone", "libnone-b.so.1": "libnone", "libnone.so": "liba"}
    assert setup_env.missing_packages(libraries) == ["liba", "libnone"]
    assert setup_env.missing_packages({}) == []


@pytest.mark.skipif(os.name == "nt", reason="user ids are a matter of Unix")
def test_only_root_on_debian_installs_and_others_are_told_the_command(setup_env, monkeypatch):
    ran: list[list[str]] = []
    monkeypatch.setattr(setup_env, "run_quietly", lambda command, _: not ran.append(command))
    monkeypatch.setattr(setup_env.shutil, "which", lambda name: "/usr/bin/" + name)
    monkeypatch.setattr(os, "geteuid", lambda: 1000)
    command = "apt-get install -y --no-install-recommends liba libb"
    with pytest.raises(setup_env.SetupError, match=command):
        setup_env.require_packages(["liba", "libb"], "Qt")
    assert ran == []

    monkeypatch.setattr(os, "geteuid", lambda: 0)
    setup_env.require_packages(["liba", "libb"], "Qt")
    assert ran == [["apt-get", "update"], command.split()]

    monkeypatch.setattr(setup_env.shutil, "which", lambda name: None)
    with pytest.raises(setup_env.SetupError, match="liba libb"):
        setup_env.require_packages(["liba", "libb"], "Qt")


def bundled() -> dict[str, Any]:
    """What the recipe of the bundle asks for."""
    asked: dict[str, Any] = {}

    def analysis(scripts: list[str], **wanted: Any) -> MagicMock:
        asked.update(wanted, scripts=scripts)
        return MagicMock()

    file = ROOT / "packaging" / "fitplanner.spec"
    names = {"SPECPATH": str(file.parent), "Analysis": analysis}
    unasked = dict.fromkeys(("EXE", "PYZ", "COLLECT"), MagicMock())
    exec(compile(file.read_text("utf-8"), str(file), "exec"), {**names, **unasked})
    return asked


def test_the_bundle_has_the_resources_and_what_is_loaded_by_name():
    asked = bundled()
    assert all(Path(script).is_file() for script in asked["scripts"])
    ((tree, inside),) = asked["datas"]
    # Where `paths.resources` looks first.
    assert (Path(tree), inside) == (ROOT / "resources", "fitplanner/resources")
    assert (Path(tree) / "shop" / "demo-shop.json").is_file()
    hidden = set(asked["hiddenimports"])
    assert all(importlib.util.find_spec(name) for name in hidden)
    for setting in ("", "workshop-pc/jobs"):
        url = address(setting).url
        dialect = url.get_dialect()
        assert dialect.__module__.rpartition(".")[0] in hidden
        assert url.get_backend_name() == "sqlite" or dialect.__module__ in hidden
    assert not set(asked["excludes"]) & {name.partition(".")[0] for name in hidden}


def test_nothing_that_is_left_out_of_the_bundle_is_loaded_by_the_program():
    """Every third-party package that the rooms name."""
    named: set[str] = set()
    for file in (ROOT / "fitplanner").rglob("*.py"):
        text = file.read_text(encoding="utf-8")
        named |= set(re.findall(r"^\s*(?:import|from) (\w+)", text, re.MULTILINE))
    assert not named & set(bundled()["excludes"])


@pytest.mark.slow
def test_an_installed_wheel_finds_every_resource(tmp_path):
    def run(*command: str, **environ: str) -> str:
        return subprocess.run(
            [sys.executable, *command],
            cwd=ROOT if "hatchling" in command else tmp_path,
            env={**os.environ, **environ},
            check=True,
            capture_output=True,
            text=True,
        ).stdout

    run("-m", "hatchling", "build", "--target", "wheel", "--directory", str(tmp_path / "dist"))
    (wheel,) = (tmp_path / "dist").glob("fitplanner-*.whl")
    site = tmp_path / "site"
    pip = ["-m", "pip", "install", "--quiet", "--no-deps", "--no-index", "--target", str(site)]
    run(*pip, str(wheel))
    ask = (
        "import json; from fitplanner.paths import resources as r; "
        "print(json.dumps([str(r()), *sorted(p.relative_to(r()).as_posix() "
        "for p in r().rglob('*') if p.is_file())]))"
    )
    folder, *found = json.loads(run("-P", "-c", ask, PYTHONPATH=str(site)))
    assert Path(folder) == (site / "fitplanner" / "resources").resolve()
    tree = ROOT / "resources"
    assert found == sorted(p.relative_to(tree).as_posix() for p in tree.rglob("*") if p.is_file())
