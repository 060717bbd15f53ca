"""The search: every combination evaluated exactly, pruned by proven bounds, ranked by the front.

Owns the loop over chunks, pruning, counting, progress and cancellation. Boxes of candidates
share structure, seat and springs; along limiters and clamps the seat only comes down (each mm
more lets its own end down and moves load to the other end by less than that end gives), so a box
whose deepest corner does not reach is out whole. Rounding of preload can lift a seat by less than
`SLACK_MM`. Refuses Qt and threads: the caller brings `progress` and `cancelled`.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field, fields

import numpy as np
from numpy.typing import NDArray

from fitplanner.documents.job import Choices, Job
from fitplanner.documents.preferences import Rates
from fitplanner.mechanics.arrays import Array
from fitplanner.planning.by_shop import to_reach
from fitplanner.planning.context import Context, context
from fitplanner.planning.halt import halt
from fitplanner.planning.plan import WayId
from fitplanner.planning.price import bill
from fitplanner.planning.search import score
from fitplanner.planning.search.front import Frontier, Rows, rounded
from fitplanner.planning.search.options import (
    MOST_FOOTING_MM,
    Excluded,
    Found,
    Front,
    Measure,
    Priorities,
    Relaxation,
)
from fitplanner.planning.search.ranking import option_at, ranked
from fitplanner.planning.search.score import LIMITS, TITLES, UNITS, Bounds, Indices, Lanes
from fitplanner.planning.search.space import Space, space
from fitplanner.planning.setup import Setup

SLACK_MM = 1.0
CHUNK = 12_000
_REPORTS = 12

# What a customer can tell apart: the front is exact for measures rounded to these steps.
STEPS = {
    Measure.FOOTING: 2.0,
    Measure.TRAVEL: 0.02,
    Measure.RESERVE: 0.05,
    Measure.STEERING: 2.0,
    Measure.SAG: 0.01,
    Measure.CLEARANCE: 5.0,
    Measure.LEGROOM: 1.0,
    Measure.COST: 1.0,  # or one per cent of everything at once
    Measure.HOURS: 0.25,
    Measure.UNDO: 0.1,
}


def _cost_step(ctx: Context, rates: Rates) -> float:
    """One per cent of everything at once: closer prices are the same to a customer."""
    everything = Setup(*(1.0 for _ in fields(Setup)))
    return max(float(bill(ctx.profile, everything, new_stand=True).price(rates)) / 100, 1.0)


Progress = Callable[[float, Found | None], None]
Box = tuple[int, int, int, int]


@dataclass
class _Nearest:
    """The candidate that misses one limit alone by least, for each limit; and the least overall."""

    miss: dict[str, float] = field(default_factory=dict)
    tag: dict[str, Indices] = field(default_factory=dict)

    def note(self, key: str, misses: Array, tags: Indices) -> None:
        if len(misses) == 0:
            return
        best = int(np.argmin(misses))
        if float(misses[best]) < self.miss.get(key, np.inf):
            self.miss[key], self.tag[key] = float(misses[best]), tags[best]


@dataclass
class _Search:
    """One search under way."""

    ctx: Context
    space: Space
    bounds: Bounds
    rates: Rates
    stock: score.Stock
    needs_mm: Array
    knees_deg: Array
    steps: dict[Measure, float]
    frontier: Frontier
    counts: dict[str, int]
    nearest: _Nearest
    evaluated: int = 0
    pruned: int = 0
    fitting: int = 0

    @property
    def box_size(self) -> int:
        return int(np.prod(self.space.grid))

    def lanes(self, structure: int, tags: Indices) -> tuple[Setup, Lanes]:
        setup, made = score.setups(self.ctx, self.space, structure, *tags.T)
        return setup, score.evaluate_lanes(self.ctx, setup, made, self.stock)

    def take(self, structure: int, tags: Indices) -> None:
        """Evaluate lanes (seat, front, rear, cell) with every reach combination."""
        setup, lanes = self.lanes(structure, tags)
        self.evaluated += len(tags) * len(self.space.reach)
        found = []
        for reach in range(len(self.space.reach)):
            whole = np.column_stack(
                [np.full(len(tags), structure), tags, np.full(len(tags), reach)]
            )
            found.append(self._judge(setup, lanes, whole, reach))
        rows, kept = zip(*found, strict=True)
        self.frontier.add(np.concatenate(rows), np.concatenate(kept))

    def _judge(self, setup: Setup, lanes: Lanes, tags: Indices, reach: int) -> tuple[Rows, Indices]:
        """Count what each limit rules out; rounded measures and tags of what is left."""
        over = lanes.seat_mm - self.needs_mm[tags[:, 1], reach]
        missed = score.violations(lanes, over, self.bounds)
        fails = np.stack([missed[key] > 1e-9 for key in LIMITS])
        broken = fails.sum(axis=0)
        for key, row in zip(LIMITS, fails, strict=True):
            self.counts[key] += int(np.count_nonzero(row))
            alone = row & (broken == 1)
            self.nearest.note(key, missed[key][alone], tags[alone])
        scaled = [np.maximum(missed[k], 0.0) * (1 if UNITS[k] == "mm" else 100) for k in LIMITS]
        self.nearest.note("", np.sum(scaled, axis=0), tags)
        good = np.flatnonzero(broken == 0)
        self.fitting += len(good)
        if len(good):
            better = self.better(setup, lanes, tags, reach, -over)
            rows = [rounded(better[m][good], step) for m, step in self.steps.items()]
            return np.column_stack(rows), tags[good]
        return np.zeros((0, len(STEPS)), np.int16), tags[:0]

    def better(
        self, setup: Setup, lanes: Lanes, tags: Indices, reach: int, margin_mm: Array
    ) -> dict[Measure, Array]:
        """Measures turned so that more is better; spare footing counts up to a limit."""
        extra = {f"{way.value}_mm": mm for way, mm in self.space.reach[reach].items()}
        whole = Setup(**{**setup.__dict__, **extra})
        costs = bill(self.ctx.profile, whole, new_stand=lanes.new_stand)
        shape = lanes.seat_mm.shape
        return {
            Measure.FOOTING: np.minimum(margin_mm, MOST_FOOTING_MM),
            Measure.TRAVEL: lanes.travel,
            Measure.RESERVE: lanes.reserve,
            Measure.STEERING: -lanes.steering_mm,
            Measure.SAG: -lanes.values["front_sag_miss"] - lanes.values["rear_sag_miss"],
            Measure.CLEARANCE: lanes.clearance_mm,
            Measure.LEGROOM: self.knees_deg[tags[:, 1], reach],
            Measure.COST: -costs.price(self.rates) + np.zeros(shape),
            Measure.HOURS: -costs.hours + np.zeros(shape),
            Measure.UNDO: costs.undone + np.zeros(shape),
        }

    def boxes(self, *, prune: bool) -> list[Box]:
        """Boxes worth a look; the rest fall to the footing whole."""
        s = self.space
        sizes = (len(s.seats_mm), len(s.front), len(s.rear))
        kept: list[Box] = []
        for structure in range(len(s.structures)):
            box = np.array(list(np.ndindex(*sizes)), dtype=np.int64)
            corner = np.column_stack([box, np.full(len(box), self.box_size - 1)])
            setup, made = score.setups(self.ctx, s, structure, *corner.T)
            made = to_reach(self.ctx, setup, made)
            seat = halt(made, self.ctx.value, self.ctx.rider, self.ctx.carried).seat_mm
            hopeless = seat - SLACK_MM > self.needs_mm[box[:, 0]].max(axis=1)
            out = hopeless if prune else np.zeros(len(box), dtype=bool)
            lost = int(np.count_nonzero(out)) * self.box_size * len(s.reach)
            self.pruned += lost
            self.counts["footing_mm"] += lost
            kept += [(structure, int(a), int(b), int(c)) for a, b, c in box[~out]]
        return kept

    def chunks(self, boxes: list[Box]) -> Iterator[tuple[int, Indices]]:
        """Lanes of boxes of one structure, whole boxes where they are small."""
        cells = np.arange(self.box_size)
        waiting: list[Indices] = []
        at = -1
        for structure, *rest in boxes:
            if waiting and (structure != at or sum(map(len, waiting)) >= CHUNK):
                yield at, np.concatenate(waiting)
                waiting = []
            at = structure
            for start in range(0, self.box_size, CHUNK):
                part = cells[start : start + CHUNK]
                waiting.append(np.column_stack([np.tile(rest, (len(part), 1)), part]))
        if waiting:
            yield at, np.concatenate(waiting)

    def front(self, tags: Indices) -> Front:
        """Exact measures and choices of tagged candidates, in their order."""
        order: list[NDArray[np.intp]] = []
        choices: list[Choices] = []
        columns: dict[Measure, list[Array]] = {measure: [] for measure in STEPS}
        stands: list[NDArray[np.bool_]] = []
        keys = tags[:, [0, 5]]
        for structure, reach in sorted({(int(a), int(b)) for a, b in keys}):
            rows = np.flatnonzero((keys[:, 0] == structure) & (keys[:, 1] == reach))
            some = tags[rows]
            setup, lanes = self.lanes(structure, some[:, 1:5])
            margin = self.needs_mm[some[:, 1], reach] - lanes.seat_mm
            for measure, values in self.better(setup, lanes, some, reach, margin).items():
                columns[measure].append(values)
            columns[Measure.FOOTING][-1] = margin
            stands.append(lanes.new_stand)
            choices += [self._choices(setup, self.space.reach[reach], i) for i in range(len(rows))]
            order.append(rows)
        back = np.argsort(np.concatenate(order)) if order else np.zeros(0, dtype=np.intp)
        better = {
            measure: (np.concatenate(values) if values else np.zeros(0))[back]
            for measure, values in columns.items()
        }
        return Front(
            measures=better,
            shown={m: np.abs(v) if m in _TURNED else v for m, v in better.items()},
            choices=tuple(choices[i] for i in back),
            new_stand=(np.concatenate(stands) if stands else np.zeros(0, dtype=bool))[back],
        )

    def _choices(self, setup: Setup, extra: dict[WayId, float], lane: int) -> Choices:
        """The job's choices with everything of one candidate fixed by hand."""

        def at(values: object) -> float:
            array = np.asarray(values, dtype=float)
            return float(array[lane] if array.ndim else array)

        amounts: dict[str, float | None] = {}
        for way in WayId:
            amount = extra.get(way, at(setup.amount_mm(way)))
            # A way that the machine does not accept is left out, not fixed at nothing.
            unused = not amount and self.ctx.offer(way) is None
            amounts[f"{way.value}_mm"] = None if unused else amount
        return self.ctx.job.choices.replace(
            **amounts,
            fork_rate_n_mm=at(setup.fork_rate_n_mm),
            fork_preload_mm=at(setup.fork_preload_mm),
            shock_rate_n_mm=at(setup.shock_rate_n_mm),
            shock_preload_mm=at(setup.shock_preload_mm),
        )


