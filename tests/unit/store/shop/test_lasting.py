"""What was reported saved is there after the program was killed."""

import os
import random
import signal
import subprocess
import sys
from typing import Any

import pytest

from fitplanner.store.shop import Shop
from tests import factories

_SAVE = """
import sys
from pathlib import Path
from fitplanner.store.shop import Shop
setting, key, count = sys.stdin.readline().strip(), sys.argv[1], int(sys.argv[2])
with Shop.open(Path(setting) if setting.startswith("/") else setting) as shop:
    kept = shop.get(key)
    for _ in range(count):
        kept = shop.save(kept, kept.job.replace(title=f"after {kept.revision}"), "Jo")
        print(kept.revision, flush=True)
"""
SAVES = 200


@pytest.mark.slow
@pytest.mark.skipif(sys.platform == "win32", reason="needs POSIX signals")
def test_every_reported_save_outlives_kill_9(shop: Shop, place: Any) -> None:
    chance = random.Random(9)
    kept = shop.add(factories.job(title="after 0"), "Jo")
    for kill in (*sorted(chance.sample(range(1, SAVES // 2), 3)), None):
        program = subprocess.Popen(
            [sys.executable, "-c", _SAVE, kept.id, str(SAVES)],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
        )
        assert program.stdin is not None
        assert program.stdout is not None
        program.stdin.write(f"{place.setting}\n")
        program.stdin.close()
        reported = shop.get(kept.id).revision
        for line in program.stdout:
            reported = int(line)
            if kill is not None and reported - kept.revision == kill:
                os.kill(program.pid, signal.SIGKILL)  # in the middle of the next save
        program.stdout.close()
        assert program.wait(timeout=60) == (0 if kill is None else -signal.SIGKILL)
        kept = shop.get(kept.id)
        # One more than reported: killed between the save and its report.
        assert kept.revision in (reported, reported + 1)
        assert kept.job.title == f"after {kept.revision - 1}"
    changes = shop.history(kept.id)
    assert [one.revision for one in changes] == list(range(kept.revision, 0, -1))
    assert kept.revision > SAVES


def test_the_disk_is_waited_for_before_a_save_is_reported(shop: Shop, place: Any) -> None:
    with shop.database.read("") as db:
        if place.server is not None:
            assert db.exec_driver_sql("SHOW synchronous_commit").scalar() == "on"
        else:
            assert db.exec_driver_sql("PRAGMA journal_mode").scalar() == "wal"
            assert db.exec_driver_sql("PRAGMA synchronous").scalar() == 2  # FULL


def test_the_file_is_for_its_owner_alone(shop: Shop, place: Any) -> None:
    if place.server is not None or sys.platform == "win32":
        pytest.skip("only a file on a POSIX system has these rights")
    shop.add(factories.job(), "Jo")
    for one in place.setting.parent.iterdir():
        assert one.stat().st_mode & 0o077 == 0, one.name
