"""The start of the window against a bare one with a plot. Printed, never asserted."""

import os
import subprocess
import sys
import time
from pathlib import Path
from statistics import median

import pytest

BARE = """
from PySide6.QtWidgets import QApplication, QMainWindow
import pyqtgraph
app = QApplication([])
window = QMainWindow()
window.setCentralWidget(pyqtgraph.PlotWidget())
window.resize(1280, 800)
window.show()
app.processEvents()
"""

OURS = """
import gc
gc.disable()  # as the program does before it loads its window
from fitplanner.ui.app import make_application, make_window
from fitplanner.ui.settings import Settings
settings = Settings()
app = make_application(settings.preferences)
window = make_window(settings)
window.resize(1280, 800)
window.show()
app.processEvents()
"""

ROUNDS = 7


def run(script: str, home: Path) -> float:
    environ = {**os.environ, "QT_QPA_PLATFORM": "offscreen", "FITPLANNER_HOME": str(home)}
    code = script + "\nimport os, sys; sys.stdout.flush(); os._exit(0)\n"
    start = time.perf_counter()
    subprocess.run([sys.executable, "-c", code], env=environ, check=True, capture_output=True)
    return time.perf_counter() - start


def test_window_start(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    pairs = [(run(BARE, tmp_path), run(OURS, tmp_path)) for _ in range(ROUNDS)]
    bare, ours = (median(each) for each in zip(*pairs, strict=True))
    with capsys.disabled():
        print(f"\nbare {bare:.2f} s, ours {ours:.2f} s: ratio {ours / bare:.2f}")
