"""Who reaches: the share of women and of men under every setup that a shop may order.

Owns the order of the work, its news and its end. Refuses Qt and threads: the caller brings
`tell` and `cancelled`.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace

import numpy as np

from fitplanner.body.reach import Footing
from fitplanner.body.survey import Population
from fitplanner.documents.customers import Customers
from fitplanner.documents.job import Choices, Job
from fitplanner.documents.machine import MachineProfile
from fitplanner.documents.preferences import Rates
from fitplanner.documents.rider import Rider
from fitplanner.mechanics.arrays import Array
from fitplanner.planning.context import Context, context
from fitplanner.planning.evaluate import evaluate
from fitplanner.planning.fleet.stops import Verdict, verdicts
from fitplanner.planning.loads import Loads, loads_of_people
from fitplanner.planning.people.crowd import (
    GROUPS,
    People,
    bodies_of,
    crowd,
    middle,
    people,
    share_of,
    short_of,
)
from fitplanner.planning.people.setups import (
    Candidate,
    Sort,
    Springs,
    for_people,
    of_choices,
    of_plan,
    single_ways,
    stock_of,
)
from fitplanner.planning.people.spare import Spare, reach_line_mm, spare
from fitplanner.planning.plan import Band
from fitplanner.planning.price import bill
from fitplanner.planning.requirement import machine_spread
from fitplanner.planning.resolve import UnsolvableError
from fitplanner.planning.rider import NORMAL_90, Fitted, IncompleteError, fitted
from fitplanner.planning.search.engine import search
from fitplanner.planning.search.options import Option
from fitplanner.planning.setup import Setup, stock_setup

MOST_OPTIONS = 3
ASKED_SHARES = (0.5, 0.75, 0.9)
"""Shares of women for whom the needed seat is told."""

LINE_MM: Array = np.linspace(1350.0, 2100.0, 31)
"""Statures at which the lines of reach are worked out."""

_SURE_REST = 0.2
"""Share of the work that is done before options are looked for, as the news tell it."""


@dataclass(frozen=True)
class Question:
    """What a shop asks of one machine.

    `pattern` gives gear, boots, riding style and the footing; of his body nothing counts. `load`
    gives fuel, luggage and what else is not fitted. `job` is the one at hand where it is on this
    machine, so that its plan is one of the setups. `wanted`: the share of women that options
    shall bring down to. `rider`: somebody who is looked at besides.
    """

    machine: MachineProfile
    pattern: Rider
    load: Choices
    customers: Customers
    springs: Springs
    wanted: float
    rates: Rates
    job: Job | None = None
    rider: Rider | None = None


@dataclass(frozen=True)
class Own:
    """How one rider stands to a setup, at his or her own mass.

    `spare_mm`: how far the seat may still rise, negative where it is too high. `leg_mm`: the
    shortest inside leg that would reach, NaN where any of that stature does, or none.
    """

    spare_mm: float
    leg_mm: float


@dataclass(frozen=True)
class Row:
    """One setup and who reaches from it.

    The shares are bands: the profile's own spread moves everybody at once. `seat_mm`: as a tape
    reads it with the middle customer stopped on it. `line_mm`: at `LINE_MM` the shortest leg of
    each group that reaches, NaN where none does or all do. `spread_mm`: one standard deviation of
    the seat against what is needed, from the profile. `stop`: why it must not be built like this.
    `new_stand`: the old side-stand is too long. `own`: the question's rider, if any.
    Price in the shop's currency.
    """

    candidate: Candidate
    shares: Mapping[Population, Band]
    all: Band
    seat_mm: float
    spread_mm: float
    line_mm: Mapping[Population, Array] = field(compare=False)
    hours: float
    price: float
    new_stand: bool
    stop: str
    own: Own | None = field(default=None, compare=False)


@dataclass(frozen=True)
class Needed:
    """How far the stock seat would have to come down, by itself, for a share of a group.

    Below 0 it may be so much higher. `seat_mm` is the catalogue's height less that, `stopped_mm`
    that of the stock row, which is measured with the middle customer on it.
    """

    share: float
    drop_mm: Mapping[Population, float]
    seat_mm: Mapping[Population, float]
    stopped_mm: Mapping[Population, float]


@dataclass(frozen=True)
class Found:
    """The answer. `middle` is the customer under whom seats are told, `short` for whom options are.

    `complete` is False where it was stopped before options were found; `fitting` where none lets
    her reach within the limits, so that the only option is the one that comes nearest.
    """

    question: Question
    rows: tuple[Row, ...]
    needed: tuple[Needed, ...]
    middle: Rider
    short: Rider
    complete: bool
    fitting: bool = True


Tell = Callable[[float, Found | None], None]


@dataclass(frozen=True)
class _Shop:
    """A question resolved: the machine, its customers, and what each of them weighs on it."""

    question: Question
    ctx: Context
    crowds: Mapping[Population, People]
    carried: Mapping[Population, Loads]

    @classmethod
    def of(cls, question: Question) -> "_Shop":
        rider = middle(question.pattern, question.customers)
        ctx = context(Job(rider=rider, machine=question.machine, choices=question.load))
        crowds = crowd(question.pattern, question.customers)
        carried = {
            group: loads_of_people(ctx.profile, who, question.load) for group, who in crowds.items()
        }
        return cls(question, ctx, crowds, carried)

    def judged(self, candidates: Sequence[Candidate]) -> Sequence[Verdict]:
        """Each as built, under the middle customer."""
        if not candidates:
            return ()
        return verdicts([self.ctx] * len(candidates), [each.setup for each in candidates])

    def row(self, candidate: Candidate, verdict: Verdict) -> Row:
        question, ctx, setup = self.question, self.ctx, candidate.setup
        spares = self.spares(candidate)
        sprung = for_people(ctx, setup, ctx.carried, question.springs)
        plain = Setup(**{name: float(np.ravel(mm)[0]) for name, mm in sprung.__dict__.items()})
        spread = float(np.linalg.norm(machine_spread(ctx, plain, plain).effect_mm[:, 1]))
        bands = {group: _band(each, spread) for group, each in spares.items()}
        costs = bill(ctx.profile, setup, new_stand=verdict.new_stand)
        return Row(
            candidate=candidate,
            shares=bands,
            all=self._mixed(bands),
            seat_mm=self._seat_mm(candidate),
            spread_mm=spread,
            line_mm={
                group: reach_line_mm(
                    ctx,
                    setup,
                    question.pattern,
                    group,
                    bodies_of(question.customers, group).usual_mass_kg,
                    LINE_MM,
                    question.springs,
                )
                for group in GROUPS
            },
            hours=float(costs.hours),
            price=float(costs.price(question.rates)),
            new_stand=verdict.new_stand,
            stop="" if verdict.stop is None else verdict.stop.reason,
            own=self._own(candidate),
        )

    def _own(self, candidate: Candidate) -> Own | None:
        """The question's rider on it, at his or her own mass; None where too little is known."""
        question = self.question
        if question.rider is None:
            return None
        try:
            rider = fitted(question.rider)
        except IncompleteError:
            return None
        stature = np.array([rider.stature_mm])
        population = question.rider.population
        found = spare(self.ctx, candidate.setup, self._alone(rider), question.springs)
        needed = reach_line_mm(
            self.ctx,
            candidate.setup,
            question.pattern,
            population,
            lambda at, _: np.full_like(at, rider.mass_kg),
            stature,
            question.springs,
        )
        return Own(float(found.spare_mm[0]), float(needed[0]))

    def spares(self, candidate: Candidate) -> dict[Population, Spare]:
        springs = self.question.springs
        return {
            group: spare(self.ctx, candidate.setup, who, springs, self.carried[group])
            for group, who in self.crowds.items()
        }

    def _seat_mm(self, candidate: Candidate) -> float:
        """Under the middle customer."""
        alone = self._alone(self.ctx.rider)
        at = spare(self.ctx, candidate.setup, alone, self.question.springs)
        return float(at.bare_seat_mm[0])

    def _alone(self, rider: Fitted) -> People:
        """One rider as one lane of people, with the question's gear, boots and footing."""
        return people(
            self.question.pattern,
            rider.document.population,
            stature_mm=np.array([rider.stature_mm]),
            inside_leg_mm=np.array([rider.inside_leg_mm]),
            mass_kg=np.array([rider.mass_kg]),
        )

    def _mixed(self, bands: Mapping[Population, Band]) -> Band:
        customers = self.question.customers
        mixed = [
            sum(share_of(customers, group) * getattr(band, name) for group, band in bands.items())
            for name in ("value", "low", "high")
        ]
        return Band(*mixed)

    def needed(self) -> tuple[Needed, ...]:
        """What the seat would need; the people are counted, so every share is one of them."""
        spares = self.spares(stock_of(self.ctx))
        height = self.ctx.profile.catalogue.seat_height_mm.value
        stopped = self._seat_mm(stock_of(self.ctx))
        found = []
        for share in ASKED_SHARES:
            drops = {
                group: -float(np.quantile(each.spare_mm, 1.0 - share))
                for group, each in spares.items()
            }
            seats = {group: height - drop for group, drop in drops.items()}
            stops = {group: stopped - drop for group, drop in drops.items()}
            found.append(Needed(share, drops, seats, stops))
        return tuple(found)


