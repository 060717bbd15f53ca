"""Makes what the program runs in: a Python, ``.venv``, the locked packages, system libraries.

Standard library alone, and written for any Python 3.6 or newer, so that one that is too old
for the program can still find a newer one. What is once set up is remembered in stamps inside
``.venv``; a later start only compares them. It starts nothing itself.
"""

import ctypes
import hashlib
import importlib.util
import os
import shutil
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
VENV = ROOT / ".venv"
OLDEST = (3, 11)
NEWEST = (3, 15)  # the newest Python for which the locks hold ready-made packages

# Library that Qt loads, and the Debian package that holds it.
QT_LIBRARIES = {
    "libEGL.so.1": "libegl1",
    "libGL.so.1": "libgl1",
    "libdbus-1.so.3": "libdbus-1-3",
    "libfontconfig.so.1": "libfontconfig1",
    "libglib-2.0.so.0": "libglib2.0-0",
    "libgthread-2.0.so.0": "libglib2.0-0",
    "libxkbcommon.so.0": "libxkbcommon0",
}
WINDOW_LIBRARIES = {
    "libX11-xcb.so.1": "libx11-xcb1",
    "libxcb-cursor.so.0": "libxcb-cursor0",
    "libxcb-icccm.so.4": "libxcb-icccm4",
    "libxcb-image.so.0": "libxcb-image0",
    "libxcb-keysyms.so.1": "libxcb-keysyms1",
    "libxcb-randr.so.0": "libxcb-randr0",
    "libxcb-render-util.so.0": "libxcb-render-util0",
    "libxcb-shape.so.0": "libxcb-shape0",
    "libxcb-shm.so.0": "libxcb-shm0",
    "libxcb-sync.so.1": "libxcb-sync1",
    "libxcb-xfixes.so.0": "libxcb-xfixes0",
    "libxcb-xinerama.so.0": "libxcb-xinerama0",
    "libxcb-xkb.so.1": "libxcb-xkb1",
    "libxkbcommon-x11.so.0": "libxkbcommon-x11-0",
}


class SetupError(Exception):
    """The environment cannot be made; the message tells the user what to do."""


def say(text):
    print(text, file=sys.stderr, flush=True)


def venv_python(venv=VENV):
    """The environment's interpreter, whether it exists or not."""
    return venv / "Scripts" / "python.exe" if os.name == "nt" else venv / "bin" / "python"


