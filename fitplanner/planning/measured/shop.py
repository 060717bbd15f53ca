"""What a shop learns from its closed jobs. Applied by nobody unless a job asks for it.

Owns what each way delivered, as a share of what physics predicts of it, per kind of machine, and
the record of predicted against delivered. The share of the nominal amount stands in `history`.
Refuses a database: closed jobs come in as plain figures.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from fitplanner.documents.machine import MachineKind
from fitplanner.documents.shop_shares import DeliveredShare, ShopShares
from fitplanner.planning.measured.account import Closed, WayResult
from fitplanner.planning.measured.pooling import Mixture, pooled
from fitplanner.planning.plan import Band, WayId
from fitplanner.planning.ways import WAYS
from fitplanner.quantities import mm_in_text

_MOST_TAU = 0.3
"""Kinds of machine do not differ by more in their delivered share: assumption."""

_MISSES = 5

_LEAST_SHARE, _MOST_SHARE = 0.5, 1.5
"""Outside these a part was another one than ordered; no plan is made with it: assumption."""


@dataclass(frozen=True)
class Learned:
    """What one way delivered on one kind of machine, as a share of what physics predicts of it.

    Attributes:
        count: jobs behind it on this kind; `all_count` on all kinds.
        alone: share from this kind alone, with its spread.
        share: drawn towards the mean of all kinds, with its 90 % band.
    """

    way: WayId
    kind: MachineKind
    count: int
    all_count: int
    alone: float
    alone_spread: float
    share: Band


@dataclass(frozen=True)
class Miss:
    """One job's drop on its wheels against what was predicted; `off_mm` is delivered less that."""

    reference: str
    predicted_mm: float
    delivered_mm: float
    off_mm: float


@dataclass(frozen=True)
class Record:
    """Predicted against delivered over closed jobs.

    `bias_mm` with its standard error, `spread_mm` one standard deviation about it; None with
    fewer than two jobs.
    """

    count: int
    bias_mm: float | None
    bias_error_mm: float | None
    spread_mm: float | None
    worst: tuple[Miss, ...]
    told: str


def learned(jobs: Sequence[Closed]) -> tuple[Learned, ...]:
    """Delivered shares by way and kind of machine, in the order of the ways."""
    rows: list[Learned] = []
    for way in WAYS:
        found: dict[MachineKind, list[WayResult]] = {}
        for job in jobs:
            for result in job.ways:
                if result.way is way:
                    found.setdefault(job.kind, []).append(result)
        if not found:
            continue
        alone = [_together(results) for results in found.values()]
        both = pooled(
            [mean for mean, _ in alone], [spread for _, spread in alone], most_tau=_MOST_TAU
        )
        total = sum(len(results) for results in found.values())
        for (kind, results), (mean, spread), group in zip(
            found.items(), alone, both.groups, strict=True
        ):
            rows.append(_row(way, kind, len(results), total, mean, spread, group))
    return tuple(rows)


def shares_of(
    jobs: Sequence[Closed], rows: Sequence[Learned], kind: MachineKind
) -> ShopShares | None:
    """What a job on `kind` may ask for; None where nothing is learned on this kind."""
    shares = [
        DeliveredShare(
            way=row.way.value,
            share=row.share.value,
            low=row.share.low,
            high=row.share.high,
            count=row.count,
        )
        for row in rows
        if row.kind is kind and _LEAST_SHARE <= row.share.value <= _MOST_SHARE
    ]
    if not shares:
        return None
    return ShopShares(kind=kind, jobs=sum(job.kind is kind for job in jobs), shares=shares)


def record(jobs: Sequence[Closed]) -> Record:
    """How predictions did: bias, spread and the worst misses, the worst first."""
    misses = [
        Miss(job.reference, job.predicted_mm, job.delivered_mm, job.delivered_mm - job.predicted_mm)
        for job in jobs
    ]
    worst = tuple(sorted(misses, key=lambda miss: -abs(miss.off_mm))[:_MISSES])
    if len(misses) < 2:
        told = "One job is closed: a bias shows from two on." if misses else "No job is closed yet."
        return Record(len(misses), None, None, None, worst, told)
    off = np.array([miss.off_mm for miss in misses])
    bias, spread = float(off.mean()), float(off.std(ddof=1))
    return Record(
        count=len(misses),
        bias_mm=bias,
        bias_error_mm=spread / float(np.sqrt(len(off))),
        spread_mm=spread,
        worst=worst,
        told=(
            f"Over {len(misses)} jobs the tape showed {mm_in_text(abs(bias))} "
            f"{'more' if bias >= 0 else 'less'} than predicted on average, one job differing from "
            f"the next by {mm_in_text(spread)} (one standard deviation)."
        ),
    )


def _together(results: Sequence[WayResult]) -> tuple[float, float]:
    """Weighted mean of one kind's jobs and its spread.

    Where the jobs differ by more than their spreads say, the mean's spread is scaled up to it.
    Source: Particle Data Group, Review of Particle Physics, "Procedures for averaging" (from
    memory).
    """
    shares = np.array([each.share for each in results])
    weights = np.array([each.spread for each in results]) ** -2.0
    mean = float(weights @ shares / weights.sum())
    spread = float(1.0 / np.sqrt(weights.sum()))
    if len(results) > 1:
        excess = float(weights @ (shares - mean) ** 2) / (len(results) - 1)
        spread *= max(1.0, excess) ** 0.5
    return mean, spread


def _row(
    way: WayId,
    kind: MachineKind,
    count: int,
    total: int,
    mean: float,
    spread: float,
    group: Mixture,
) -> Learned:
    share = Band(group.mean, group.quantile(0.05), group.quantile(0.95))
    return Learned(
        way=way,
        kind=kind,
        count=count,
        all_count=total,
        alone=mean,
        alone_spread=spread,
        share=share,
    )
