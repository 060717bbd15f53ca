"""Owns the start of the window: application, settings, library, first job, and what follows.

The window is shown first; a job named by the user and unsaved work are opened once it stands.
"""

import logging
import signal
import sys
from pathlib import Path

from PySide6.QtCore import QCoreApplication, QTimer
from PySide6.QtWidgets import QApplication

from fitplanner import paths
from fitplanner.documents.errors import DocumentError
from fitplanner.documents.job import Job
from fitplanner.documents.preferences import Preferences
from fitplanner.documents.rider import Rider
from fitplanner.library.loader import Library, load_library
from fitplanner.session.session import Session
from fitplanner.store.files import StoreError, open_job
from fitplanner.ui.faults import Faults, log_qt, log_to
from fitplanner.ui.main_window import MainWindow
from fitplanner.ui.settings import Settings
from fitplanner.ui.theme import apply_theme

log = logging.getLogger(__name__)

DISPLAY_NAME = "Fit planner"
DEMO = "demo.fit.json"


class StartError(Exception):
    """The program cannot start; the message says why and what to do."""


def run_window(job_file: Path | None) -> int:
    """Show the window until the user is done; returns the exit code."""
    log_to(paths.user_data_dir() / "fitplanner.log")
    # Ctrl-C in the terminal ends the program; unsaved work is offered at the next start.
    signal.signal(signal.SIGINT, signal.SIG_DFL)
    settings = Settings()
    app = make_application(settings.preferences)
    try:
        window = make_window(settings)
    except StartError as error:
        print(error, file=sys.stderr)
        return 1
    faults = Faults(lambda text: _tell_fault(window, text), app)
    faults.install()
    window.show()
    QTimer.singleShot(0, lambda: _begin(window, job_file))
    try:
        return app.exec()
    finally:
        faults.uninstall()


def make_application(preferences: Preferences) -> QApplication:
    """The one Qt application, in the appearance that the user set."""
    log_qt()
    app = QApplication.instance() or QApplication(sys.argv[:1])
    assert isinstance(app, QApplication)
    app.setApplicationName("fitplanner")
    app.setApplicationDisplayName(DISPLAY_NAME)
    apply_theme(app, preferences.theme)
    return app


def make_window(settings: Settings, job: Job | None = None) -> MainWindow:
    """The window with `job`, or with the one to begin with.

    Raises:
        StartError: there is no machine to begin with.
    """
    try:
        library = load_library()
    except FileNotFoundError as error:
        raise StartError(f"The installation is incomplete: {error}. Install it again.") from error
    for broken in library.broken:
        log.warning("not usable: %s: %s", broken.path, broken.message)
    return MainWindow(Session(job or first_job(library)), library.profiles, settings)


def first_job(library: Library) -> Job:
    """The example that comes with the program; without it, an empty job on the first machine.

    Raises:
        StartError: the library holds no machine either.
    """
    try:
        return open_job(paths.resources() / DEMO)
    except (StoreError, DocumentError) as error:
        log.warning("no example job: %s", error)
    for machine in library.profiles.values():
        return Job(rider=Rider(), machine=machine)
    raise StartError("The library holds no machine that can be used. Install the program again.")


def _begin(window: MainWindow, job_file: Path | None) -> None:
    if window.settings.message:
        window.dialogs.tell(
            QCoreApplication.translate("App", "The preferences start anew."),
            window.settings.message,
        )
    if job_file is not None:
        window.files.open_path(job_file)
    window.files.start_keeping()
    if window.session.path is None and window.session.kept is None and not window.session.unsaved:
        window.arrivals.offer_last(window.session.job)
    window.side.go_on_with_machine()


def _tell_fault(window: MainWindow, text: str) -> None:
    what = QCoreApplication.translate(
        "App", "A fault in the program. Your entries are kept; the log says more: {file}"
    )
    file = paths.user_data_dir() / "fitplanner.log"
    window.dialogs.tell(what.format(file=file), text)
