"""The machine that agrees best with its readings and with its profile.

Owns the fit: weighted least squares on the exact model with the profile as the prior, every
perturbation a lane of one solver call, and the readings that do not fit left out. Refuses words.

A wrong reading may be anything: leaving out the ones beyond a limit is the least-squares form of a
robust loss that does not grow any more, and unlike a loss on residuals it also finds a wrong
reading that pulls the machine towards itself.
Source: A. B. Owen, Y. She, J. Am. Stat. Assoc. 106 (2011) 626 (from memory).
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from statistics import NormalDist

import numpy as np

from fitplanner.documents.bench import Place, Reading
from fitplanner.mechanics.arrays import Array
from fitplanner.planning.measured.linear import Flags, Linear
from fitplanner.planning.measured.tape import CLINGS_SPREAD_ML, MARK, Bench, Spot, spot_of
from fitplanner.planning.measured.unknowns import MARK_MM, marks
from fitplanner.planning.unknown.figures import Unsure

_STEP = 1e-3
_SEEN = 1e-3
_FALSE_ALARM = 0.05
"""Chance of naming any reading of a sheet on which all are right: assumption."""

_MOST_ROUNDS = 4
_MOST_LOOKS = 10
"""Readings that agree with a machine take about five; nonsense never settles."""

_FARTHEST = 6.0
"""Spreads from the profile: a figure farther off is another machine, and is said to be."""

_UNCHECKED = 20.0
"""Spreads of a reading: where the others leave more than that open, they do not check it."""


@dataclass(frozen=True)
class Estimate:
    """A fitted machine.

    Attributes:
        at: the unknowns in prior standard deviations from the profile.
        covariance: of the same, given the used readings.
        spread: of each reading, friction that may hold it anywhere counted in.
        shown: what the fitted machine shows for each reading.
        apart, apart_spread: each reading less what all other used ones say, in its spreads.
        misfits: rows of the readings left out, each with the rows that may be meant as well.
    """

    bench: Bench
    readings: tuple[Reading, ...]
    unknowns: tuple[Unsure, ...]
    at: Array
    covariance: Array
    spread: Array
    shown: Array
    used: Flags
    apart: Array
    apart_spread: Array
    misfits: tuple[tuple[int, ...], ...]

    @property
    def checked(self) -> Flags:
        """Readings that the others say something of."""
        return self.apart_spread < _UNCHECKED

    @property
    def surprise(self) -> float:
        """Chance of readings this far from the profile, were all as the spreads say."""
        count = int(np.count_nonzero(self.used))
        own = np.array([each.address[0] != MARK for each in self.unknowns])
        free = len({r.place for r, u in zip(self.readings, self.used, strict=True) if u} & _MARKED)
        if count <= free:
            return 1.0
        off = (np.array([each.value for each in self.readings]) - self.shown) / self.spread
        cost = float(np.sum(off[self.used] ** 2) + np.sum(self.at[own] ** 2))
        return _tail(cost, count - free)

    def look(self, spots: Sequence[Spot], columns: Sequence[int] | None = None) -> "Look":
        """What other spots show on the fitted machine, and their slopes."""
        return look(self.bench, self.unknowns, spots, self.at, columns)


_MARKED = {each.address[1] for each in marks()}


@dataclass(frozen=True)
class Look:
    """Values at a point and their slopes per unknown, in prior standard deviations."""

    value: Array
    slope: Array


def figures_at(unknowns: Sequence[Unsure], points: Array) -> dict[tuple[str, str], Array]:
    """Each unknown in lanes, from points (lanes, unknowns); none goes out of all belief."""
    near = np.clip(points, *_limits(unknowns))
    return {each.address: each.at(near[:, row]) for row, each in enumerate(unknowns)}


def _limits(unknowns: Sequence[Unsure]) -> tuple[Array, Array]:
    """How far each unknown may go: where a machine can still be built; marks anywhere."""
    most = [np.inf if each.address[0] == MARK else _FARTHEST for each in unknowns]
    low = [max(-m, (u.low - u.value) / u.spread) for m, u in zip(most, unknowns, strict=True)]
    high = [min(m, (u.high - u.value) / u.spread) for m, u in zip(most, unknowns, strict=True)]
    return np.array(low), np.array(high)


def look_at(
    unknowns: Sequence[Unsure],
    at: Array,
    ask: Callable[[dict[tuple[str, str], Array], int], Array],
    columns: Sequence[int] | None = None,
) -> Look:
    """Values that `ask` gives at a point and their slopes along some or all unknowns.

    It is asked once, with a lane for the point and one for each step beside it.
    """
    low, high = _limits(unknowns)
    at = np.clip(at, low, high)
    chosen = np.arange(len(at)) if columns is None else np.asarray(columns, dtype=int)
    steps = np.where(at[chosen] + _STEP > high[chosen], -_STEP, _STEP)
    points = np.tile(at, (len(chosen) + 1, 1))
    points[np.arange(1, len(points)), chosen] += steps
    shown = ask(figures_at(unknowns, points), len(points))
    return Look(shown[0], (shown[1:] - shown[0]).T / steps)


def look(
    bench: Bench,
    unknowns: Sequence[Unsure],
    spots: Sequence[Spot],
    at: Array,
    columns: Sequence[int] | None = None,
) -> Look:
    """What spots show at a point, with their slopes."""
    return look_at(unknowns, at, lambda figures, n: bench.shown(spots, figures, n), columns)


def estimate(
    bench: Bench, readings: Sequence[Reading], usable: Flags, unknowns: Sequence[Unsure]
) -> Estimate:
    """Fit a machine to the usable readings; marks are added to the unknowns.

    Raises:
        UnsolvableError: figures near the profile's do not go together to a machine.
    """
    spots = [spot_of(each) for each in readings]
    read = np.array([each.value for each in readings])
    unknowns = (*unknowns, *_marks_where_read(bench, spots, read, usable))
    at = np.zeros(len(unknowns))
    spread = spreads(bench, readings)
    now = look(bench, unknowns, spots, at)
    line = _line(now, read, spread, at)
    misfits: list[tuple[int, ...]] = []
    used = usable.copy()
    for turn in range(_MOST_ROUNDS):
        before = used
        count = int(np.count_nonzero(usable))
        limit = NormalDist().inv_cdf(1.0 - _FALSE_ALARM / 2.0 / max(count, 1))
        misfits = line.misfits(usable, limit, max(1, count // 3))
        used = usable.copy()
        used[[group[0] for group in misfits]] = False
        if turn and np.array_equal(used, before):
            break
        at = _solved(bench, unknowns, spots, line, used, read, spread)
        line = _line(look(bench, unknowns, spots, at), read, spread, at)
    apart, apart_spread = line.left_out(used)
    return Estimate(
        bench=bench,
        readings=tuple(readings),
        unknowns=unknowns,
        at=at,
        covariance=line.covariance(used),
        spread=spread,
        shown=read - line.off * spread,
        used=used,
        apart=apart,
        apart_spread=apart_spread,
        misfits=tuple(misfits),
    )


def spreads(bench: Bench, readings: Sequence[Reading]) -> Array:
    """Spread of each reading, with what friction may hold and what oil may cling."""
    own = [
        float(np.hypot(each.spread, CLINGS_SPREAD_ML))
        if each.place is Place.OIL_DRAINED
        else each.spread
        for each in readings
    ]
    return np.hypot(own, _held_anywhere(bench, [spot_of(each) for each in readings]))


def surprise_of(off: Array, covariance: Array) -> float:
    """Chance that normal figures of this covariance lie as far off as these, all together."""
    return _tail(float(off @ np.linalg.solve(covariance, off)), len(off)) if len(off) else 1.0


def _tail(squares: float, freedom: int) -> float:
    from scipy.special import gammaincc

    return float(gammaincc(freedom / 2, squares / 2))


def _line(now: Look, read: Array, spread: Array, at: Array) -> Linear:
    return Linear(now.slope / spread[:, None], (read - now.value) / spread, at)


def _solved(
    bench: Bench,
    unknowns: Sequence[Unsure],
    spots: Sequence[Spot],
    line: Linear,
    used: Flags,
    read: Array,
    spread: Array,
) -> Array:
    """The unknowns of least weighted squares; those that no used reading sees stay."""
    if not np.any(used):
        return np.zeros(len(unknowns))
    from scipy.optimize import least_squares

    seen = [int(c) for c in np.flatnonzero(np.any(np.abs(line.slope[used]) > _SEEN, axis=0))]
    rows = [int(row) for row in np.flatnonzero(used)]
    at = np.zeros(len(unknowns))
    kept: dict[bytes, Look] = {}

    def looked(x: Array) -> Look:
        if x.tobytes() not in kept:
            kept.clear()
            at[seen] = x
            kept[x.tobytes()] = look(bench, unknowns, [spots[row] for row in rows], at, seen)
        return kept[x.tobytes()]

    def residuals(x: Array) -> Array:
        return np.concatenate([(looked(x).value - read[rows]) / spread[rows], x])

    def slopes(x: Array) -> Array:
        return np.concatenate([looked(x).slope / spread[rows][:, None], np.eye(len(x))])

    found = least_squares(
        residuals,
        np.clip(line.best(used), *_limits(unknowns))[seen],
        jac=slopes,
        method="lm",
        xtol=1e-9,
        ftol=1e-12,
        gtol=1e-9,
        max_nfev=_MOST_LOOKS,
    )
    at[seen] = found.x
    return np.clip(at, *_limits(unknowns))


def _marks_where_read(
    bench: Bench, spots: Sequence[Spot], read: Array, usable: Flags
) -> tuple[Unsure, ...]:
    """The marks about where the readings of each end put them on the profile's machine."""
    anywhere = marks()
    start = figures_at(anywhere, np.zeros((1, len(anywhere))))
    off = read - bench.shown(spots, start)[0]
    middle = {}
    for each in anywhere:
        rows = [r for r, spot in enumerate(spots) if spot.place == each.address[1] and usable[r]]
        if rows:
            middle[each.address[1]] = MARK_MM + float(np.median(off[rows]))
    return tuple(
        replace(each, value=middle.get(each.address[1], each.value), low=-np.inf, high=np.inf)
        for each in anywhere
    )


def _held_anywhere(bench: Bench, spots: Sequence[Spot]) -> Array:
    """Spread [kind of the spot] where nobody said on which side friction holds the machine.

    It may rest anywhere in the band: one standard deviation is its half width over root three,
    each end by itself.
    """
    found = np.zeros(len(spots))
    rows = [r for r, spot in enumerate(spots) if spot.rubs and spot.side == (0.0, 0.0)]
    if not rows:
        return found
    loose = [spots[row] for row in rows]
    start = figures_at(marks(), np.zeros((1, len(_MARKED))))
    for side in ((1.0, 0.0), (0.0, 1.0)):
        up, down = (
            bench.held(loose, [(sign * side[0], sign * side[1])] * len(loose), start)[0]
            for sign in (1.0, -1.0)
        )
        found[rows] = np.hypot(found[rows], np.abs(up - down) / 2.0 / np.sqrt(3.0))
    return found
