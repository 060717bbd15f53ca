"""Starts the program from a source tree: ``python3 packaging/start.py [arguments]``.

The first start sets up everything the program needs, the later ones go straight to it. Where
no window can be shown, the program does the same job unattended and says what it wrote.
"""

import os
import sys

import setup_env


def program_arguments(arguments, display):
    """What the program is started with: unattended where a window is wanted and cannot be shown.

    A first word that names no file is a verb of the command line, which needs no window.
    """
    verb = bool(arguments) and arguments[0][:1] != "-" and not os.path.exists(arguments[0])
    return arguments if display or verb else ["--unattended", *arguments]


def main(arguments):
    display = setup_env.has_display()
    setup_env.ensure(window=display)
    environ = dict(os.environ)
    paths = [str(setup_env.ROOT), environ.get("PYTHONPATH", "")]
    environ["PYTHONPATH"] = os.pathsep.join(path for path in paths if path)
    if not display:
        environ["QT_QPA_PLATFORM"] = "offscreen"
    program = [setup_env.venv_python(), "-P", "-m", "fitplanner"]
    setup_env.become([*program, *program_arguments(arguments, display)], environ)


if __name__ == "__main__":
    try:
        main(sys.argv[1:])
    except setup_env.SetupError as error:
        sys.exit(str(error))
