"""What a shop learns over closed jobs."""

from collections.abc import Sequence

import numpy as np
import pytest

from fitplanner.documents.machine import MachineKind
from fitplanner.planning.measured.account import Closed, WayResult
from fitplanner.planning.measured.shop import learned, record, shares_of
from fitplanner.planning.plan import WayId
from fitplanner.quantities import UnitSystem, fill

SEAT, LIMITER = WayId.LOWER_SEAT, WayId.SHOCK_LIMITER
TRAIL, ENDURO, CHILD = MachineKind.TRAIL, MachineKind.ENDURO, MachineKind.CHILD


def job(
    kind: MachineKind = TRAIL,
    *,
    off: float = 0.0,
    shares: Sequence[tuple[WayId, float, float]] = (),
    reference: str = "",
) -> Closed:
    ways = tuple(WayResult(way, 20.0, share, spread) for way, share, spread in shares)
    return Closed(reference, kind, 50.0, 50.0 + off, ways)


def test_no_job_teaches_nothing() -> None:
    assert learned(()) == ()
    empty = record(())
    assert empty.count == 0 and empty.bias_mm is None and empty.worst == ()
    assert "No job" in empty.told and shares_of((), (), TRAIL) is None


def test_one_job_is_shown_with_its_count_and_moves_nothing_else() -> None:
    rows = learned([job(shares=[(SEAT, 0.8, 0.1)])])
    assert [(each.way, each.kind, each.count, each.all_count) for each in rows] == [
        (SEAT, TRAIL, 1, 1)
    ]
    assert rows[0].share.value == pytest.approx(0.8) == rows[0].alone
    assert rows[0].share.high - rows[0].share.low == pytest.approx(2 * 1.645 * 0.1, rel=0.01)
    closed = [job(shares=[(SEAT, 0.8, 0.1)])]
    found = shares_of(closed, rows, TRAIL)
    assert found is not None and [each.share for each in found.shares] == [rows[0].share.value]
    assert shares_of(closed, rows, ENDURO) is None


def test_a_kind_with_one_job_is_drawn_to_the_others_and_one_with_many_stays() -> None:
    chance = np.random.default_rng(6)
    many = [
        job(kind, shares=[(SEAT, 0.9 + 0.03 * float(chance.standard_normal()), 0.04)])
        for kind in (TRAIL, ENDURO, MachineKind.ADVENTURE)
        for _ in range(12)
    ]
    rows = {each.kind: each for each in learned([*many, job(CHILD, shares=[(SEAT, 1.3, 0.2)])])}
    lone = rows[CHILD]
    assert lone.alone == pytest.approx(1.3) and lone.share.value < 1.0 and lone.count == 1
    assert rows[TRAIL].share.value == pytest.approx(rows[TRAIL].alone, abs=0.01)
    assert lone.all_count == 37
    assert lone.share.low < 0.9 < lone.share.high


def test_jobs_that_disagree_more_than_their_spreads_widen_their_kind() -> None:
    alike = learned([job(shares=[(SEAT, 0.9, 0.05)]) for _ in range(4)])[0]
    apart = learned([job(shares=[(SEAT, share, 0.05)]) for share in (0.6, 0.8, 1.0, 1.2)])[0]
    assert apart.alone == pytest.approx(alike.alone)
    assert alike.alone_spread == pytest.approx(0.025)
    # Birge's ratio: sqrt(chi square over degrees of freedom).
    chi = (0.3**2 + 0.1**2 + 0.1**2 + 0.3**2) / 0.05**2
    assert apart.alone_spread == pytest.approx(0.025 * np.sqrt(chi / 3))


def test_ways_do_not_teach_each_other() -> None:
    rows = learned([job(shares=[(SEAT, 0.7, 0.05), (LIMITER, 1.0, 0.05)])])
    assert {each.way: round(each.share.value, 3) for each in rows} == {SEAT: 0.7, LIMITER: 1.0}


def test_the_record_has_bias_spread_and_the_worst_first() -> None:
    offs = (1.0, -2.0, 6.0, -9.0, 0.0, 3.0, 1.0)
    found = record([job(off=off, reference=str(row)) for row, off in enumerate(offs)])
    assert found.bias_mm == pytest.approx(0.0) and found.spread_mm == pytest.approx(
        np.std(offs, ddof=1)
    )
    assert found.bias_error_mm == pytest.approx(np.std(offs, ddof=1) / np.sqrt(7))
    assert [miss.reference for miss in found.worst[:3]] == ["3", "2", "5"]
    assert len(found.worst) == 5 and found.worst[0].off_mm == pytest.approx(-9.0)
    less = record([job(off=-4.0), job(off=-6.0)])
    assert "5 mm less than predicted" in fill(less.told, UnitSystem.METRIC)
    assert record([job(off=2.0)]).bias_mm is None
