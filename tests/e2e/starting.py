"""How the whole program is started by a test, with somebody who goes through a story or without."""

import json
import os
import subprocess
import sys
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parents[2]
ARTEFACTS = ROOT / ".artefacts"


def environment(home: Path, display: str | None = None) -> dict[str, str]:
    """What the program is started with; without a display where none is given."""
    without = {"DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM"}
    environ = {key: value for key, value in os.environ.items() if key not in without}
    environ |= {"FITPLANNER_HOME": str(home), "PYTHONPATH": str(ROOT)}
    if display is not None:
        environ |= {"DISPLAY": display, "QT_QPA_PLATFORM": "xcb"}
    return environ


def run(*arguments: str, environ: dict[str, str]) -> subprocess.CompletedProcess[str]:
    """Start Python with `arguments` and wait for its end."""
    return subprocess.run(
        [sys.executable, *arguments], env=environ, capture_output=True, text=True, timeout=120
    )


def tell(script: str, story: str, folder: Path, home: Path, display: str) -> tuple[int, Any]:
    """Have somebody go through a `story` of a `script`; the exit code, and what the story says."""
    file = Path(__file__).with_name(f"{script}.py")
    done = run(str(file), story, str(folder), environ=environment(home, display))
    assert "Traceback" not in done.stderr, done.stderr
    lines = done.stdout.strip().splitlines()
    return done.returncode, json.loads(lines[-1]) if lines else done.stderr


def keep(folder: Path) -> None:
    """Put the pictures of `folder` where they are looked at."""
    ARTEFACTS.mkdir(exist_ok=True)
    for picture in folder.glob("*.png"):
        (ARTEFACTS / picture.name).write_bytes(picture.read_bytes())