def search(
    job: Job,
    priorities: Priorities | None = None,
    *,
    bounds: Bounds | None = None,
    rates: Rates | None = None,
    progress: Progress | None = None,
    cancelled: Callable[[], bool] | None = None,
    prune: bool = True,
) -> Found:
    """Search every combination for one job.

    Args:
        rates: the shop's own hourly rate.
        priorities: what matters; they rank the front and never change it.
        progress: called with the share done and, now and then, the best so far.
        cancelled: asked between chunks; True ends the search with what was found.
        prune: False evaluates boxes that cannot reach, too.

    Raises:
        IncompleteError, UnsolvableError: as `evaluate`.
    """
    ctx = context(job)
    where = space(ctx)
    run = _Search(
        ctx=ctx,
        space=where,
        bounds=bounds or Bounds(footing_mm=ctx.job.choices.spare_mm),
        rates=rates or Rates(),
        stock=score.stock_figures(ctx),
        needs_mm=score.needs_mm(ctx, where),
        knees_deg=score.knees_deg(ctx, where),
        steps={**STEPS, Measure.COST: _cost_step(ctx, rates or Rates())},
        frontier=Frontier.empty(len(STEPS), 6),
        counts=dict.fromkeys(LIMITS, 0),
        nearest=_Nearest(),
    )
    wanted = priorities or Priorities()
    complete = _run(run, run.boxes(prune=prune), wanted, progress, cancelled)
    if complete and prune and run.fitting == 0 and run.pruned:
        # Nothing fits: what was left out unseen is needed to say what comes nearest.
        run.counts, run.pruned, run.evaluated = dict.fromkeys(LIMITS, 0), 0, 0
        complete = _run(run, run.boxes(prune=False), wanted, progress, cancelled)
    return _found(run, wanted, complete=complete)


