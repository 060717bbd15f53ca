"""Runs every check of the project: ``python3 packaging/check.py [arguments for pytest]``.

Sets up what the checks need, as the start does, then lints, type-checks and tests. Ends with
1 when anything failed; the last line is pytest's own.
"""

import os
import shutil
import subprocess
import sys

import setup_env

LINT_IMPORTS = "from importlinter.cli import lint_imports_command as run; run()"
LINTS = {
    "ruff check": ["-m", "ruff", "check", "."],
    "ruff format": ["-m", "ruff", "format", "--check", "."],
    "mypy": ["-m", "mypy", "--strict", "fitplanner"],
    "lint-imports": ["-c", LINT_IMPORTS],
}
# One worker for each core; a file's tests share what they set up, so they stay together.
SPREAD = ["-n", "auto", "--dist", "loadfile"]


def run(arguments, environ):
    sys.stdout.flush()
    command = [str(setup_env.venv_python()), *arguments]
    return subprocess.call(command, cwd=str(setup_env.ROOT), env=environ) == 0


def ensure_virtual_display():
    """Xvfb, for the tests that drive a real window; without it they are skipped."""
    if not sys.platform.startswith("linux") or shutil.which("Xvfb"):
        return
    try:
        setup_env.require_packages(["xvfb"], "The tests of the whole window")
    except setup_env.SetupError as error:
        setup_env.say("{}\nUntil then these tests are skipped.".format(error))


def main(arguments):
    setup_env.ensure(window=True, tests=True)
    ensure_virtual_display()
    environ = dict(os.environ, PYTHONPATH=str(setup_env.ROOT))
    results = {}
    for name, command in LINTS.items():
        print("== {}".format(name))
        results[name] = run(command, environ)
    print("==", ", ".join(name + (" ok" if ok else " FAILED") for name, ok in results.items()))
    results["pytest"] = run(["-m", "pytest", *SPREAD, *arguments], environ)
    return 0 if all(results.values()) else 1


if __name__ == "__main__":
    try:
        sys.exit(main(sys.argv[1:]))
    except setup_env.SetupError as error:
        sys.exit(str(error))
