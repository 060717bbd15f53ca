"""What narrows the band of the footing: shares of the variance, and what to measure next.

Owns the ranking. Shares come from quasi-random samples; what a reading is worth comes from the
same samples with that one figure's spread set to a careful reading's. Refuses to advise.
"""

from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np

from fitplanner.documents.machine import CatalogueState
from fitplanner.mechanics.arrays import Array
from fitplanner.planning.plan import Band
from fitplanner.planning.rider import NORMAL_90
from fitplanner.planning.unknown.account import Address, Measure, Share
from fitplanner.planning.unknown.lanes import Case
from fitplanner.planning.unknown.measuring import ACTS, READINGS
from fitplanner.planning.unknown.outcomes import one_at_a_time, outcomes
from fitplanner.planning.unknown.sampling import latin, normal, sobol
from fitplanner.planning.unknown.sensitivity import sobol_indices
from fitplanner.quantities import Kind

_BITS = 10
_NAMED = 15
_LEAST_SHARE = 0.0005
_TRIED = 8
_LEAST_WORTH = 0.02
_SEED_SHARES, _SEED_SMALL, _SEED_READINGS = 71, 72, 73


def half_band(values: Array) -> float:
    """Half the width of the 90 % band."""
    low, high = np.quantile(values, (0.05, 0.95))
    return float(high - low) / 2.0


def variance_shares(case: Case) -> tuple[Share, ...]:
    """The figures that matter, largest share of the footing first, then all others together.

    Figures that count to first order are sampled each by itself, on Sobol's sequence; those that
    hardly do are one group.
    """
    if not case.figures:
        return ()
    linear = one_at_a_time(case).max(axis=-1)
    order = np.argsort(-linear, kind="stable")
    named = [int(row) for row in order[:_NAMED] if linear[row] > _LEAST_SHARE]
    small = [row for row in range(len(case.figures)) if row not in named]
    groups = [[row] for row in named] + ([small] if small else [])
    count = 2**_BITS
    sample, other = (
        normal(latin(count, len(case.figures), seed=_SEED_SMALL + pair)) for pair in (0, 1)
    )
    both = normal(sobol(_BITS, 2 * len(named), seed=_SEED_SHARES))
    sample[:, named], other[:, named] = both[:, : len(named)], both[:, len(named) :]
    found = sobol_indices(lambda points: outcomes(case, points), sample, other, groups)
    first, total = np.clip(found.first, 0.0, 1.0), np.clip(found.total, 0.0, None)
    rows = [
        Share(
            case.figures[group[0]].address if number < len(named) else None,
            case.figures[group[0]].label if number < len(named) else "All others together",
            *(float(part[number, result]) for result in (0, 1) for part in (first, total)),
        )
        for number, group in enumerate(groups)
    ]
    return tuple(
        sorted(rows, key=lambda row: (row.address is None, -row.footing_total, -row.seat_total))
    )


def measure_next(
    case: Case,
    points: Array,
    footing: Array,
    shares: Sequence[Share],
    readings: Mapping[str, tuple[Array, Band]],
) -> tuple[Measure, ...]:
    """Acts of measuring that narrow the footing's band, the most useful first."""
    half = half_band(footing)
    rows = [*_figures(case, points, half, shares), *_tape(case, footing, half, readings)]
    useful = [row for row in rows if row.left_mm < half * (1.0 - _LEAST_WORTH)]
    return tuple(sorted(useful, key=lambda row: row.left_mm))


def half_with_all_mm(case: Case, points: Array, acts: Sequence[Measure]) -> float:
    """Half the footing's band once all the figures among `acts` are read carefully."""
    careful = {act.address: act.careful for act in acts}
    figures = [
        replace(each, spread=careful.get(each.address, each.spread)) for each in case.figures
    ]
    return half_band(case.lanes(points, figures).footing_mm)


def _figures(case: Case, points: Array, half: float, shares: Sequence[Share]) -> list[Measure]:
    places: dict[Address, int] = {each.address: row for row, each in enumerate(case.figures)}
    rows = []
    for share in shares[:_TRIED]:
        if share.address is None or share.address not in ACTS:
            continue
        place, act = places[share.address], ACTS[share.address]
        now = case.figures[place]
        if act.careful >= now.spread:
            continue
        figures = list(case.figures)
        figures[place] = replace(now, spread=act.careful)
        left = half_band(case.lanes(points, figures).footing_mm)
        rows.append(
            Measure(
                address=now.address,
                label=now.label,
                act=act.text,
                kind=now.kind,
                spread=now.spread,
                careful=act.careful,
                half_mm=half,
                left_mm=left,
                worth=_worth(half, left),
            )
        )
    return rows


def _tape(
    case: Case, footing: Array, half: float, readings: Mapping[str, tuple[Array, Band]]
) -> list[Measure]:
    """Readings of the machine as it stands: what they say of the footing, by regression.

    Exact where footing and reading are jointly normal, as they nearly are.
    """
    rows = []
    error = normal(latin(len(footing), len(READINGS), seed=_SEED_READINGS))
    as_stated = case.ctx.profile.catalogue.state is CatalogueState.ON_WHEELS
    for column, (key, (label, act)) in enumerate(READINGS.items()):
        if key == "seat_on_wheels" and as_stated:
            continue  # the profile's own seat height is the same tape
        shown, expected = readings[key]
        read = shown + act.careful * error[:, column]
        known = np.var(read)
        slope = np.mean((footing - footing.mean()) * (read - read.mean())) / known
        left = half_band(footing - slope * read)
        rows.append(
            Measure(
                address=("reading", key),
                label=label,
                act=act.text,
                kind=Kind.LENGTH,
                spread=(expected.high - expected.low) / 2.0 / NORMAL_90,
                careful=act.careful,
                half_mm=half,
                left_mm=left,
                worth=_worth(half, left),
                expected=expected,
            )
        )
    return rows


def _worth(half: float, left: float) -> str:
    """In a technician's words what the reading does to the band; "" where that is little."""
    share = left / half if half > 0 else 1.0
    if share <= 0.55:
        return "It halves the band" if share > 0.4 else "It more than halves the band"
    if share <= 0.7:
        return "It takes a third off the band"
    if share <= 0.8:
        return "It takes a quarter off the band"
    return ""