def _band(found: Spare, spread_mm: float) -> Band:
    value = found.share()
    if spread_mm <= 0.0:
        return Band(value, value, value)
    away = NORMAL_90 * spread_mm
    low, high = found.share(away), found.share(-away)
    return Band(value, min(low, value), max(high, value))


def who_reaches(
    question: Question,
    *,
    tell: Tell = lambda share, found: None,
    cancelled: Callable[[], bool] = lambda: False,
) -> Found:
    """Shares for stock, the job's plan and each way alone; then for options that are looked for.

    Args:
        tell: called with the share of the work done and, once all but the options is known, with
            the answer so far.
        cancelled: asked between setups and while options are looked for; True ends with what
            is known.

    Raises:
        UnsolvableError: no machine can be built from the profile.
        ValueError: no footing is asked about.
    """
    if question.pattern.footing is Footing.NONE:
        raise ValueError("choose a footing: nobody fails to reach none")
    shop = _Shop.of(question)
    short = short_of(question.pattern, question.customers, question.wanted)
    fixed = [stock_of(shop.ctx), *_plan(question), *single_ways(shop.ctx)]
    judged = shop.judged(fixed)
    rows: list[Row] = []
    needed: tuple[Needed, ...] = ()
    for done, (candidate, verdict) in enumerate(zip(fixed, judged, strict=True)):
        if cancelled():
            return Found(question, tuple(rows), needed, shop.ctx.rider.document, short, False)
        rows.append(shop.row(candidate, verdict))
        needed = needed or shop.needed()
        tell(_SURE_REST * (done + 1) / len(fixed), None)
    found = Found(question, tuple(rows), needed, shop.ctx.rider.document, short, False)
    tell(_SURE_REST, found)
    options = _options(question, short, tell, cancelled)
    if options is None:
        return found
    candidates, fitting = options
    rows += map(shop.row, candidates, shop.judged(candidates))
    return replace(found, rows=_in_order(rows), complete=True, fitting=fitting)


