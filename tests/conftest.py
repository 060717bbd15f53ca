"""What every test gets: no real screen, no user's folder, and no warning that goes unseen."""

import gc
import logging
import os
import shutil
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import HealthCheck, settings

# What holds today holds tomorrow: the same cases in every run, however slow the machine.
# `--hypothesis-profile=default` with `--hypothesis-seed` looks for new ones.
settings.register_profile(
    "same", derandomize=True, deadline=None, suppress_health_check=[HealthCheck.too_slow]
)
settings.load_profile("same")

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
os.environ.setdefault("PYQTGRAPH_QT_LIB", "PySide6")


@pytest.fixture(autouse=True)
def own_home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Each test has user data of its own, never the user's nor another test's."""
    monkeypatch.setenv("FITPLANNER_HOME", str(tmp_path / "home"))


class _Records(logging.Handler):
    def __init__(self) -> None:
        super().__init__(logging.WARNING)
        self.texts: list[str] = []

    def emit(self, record: logging.LogRecord) -> None:
        self.texts.append(f"{record.levelname} {record.name}: {record.getMessage()}")


@pytest.fixture(autouse=True)
def no_unexpected_log(request: pytest.FixtureRequest) -> Iterator[None]:
    """A record at WARNING or above fails the test, unless ``expects_log`` asks for one."""
    records = _Records()
    logging.getLogger().addHandler(records)
    yield
    logging.getLogger().removeHandler(records)
    expected = request.node.get_closest_marker("expects_log") is not None
    if records.texts and not expected:
        pytest.fail("unexpected log records:\n" + "\n".join(records.texts), pytrace=False)
    if expected and not records.texts:
        pytest.fail("marked expects_log, but nothing was logged", pytrace=False)


def _top_level_widgets() -> set[object]:
    """The windows alive now; none before a test first makes the Qt application."""
    if "PySide6.QtWidgets" not in sys.modules:
        return set()
    from PySide6.QtCore import QCoreApplication, QEvent
    from PySide6.QtWidgets import QApplication

    if QApplication.instance() is None:
        return set()
    QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
    return set(QApplication.topLevelWidgets())


@pytest.fixture(autouse=True)
def no_leaked_windows() -> Iterator[None]:
    """A window that outlives its test fails it: something still holds the widget."""
    before = _top_level_widgets()
    yield
    if _top_level_widgets() - before:
        gc.collect()
        leaked = _top_level_widgets() - before
        if leaked:
            pytest.fail("leaked windows:\n" + "\n".join(map(repr, leaked)), pytrace=False)


@pytest.fixture(autouse=True)
def own_appearance() -> Iterator[None]:
    """The colours that a test gives the application go with it, whatever comes next."""
    yield
    if "PySide6.QtWidgets" in sys.modules:
        from PySide6.QtWidgets import QApplication

        if QApplication.instance() is not None:
            plain = QApplication.style().standardPalette()
            if QApplication.palette() != plain:
                QApplication.setPalette(plain)


@pytest.fixture(scope="session")
def xvfb_display() -> Iterator[str]:
    """Name of a virtual X display (such as ":3") for programs started by the tests."""
    if shutil.which("Xvfb") is None:
        pytest.skip("Xvfb is not installed, so no real window can be shown")
    read_end, write_end = os.pipe()
    options = ["-screen", "0", "1600x1000x24", "-nolisten", "tcp", "-noreset"]
    server = subprocess.Popen(
        ["Xvfb", "-displayfd", str(write_end), *options],
        pass_fds=[write_end],
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
    )
    os.close(write_end)
    try:
        with os.fdopen(read_end) as answer:  # a line once it is ready, nothing when it ended
            number = answer.readline().strip()
        if not number:
            pytest.fail("Xvfb did not start")
        yield f":{number}"
    finally:
        server.terminate()
        server.wait(timeout=30)
