"""Writes packaging/lock/*.txt anew from pyproject.toml, for every platform and Python at once.

For developers: run it with a Python that has uv (``pip install uv``). The locks name exact
versions and the hash of every file that may be installed, never where it is fetched from.
"""

import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
LOCKS = ROOT / "packaging" / "lock"


def compile_lock(name: str, *options: str) -> None:
    """Resolve pyproject.toml into the lock called ``name``; raises when uv finds no solution."""
    fixed = ["--universal", "--python-version", "3.11", "--generate-hashes", "--upgrade"]
    quiet = ["--no-emit-index-url", "--no-emit-find-links", "--no-annotate", "--no-header"]
    target = LOCKS / name
    command = [sys.executable, "-m", "uv", "pip", "compile", *fixed, *quiet, *options]
    subprocess.run(
        [*command, "--quiet", "--output-file", target.as_posix(), "pyproject.toml"],
        cwd=ROOT,
        check=True,
    )


if __name__ == "__main__":
    LOCKS.mkdir(exist_ok=True)
    compile_lock("runtime.txt", "--only-binary", ":all:")
    # The test lock holds the runtime versions too, so that one environment serves both.
    compile_lock("test.txt", "--extra", "test", "--constraint", "packaging/lock/runtime.txt")
    # What a user installs is never built on the spot: that would need compilers.
    runtime = LOCKS / "runtime.txt"
    runtime.write_text("--only-binary :all:\n" + runtime.read_text("utf-8"), "utf-8")