def _plan(question: Question) -> Sequence[Candidate]:
    """The plan of the job at hand, where there is one that does anything."""
    if question.job is None:
        return ()
    try:
        candidate = of_plan(evaluate(question.job))
    except (IncompleteError, UnsolvableError):
        return ()
    return (candidate,) if candidate.setup != stock_setup(question.machine) else ()


def _options(
    question: Question, short: Rider, tell: Tell, cancelled: Callable[[], bool]
) -> tuple[tuple[Candidate, ...], bool] | None:
    """The best few options for the short customer, or the nearest, and whether they let her reach.

    None where the search was stopped. Boots are the customers' own, so no option rests on thicker
    soles.
    """
    load = question.load.replace(thicker_sole_mm=0.0)
    found = search(
        Job(rider=short, machine=question.machine, choices=load),
        rates=question.rates,
        progress=lambda share, _: tell(_SURE_REST + (1.0 - _SURE_REST) * share, None),
        cancelled=cancelled,
    )
    if not found.complete:
        return None
    best: list[Option] = list(found.options[:MOST_OPTIONS])
    if not best:
        best = [each.option for each in found.relaxations if each.key == "footing_mm"]
    candidates = tuple(
        of_choices(option.choices, number, option.reason)
        for number, option in enumerate(best, start=1)
    )
    return candidates, bool(found.options)


def _in_order(rows: Sequence[Row]) -> tuple[Row, ...]:
    """Stock, plan, options, single ways."""
    return tuple(sorted(rows, key=lambda row: list(Sort).index(row.candidate.sort)))