def has_display(environ=os.environ):
    """Whether a window can be shown: always, except on Linux without a display server."""
    if not sys.platform.startswith("linux"):
        return True
    if environ.get("QT_QPA_PLATFORM") in ("offscreen", "minimal"):
        return False
    return any(environ.get(n) for n in ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM"))


def become(command, environ=None):
    """Run a command in place of this process; never returns."""
    command = [str(part) for part in command]
    environ = dict(os.environ if environ is None else environ)
    sys.stdout.flush()
    sys.stderr.flush()
    if os.name == "nt":  # there exec would give the prompt back at once
        sys.exit(subprocess.call(command, env=environ))
    os.execve(command[0], command, environ)


def fingerprint(lock_name, venv=VENV):
    """What a stamp must hold to be valid: the lock's content and the interpreter installed for.

    Empty when the environment or the Python it was made from is gone.
    """
    python = venv_python(venv)
    try:
        settings = (venv / "pyvenv.cfg").read_text(encoding="utf-8")
    except OSError:
        return ""
    home = next((s.split("=", 1)[1].strip() for s in settings.splitlines() if s[:4] == "home"), "")
    if not python.exists() or not os.path.isdir(home):
        return ""
    digest = hashlib.sha256(lock_file(lock_name).read_bytes())
    digest.update("\n".join((home, os.path.realpath(str(python)))).encode())
    return digest.hexdigest()


def lock_file(lock_name):
    return ROOT / "packaging" / "lock" / (lock_name + ".txt")


def stamp_holds(name, value, venv=VENV):
    """Whether a stamp was written for just this fingerprint."""
    try:
        return bool(value) and (venv / "stamps" / name).read_text(encoding="ascii") == value
    except OSError:
        return False


def write_stamp(name, value, venv=VENV):
    """Remember that what the stamp is named after was set up for this fingerprint."""
    (venv / "stamps").mkdir(exist_ok=True)
    (venv / "stamps" / name).write_text(value, encoding="ascii")


def ensure(window, tests=False):
    """Make the environment hold the locked packages and Qt's libraries; cheap when it does.

    ``window`` asks for the libraries of a real window too, ``tests`` for what the tests import.
    May start the script again under a newer Python.
    """
    locks = ["runtime", "test"] if tests else ["runtime"]
    system = "window" if window else "offscreen"
    installed = all(stamp_holds(name, fingerprint(name)) for name in locks)
    if installed and stamp_holds(system, fingerprint("runtime")):
        return
    require_python()
    if not installed:
        say("Setting up {} once; this takes a minute or two.".format(VENV))
        make_venv()
        install(lock_file(locks[-1]))  # the test lock holds the runtime lock's versions
        for name in locks:
            write_stamp(name, fingerprint(name))
    if sys.platform.startswith("linux"):
        libraries = dict(QT_LIBRARIES, **(WINDOW_LIBRARIES if window else {}))
        require_packages(missing_packages(libraries), "Qt")
    if subprocess.call([str(venv_python()), "-c", "import PySide6.QtWidgets"]) != 0:
        raise SetupError("Qt does not load on this machine; the message above says why.")
    write_stamp(system, fingerprint("runtime"))


def suits(version):
    return OLDEST <= tuple(version[:2]) <= NEWEST


def require_python():
    """Return under a Python that suits; under another, start this script again with one."""
    if suits(sys.version_info):
        return
    own = "{}.{}".format(*sys.version_info[:2])
    for command in candidates():
        path = interpreter(command)
        if path:
            say("Python {} does not suit; going on with {}.".format(own, path))
            become([path, *sys.argv])
    raise SetupError(
        "This program needs Python {}.{} to {}.{}, and found only {}. Install one from your "
        "system's packages or from python.org, then start again.".format(*OLDEST + NEWEST, own)
    )


def candidates():
    """Commands that may start a suitable Python, the newest first."""
    for minor in range(NEWEST[1], OLDEST[1] - 1, -1):
        yield ["python3.{}".format(minor)]
        if os.name == "nt":
            yield ["py", "-3.{}".format(minor)]
    yield ["python3"]
    yield ["python"]


def interpreter(command):
    """Path of the Python that a command starts, or "" when it starts none that suits."""
    program = shutil.which(command[0])
    if program is None:
        return ""
    ask = "import sys; print(sys.version_info[0], sys.version_info[1], sys.executable)"
    try:
        answer = subprocess.run(
            [program, *command[1:], "-c", ask],
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
            timeout=30,
        ).stdout.decode(errors="replace")
        major, minor, path = answer.strip().split(" ", 2)
        return path if suits((int(major), int(minor))) else ""
    except (OSError, ValueError, subprocess.SubprocessError):
        return ""


def make_venv():
    """Make ``.venv`` where it is missing or its Python or pip does not run."""
    pip = [str(venv_python()), "-m", "pip", "--version"]
    if VENV.exists():
        try:
            usable = subprocess.run(pip, stdout=subprocess.PIPE, stderr=subprocess.PIPE).stdout
        except OSError:
            usable = b""
        if usable and suits(venv_version()):
            return
    if sys.platform.startswith("linux") and importlib.util.find_spec("ensurepip") is None:
        name = "python{}.{}-venv".format(*sys.version_info[:2])
        require_packages([name], "Python's venv module")
    base = getattr(sys, "_base_executable", sys.executable)
    if subprocess.call([base, "-m", "venv", "--clear", str(VENV)]) != 0:
        raise SetupError("Python could not make {}; the message above says why.".format(VENV))


def venv_version():
    ask = "import sys; print(sys.version_info[0], sys.version_info[1])"
    answer = subprocess.run([str(venv_python()), "-c", ask], stdout=subprocess.PIPE).stdout
    return tuple(int(number) for number in answer.split())


def install(lock):
    """Install exactly what a lock names; every file must have a hash that the lock holds."""
    pip = [str(venv_python()), "-m", "pip", "install", "--disable-pip-version-check", "--no-input"]
    quiet = [] if sys.stderr.isatty() else ["--quiet"]
    options = ["--require-hashes", "--requirement", str(lock)]
    if subprocess.call(pip + quiet + options, stdout=sys.stderr) != 0:
        raise SetupError(
            "The packages could not be installed; the message above says why. Check the "
            "connection to the Python package index, then start again."
        )


def missing_packages(libraries):
    """Debian packages of those libraries that do not load here, each once, in order."""
    missing = set()
    for library, package in libraries.items():
        try:
            ctypes.CDLL(library)
        except OSError:
            missing.add(package)
    return sorted(missing)


def require_packages(packages, purpose):
    """Have system packages installed: does it on Debian as root, else names the one command."""
    if not packages:
        return
    names = " ".join(packages)
    if shutil.which("apt-get") is None:
        raise SetupError(
            "{} needs system libraries that are missing here. Install what your system calls "
            "these Debian packages, then start again:\n  {}".format(purpose, names)
        )
    update, add = "apt-get update", "apt-get install -y --no-install-recommends " + names
    if os.geteuid() == 0:
        say("Installing for {}: {}".format(purpose, names))
        quiet = dict(os.environ, DEBIAN_FRONTEND="noninteractive")
        if all(run_quietly(part.split(), quiet) for part in (update, add)):
            return
        raise SetupError("The system packages could not be installed; the message above says why.")
    raise SetupError(
        "{} needs system packages that are missing here. Run this once, then start again:\n"
        "  sudo {} && sudo {}".format(purpose, update, add)
    )


def run_quietly(command, environ):
    """Whether a command succeeded; its output is shown only when it did not."""
    done = subprocess.run(command, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, env=environ)
    if done.returncode != 0:
        say(done.stdout.decode(errors="replace"))
    return done.returncode == 0
