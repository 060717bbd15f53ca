"""Owns what happens to an exception that nobody expected: it is logged, told, and life goes on."""

import logging
import sys
import threading
from collections.abc import Callable
from logging.handlers import RotatingFileHandler
from pathlib import Path
from types import TracebackType

from PySide6.QtCore import (
    QMessageLogContext,
    QObject,
    Qt,
    QtMsgType,
    Signal,
    qInstallMessageHandler,
)

log = logging.getLogger(__name__)

LOG_BYTES = 512 * 1024


def log_to(file: Path) -> None:
    """Write the program's log to `file` too; without it where the folder cannot be written."""
    try:
        file.parent.mkdir(parents=True, exist_ok=True)
        handler = RotatingFileHandler(file, maxBytes=LOG_BYTES, backupCount=2, encoding="utf-8")
    except OSError as error:
        log.warning("no log file: %s", error)
        return
    handler.setFormatter(logging.Formatter("%(asctime)s %(levelname)s %(name)s: %(message)s"))
    logging.getLogger().addHandler(handler)


def log_qt() -> None:
    """Have what Qt says written to the program's log."""
    qInstallMessageHandler(_log_message)


def _log_message(kind: QtMsgType, _: QMessageLogContext, text: str) -> None:
    # What the screenless platform says of things that only a real screen can do.
    if not text.startswith("This plugin does not support"):
        logging.getLogger("qt").log(_LEVELS.get(kind, logging.ERROR), text)


_LEVELS = {
    QtMsgType.QtDebugMsg: logging.DEBUG,
    QtMsgType.QtInfoMsg: logging.INFO,
    QtMsgType.QtWarningMsg: logging.WARNING,
}


class Faults(QObject):
    """Catches what no one else did, on any thread."""

    _caught = Signal(str)

    def __init__(self, tell: Callable[[str], None], parent: QObject | None = None) -> None:
        """`tell` shows one sentence to the user; it is called in the window's thread."""
        super().__init__(parent)
        self._tell = tell
        self._telling = False
        self._caught.connect(self._show, Qt.ConnectionType.QueuedConnection)

    def install(self) -> None:
        """Catch from now on."""
        sys.excepthook = self.catch
        threading.excepthook = self._catch_in_thread

    def uninstall(self) -> None:
        """Leave exceptions to the interpreter again."""
        sys.excepthook = sys.__excepthook__
        threading.excepthook = threading.__excepthook__

    def catch(
        self, kind: type[BaseException], error: BaseException, trace: TracebackType | None
    ) -> None:
        """Log an exception and have it told."""
        if not issubclass(kind, Exception):
            sys.__excepthook__(kind, error, trace)
            return
        log.error("unexpected", exc_info=(kind, error, trace))
        self._caught.emit(f"{kind.__name__}: {error}")

    def _catch_in_thread(self, event: threading.ExceptHookArgs) -> None:
        if event.exc_value is not None:
            self.catch(event.exc_type, event.exc_value, event.exc_traceback)

    def _show(self, text: str) -> None:
        # A fault that comes again and again, such as in painting, gets one message at a time.
        if self._telling:
            return
        self._telling = True
        try:
            self._tell(text)
        finally:
            self._telling = False
