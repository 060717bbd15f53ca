"""The search: candidates a second, cost against their number, memory. Printed, never asserted."""

import resource
import time

import pytest

from fitplanner import paths
from fitplanner.documents.codec import load_job
from fitplanner.documents.job import Choices, Job
from fitplanner.documents.machine import WayOffer
from fitplanner.planning.search.engine import search


def spaced(steps: int) -> Job:
    """The demo job, nothing by hand, with about `steps` squared more candidates."""
    of = load_job((paths.resources() / "demo.fit.json").read_text(encoding="utf-8"))
    ways = of.machine.ways.replace(
        fork_limiter=WayOffer(maximum_mm=60.0, step_mm=60.0 / steps),
        shock_limiter=WayOffer(maximum_mm=20.0, step_mm=20.0 / steps),
        narrower_seat=None,
        thicker_sole=None,
    )
    return of.replace(choices=Choices(), machine=of.machine.replace(ways=ways))


@pytest.mark.parametrize("steps", [8, 12, 24, 48])
def test_candidates_per_second(steps: int, capsys: pytest.CaptureFixture[str]) -> None:
    of = spaced(steps)
    start = time.perf_counter()
    found = search(of)
    took = time.perf_counter() - start
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    with capsys.disabled():
        print(
            f"\n{found.candidates:>9} candidates, {found.evaluated} evaluated: {took:.2f} s, "
            f"{found.candidates / took:,.0f} a second; peak {peak:.0f} MB; "
            f"{took / found.candidates * 1e5:.2f} s for 100,000"
        )