def _run(
    run: _Search,
    boxes: list[Box],
    priorities: Priorities,
    progress: Progress | None,
    cancelled: Callable[[], bool] | None,
) -> bool:
    total = max(len(boxes) * run.box_size, 1)
    done = reported = 0
    for structure, tags in run.chunks(boxes):
        if cancelled is not None and cancelled():
            return False
        run.take(structure, tags)
        done += len(tags)
        if progress is not None:
            share = done / total
            tell = int(share * _REPORTS) > reported and share < 1.0
            reported = int(share * _REPORTS)
            progress(share, _found(run, priorities, complete=False) if tell else None)
    return True


_TURNED = (Measure.STEERING, Measure.SAG, Measure.COST, Measure.HOURS)


def _found(run: _Search, priorities: Priorities, *, complete: bool) -> Found:
    counts = sorted(run.counts.items(), key=lambda each: -each[1])
    found = Found(
        candidates=run.space.size,
        evaluated=run.evaluated,
        pruned=run.pruned,
        fitting=run.fitting,
        excluded=tuple(Excluded(key, TITLES[key], count) for key, count in counts if count),
        options=(),
        front=run.front(run.frontier.tags),
        relaxations=_relaxations(run) if complete and run.fitting == 0 else (),
        complete=complete,
    )
    return ranked(found, run.ctx.profile, priorities)


def _relaxations(run: _Search) -> tuple[Relaxation, ...]:
    """For each limit the least relaxation that lets one option through; else the nearest."""
    alone = {key: tag for key, tag in run.nearest.tag.items() if key}
    noted = alone or {"": run.nearest.tag[""]}
    front = run.front(np.stack(list(noted.values())))
    rows = []
    for row, key in enumerate(noted):
        title = TITLES.get(key, "several limits at once")
        reason = f"The nearest, were {title} relaxed" if key else "The nearest of all"
        rows.append(
            Relaxation(
                key=key,
                title=title,
                by=run.nearest.miss[key],
                unit=UNITS.get(key, ""),
                option=option_at(front, row, reason=reason),
            )
        )
    return tuple(sorted(rows, key=lambda each: (each.unit, each.by)))
