"""The program's start: a window, the same job unattended, or a verb of the command line.

Reads no more of the arguments than it needs to tell these three apart; Qt is imported for the
first two only.
"""

import argparse
import gc
import sys
from collections.abc import Sequence
from pathlib import Path

from fitplanner import __version__


def main(arguments: Sequence[str] | None = None) -> int:
    """Start what `arguments` ask for; returns the exit code."""
    given = list(sys.argv[1:] if arguments is None else arguments)
    try:
        return _run(given)
    except ImportError as error:
        if (error.name or "").split(".")[0] == "fitplanner":
            raise
        print(_MISSING.format(error=error), file=sys.stderr)
        return 3


_MISSING = """\
fitplanner: a package that the program needs is not installed for this Python: {error}.
Run "python3 packaging/start.py" in the program's folder first: it sets everything up, and takes
the same words as this command, for example "python3 packaging/start.py plan JOB"."""


def _run(given: list[str]) -> int:
    if given and _is_verb(given[0]):
        from fitplanner.cli import main as run_verb

        return run_verb(given)
    options = _parser().parse_args(given)
    # What is loaded now stays: collecting among it costs time and frees nothing. The window has
    # garbage collected on its own thread from its first moment on.
    gc.disable()
    if options.unattended:
        from fitplanner.ui.unattended import run_unattended

        return run_unattended(options.job, options.output)
    from fitplanner.ui.app import run_window

    return run_window(options.job)


def _is_verb(word: str) -> bool:
    """Whether the first word is one for the command line: no option, and no file."""
    return not (word.startswith("-") or word.lower().endswith(".json") or Path(word).is_file())


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="fitplanner",
        description="Plans how an off-road motorcycle is lowered to fit its rider.",
        epilog="Without a window: fitplanner plan JOB, fitplanner schema job|machine|rules, "
        "fitplanner check-profile PATH..., fitplanner migrate-profile FILE..., "
        "fitplanner rules [FILE]; each takes --help.",
    )
    parser.add_argument("job", nargs="?", type=Path, help="job file to open")
    parser.add_argument(
        "--unattended",
        action="store_true",
        help="show no window: print the plan, and write it and a picture of the window to files",
    )
    parser.add_argument(
        "--output",
        type=Path,
        metavar="FOLDER",
        help="where --unattended writes (default: a folder among the user's data)",
    )
    parser.add_argument("--version", action="version", version=__version__)
    return parser


if __name__ == "__main__":
    sys.exit(main())
