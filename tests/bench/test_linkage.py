"""What follows each move of a joint, and each reading typed. Printed, never asserted."""

from collections.abc import Iterator

import numpy as np
import pytest
from pytest_benchmark.fixture import BenchmarkFixture

from fitplanner.documents.machine import LinkagePoints, MachineProfile
from fitplanner.library.loader import load_library
from fitplanner.mechanics.leverage_readings import read_leverage
from fitplanner.planning.linkage import linkage_motion

DRAWN = {
    name: machine
    for name, machine in load_library().profiles.items()
    if isinstance(machine.rear.linkage, LinkagePoints)
}


def dragged(machine: MachineProfile) -> Iterator[MachineProfile]:
    """The machine with its shock's eye ever a little further."""
    linkage = machine.rear.linkage
    assert isinstance(linkage, LinkagePoints)
    x, z = linkage.frame_eye_mm
    for step in range(10_000):
        moved = linkage.replace(frame_eye_mm=[x + 0.001 * step, z])
        yield machine.replace(rear=machine.rear.replace(linkage=moved))


@pytest.mark.parametrize("name", DRAWN)
def test_a_joint_is_moved(name: str, benchmark: BenchmarkFixture) -> None:
    places = dragged(DRAWN[name])
    benchmark.pedantic(
        linkage_motion, setup=lambda: ((next(places),), {}), rounds=60, warmup_rounds=3
    )


def test_a_reading_is_typed(benchmark: BenchmarkFixture) -> None:
    wheel = np.linspace(0.0, 300.0, 16)
    shock = wheel / (3.1 - 0.002 * wheel)
    benchmark(read_leverage, wheel, shock, spread_mm=0.5, travel_mm=300.0)
