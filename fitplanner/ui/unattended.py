"""Owns the run without a screen: the same job, planned and written down.

Prints the plan, and writes it and a picture of the real window to files. Leaves the user's
settings, unsaved work and recent jobs alone.
"""

import os
import sys
from pathlib import Path

from PySide6.QtCore import QEventLoop, QTimer
from PySide6.QtWidgets import QApplication

from fitplanner import paths
from fitplanner.documents.errors import DocumentError
from fitplanner.documents.preferences import Theme
from fitplanner.report.plan_json import plan_text_json
from fitplanner.report.text import plan_text
from fitplanner.store.files import StoreError, open_job, store_error, write_text
from fitplanner.ui.app import StartError, make_application, make_window
from fitplanner.ui.main_window import MainWindow
from fitplanner.ui.settings import Settings

WIDTH, HEIGHT = 1280, 800
PLANNING_LIMIT_MS = 120_000


def run_unattended(job_file: Path | None, folder: Path | None) -> int:
    """Plan the job in `job_file`, or the example; returns 0 where there is a plan."""
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    target = (folder or paths.user_data_dir() / "output").absolute()
    preferences = Settings(kept=False).preferences
    settings = Settings(preferences.replace(theme=Theme.LIGHT, window_geometry=""), kept=False)
    try:
        job = None if job_file is None else open_job(job_file.absolute())
        app = make_application(settings.preferences)
        window = make_window(settings, job)
        _show_until_planned(app, window)
        written = _write(window, target)
    except DocumentError as error:
        print(f"{job_file}: {error}", file=sys.stderr)
        return 2
    except (StoreError, StartError) as error:
        print(error, file=sys.stderr)
        return 2
    if window.plan is None:
        print(_why_no_plan(window), file=sys.stderr)
    else:
        print(plan_text(window.plan, window.session.job, settings.preferences.unit_system))
    for path in written:
        print(f"Written: {path}")
    done = window.plan is not None
    window.close()
    return 0 if done else 1


def _show_until_planned(app: QApplication, window: MainWindow) -> None:
    window.resize(WIDTH, HEIGHT)
    window.show()
    waiting = QEventLoop()
    window.planner.answered.connect(waiting.quit)
    QTimer.singleShot(PLANNING_LIMIT_MS, waiting.quit)
    if window.answer is None:
        waiting.exec()
    app.processEvents()


def _why_no_plan(window: MainWindow) -> str:
    if window.answer is not None and window.answer.missing:
        return f"Still to be entered: {', '.join(window.answer.missing)}"
    return window.notice.text() or "The plan took too long."


def _write(window: MainWindow, folder: Path) -> list[Path]:
    """Write what there is; raises `StoreError`."""
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise store_error("The folder cannot be made", folder, error) from error
    picture = folder / "window.png"
    if not window.grab().save(str(picture)):
        raise StoreError("The picture cannot be written", picture, "Choose another folder.")
    written = [picture]
    if window.plan is not None:
        plan = folder / "plan.json"
        write_text(plan, plan_text_json(window.plan, window.session.job))
        written.append(plan)
    return written
