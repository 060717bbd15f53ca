"""Plans side by side: the rows that a window and a printed page show, as finished words.

Owns which figures are compared, how a difference is told, and what goes with them: cautions and
what was not known. Every figure comes from a plan. Refuses layout and, but for the order, taste.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from fitplanner.body.reach import Footing
from fitplanner.documents.job import Choices, Job
from fitplanner.planning.plan import Check, Plan, Severity, SpringPlan
from fitplanner.quantities import (
    Kind,
    UnitSystem,
    display_unit,
    fill,
    format_quantity,
    from_display,
)
from fitplanner.quantities.formatting import MINUS

MOST_COLUMNS = 4
NOTHING = "\N{EN DASH}"
OTHER = "\N{NOT EQUAL TO}"
"""Stands before words that differ from those of the first column."""

Money = Callable[[float], str]

_FOOTING = {
    Footing.BOTH_FLAT: "Both feet flat",
    Footing.BOTH_BALLS: "Balls of both feet",
    Footing.BOTH_TOES: "Toes of both feet",
    Footing.ONE_FOOT_FLAT: "One foot flat",
    Footing.NONE: "No foot safely down",
}


@dataclass(frozen=True)
class Entry:
    """One column's matter: a job and its plan; price and work where they are known."""

    title: str
    job: Job
    plan: Plan
    cost: float | None = None
    hours: float | None = None
    undo: float | None = None


@dataclass(frozen=True)
class Cell:
    """Finished words; `change` tells how they differ from the first column, "" where they agree."""

    text: str
    change: str = ""

    @property
    def words(self) -> str:
        """Text and difference in one."""
        if self.change in ("", OTHER):
            return f"{self.change} {self.text}".lstrip()
        return f"{self.text} ({self.change})"


@dataclass(frozen=True)
class Row:
    """One matter in all columns."""

    label: str
    cells: tuple[Cell, ...]

    @property
    def differs(self) -> bool:
        """Whether any column differs from the first."""
        return any(cell.change for cell in self.cells)


@dataclass(frozen=True)
class Section:
    """Rows that belong together."""

    title: str
    rows: tuple[Row, ...]


@dataclass(frozen=True)
class Column:
    """The head of a column."""

    title: str
    machine: str


@dataclass(frozen=True)
class Comparison:
    """All that is said about up to four plans side by side."""

    title: str
    rider: str
    columns: tuple[Column, ...]
    sections: tuple[Section, ...]
    cautions: tuple[tuple[str, str], ...]
    unknown: tuple[str, ...]


def stock_choices(job: Job) -> Choices:
    """Choices that leave the machine as it is; load and wishes stay those of the job."""
    fork, rear = job.machine.fork, job.machine.rear
    ways = {spec.key: 0.0 for spec in Choices.specs() if spec.optional}
    springs = {
        "fork_rate_n_mm": fork.spring_rate_n_mm.value,
        "fork_preload_mm": fork.preload_mm.value,
        "shock_rate_n_mm": rear.spring_rate_n_mm.value,
        "shock_preload_mm": rear.preload_mm.value,
    }
    return job.choices.replace(**(ways | springs))


def open_choices(choices: Choices) -> Choices:
    """`choices` with every way and spring left to the planner; load and wishes stay."""
    return choices.replace(**{spec.key: None for spec in Choices.specs() if spec.optional})


def compare(
    entries: Sequence[Entry], system: UnitSystem, *, money: Money, decimal_mark: str = "."
) -> Comparison:
    """Rows of all entries; `money` writes an amount in the shop's currency.

    Raises:
        ValueError: more than `MOST_COLUMNS` entries, or none.
    """
    if not 1 <= len(entries) <= MOST_COLUMNS:
        raise ValueError(f"one to {MOST_COLUMNS} plans stand side by side, not {len(entries)}")
    write = _Writer(system, decimal_mark, money)
    plans = [entry.plan for entry in entries]
    return Comparison(
        title=_title(entries),
        rider=_rider(entries, write),
        columns=tuple(Column(entry.title, entry.job.machine.name) for entry in entries),
        sections=(
            Section("Reach", _reach(plans, write)),
            Section("What to fit", _fit(plans, write)),
            Section("Riding", _riding(plans, write)),
            Section("Standing", _standing(plans, write)),
            Section("Price and work", _work(entries, write)),
            Section("Checks", _checks(plans)),
        ),
        cautions=_cautions(plans),
        unknown=_unknown(plans, write),
    )


@dataclass(frozen=True)
class _Writer:
    """Writes values and their differences from the first column."""

    system: UnitSystem
    decimal_mark: str
    money: Money

    def text(
        self, value: float, kind: Kind, decimals: int | None = None, *, signed: bool = False
    ) -> str:
        return format_quantity(
            value,
            kind,
            self.system,
            signed=signed,
            decimals=self._decimals(kind, decimals),
            decimal_mark=self.decimal_mark,
        )

    def row(
        self,
        label: str,
        values: Sequence[float | None],
        kind: Kind = Kind.LENGTH,
        decimals: int | None = None,
    ) -> Row:
        """A row of figures."""
        return Row(label, tuple(self._cell(value, values[0], kind, decimals) for value in values))

    def _cell(
        self, value: float | None, first: float | None, kind: Kind, decimals: int | None
    ) -> Cell:
        if value is None:
            return Cell(NOTHING, "" if first is None else OTHER)
        text = self.text(value, kind, decimals)
        if first is None:
            return Cell(text, OTHER)
        if text == self.text(first, kind, decimals):
            return Cell(text)
        if kind is Kind.PERCENT:
            points = f"{100 * abs(value - first):.{decimals or 0}f}"
            sign = "+" if value > first else MINUS
            return Cell(text, f"{sign}{points.replace('.', self.decimal_mark)} points")
        change = self._shown(value, kind, decimals) - self._shown(first, kind, decimals)
        return Cell(text, self.text(change, kind, decimals, signed=True))

    def _shown(self, value: float, kind: Kind, decimals: int | None) -> float:
        """The value as it is read, so that a difference agrees with the two figures beside it."""
        text = format_quantity(
            value, kind, self.system, with_unit=False, decimals=self._decimals(kind, decimals)
        )
        return from_display(float(text.replace(MINUS, "-")), kind, self.system)

    def _decimals(self, kind: Kind, metric: int | None) -> int | None:
        """Digits wanted in metric units, carried over to the unit shown."""
        if metric is None:
            return None
        usual = display_unit(kind, self.system).decimals
        return max(0, metric + usual - display_unit(kind, UnitSystem.METRIC).decimals)

    def prices(self, label: str, values: Sequence[float | None]) -> Row:
        """A row of amounts of money."""
        return Row(label, tuple(self._plain(v, values[0], self.money) for v in values))

    def hours(self, label: str, values: Sequence[float | None]) -> Row:
        """A row of working time."""

        def text(value: float) -> str:
            return f"{value:.1f} h".replace(".", self.decimal_mark)

        return Row(label, tuple(self._plain(v, values[0], text) for v in values))

    @staticmethod
    def _plain(value: float | None, first: float | None, text: Callable[[float], str]) -> Cell:
        if value is None:
            return Cell(NOTHING, "" if first is None else OTHER)
        shown = text(value)
        if first is None:
            return Cell(shown, OTHER)
        if shown == text(first):
            return Cell(shown)
        return Cell(shown, f"{'+' if value > first else MINUS}{text(abs(value - first))}")


def _words(label: str, texts: Sequence[str]) -> Row:
    """A row of words."""
    return Row(label, tuple(Cell(text, "" if text == texts[0] else OTHER) for text in texts))


def _title(entries: Sequence[Entry]) -> str:
    titles = dict.fromkeys(entry.job.title for entry in entries if entry.job.title)
    return next(iter(titles), "Comparison") if len(titles) == 1 else "Comparison"


def _rider(entries: Sequence[Entry], write: _Writer) -> str:
    """Whom the columns were worked out for; said apart where they are not for the same figures."""
    riders = [entry.job.rider for entry in entries]
    first, plan = riders[0], entries[0].plan
    if any(rider.replace(name="") != first.replace(name="") for rider in riders):
        return "The columns are for different figures of the rider"
    estimated = " (estimated)" if plan.requirement.inside_leg_estimated else ""
    parts = [
        first.name,
        f"inside leg {write.text(plan.requirement.inside_leg_mm.value, Kind.LENGTH)}{estimated}",
    ]
    if first.mass_kg is not None:
        parts.append(f"{write.text(first.mass_kg, Kind.MASS)} without gear")
    parts.append(f"wants: {_FOOTING[first.footing].lower()}")
    return ", ".join(part for part in parts if part)


def _reach(plans: Sequence[Plan], write: _Writer) -> tuple[Row, ...]:
    needs = [plan.requirement for plan in plans]
    feet = (
        _words("Feet on the ground", [_FOOTING[need.planned.footing] for need in needs]),
        _words("As wanted", ["Yes" if need.reached else "No" for need in needs]),
        write.row("Heels lifted", [need.planned.heel_lift_mm for need in needs]),
    )
    short = [need.planned.gap_mm for need in needs]
    air = (write.row("Ground below the boots", short),) if any(short) else ()
    return (
        *feet,
        *air,
        write.row(
            "Seat height, rider stopped",
            [plan.states.planned.stopped.seat_height_mm for plan in plans],
        ),
        write.row(
            "Seat height, on its wheels",
            [plan.states.planned.on_wheels.seat_height_mm for plan in plans],
        ),
        write.row(
            "Lower than its stock, by the tape",
            [plan.delivered.on_wheels_mm.value for plan in plans],
        ),
    )


def _fit(plans: Sequence[Plan], write: _Writer) -> tuple[Row, ...]:
    rows = []
    for same in zip(*(plan.ways for plan in plans), strict=True):
        if any(way.amount_mm for way in same):
            amounts = [way.amount_mm or None for way in same]
            rows.append(write.row(same[0].label, amounts, decimals=1))
    ends = [("Fork", [plan.springs["front"] for plan in plans]),
            ("Shock", [plan.springs["rear"] for plan in plans])]  # fmt: skip
    for name, springs in ends:
        rates = [_rate(spring, write) for spring in springs]
        rows.append(_words(f"{name} spring", rates))
        preloads = [spring.preload_mm for spring in springs]
        rows.append(write.row(f"{name} preload", preloads, decimals=1))
    return tuple(rows)


def _rate(spring: SpringPlan, write: _Writer) -> str:
    text = write.text(spring.rate_n_mm, Kind.SPRING_RATE)
    return f"{text}, stock" if spring.rate_n_mm == spring.stock_rate_n_mm else text


def _riding(plans: Sequence[Plan], write: _Writer) -> tuple[Row, ...]:
    up = [plan.states.planned.rider_up for plan in plans]
    return (
        _figure("Fork travel", "Fork travel, along the fork", plans, write),
        _figure("Rear wheel travel", "Rear wheel travel", plans, write),
        _figure("Bottoming reserve, front", "Bottoming reserve, front", plans, write),
        _figure("Bottoming reserve, rear", "Bottoming reserve, rear", plans, write),
        write.row("Rider sag, front", [plan.springs["front"].sag.rider_mm for plan in plans]),
        write.row("Rider sag, rear", [plan.springs["rear"].sag.rider_mm for plan in plans]),
        write.row("Trail, rider up", [at.trail_mm for at in up]),
        write.row("Rake, rider up", [at.rake_deg for at in up], Kind.ANGLE),
        _figure("Ground clearance", "Ground clearance on its wheels", plans, write),
        _figure("Knee angle on the pegs", "Knee angle on the pegs", plans, write),
    )


def _standing(plans: Sequence[Plan], write: _Writer) -> tuple[Row, ...]:
    return (
        _figure("Lean if the old stand stays", "Lean if the old stand stays", plans, write),
        _figure("Stand length that restores it", "Stand length, pivot to foot", plans, write),
    )


def _figure(label: str, named: str, plans: Sequence[Plan], write: _Writer) -> Row:
    """A row of one of the plans' consequences; a dash where a plan does not have it."""
    found = [next((c for c in plan.consequences if c.label == named), None) for plan in plans]
    known = next((each for each in found if each is not None), None)
    kind, decimals = (Kind.LENGTH, None) if known is None else (known.kind, known.decimals)
    values = [None if each is None else each.planned for each in found]
    return write.row(label, values, kind, decimals)


def _work(entries: Sequence[Entry], write: _Writer) -> tuple[Row, ...]:
    return (
        write.prices("Price", [entry.cost for entry in entries]),
        write.hours("Working time", [entry.hours for entry in entries]),
        write.row(
            "Can be undone with the old parts", [entry.undo for entry in entries], Kind.PERCENT
        ),
    )


def _checks(plans: Sequence[Plan]) -> tuple[Row, ...]:
    named = (("Do not build", Severity.STOP), ("Look at first", Severity.CAUTION))
    return tuple(
        _words(label, [_failing(plan.checks, severity) for plan in plans])
        for label, severity in named
    )


def _failing(checks: Sequence[Check], severity: Severity) -> str:
    titles = [check.title for check in checks if not check.holds and check.severity is severity]
    return "; ".join(f"fails: {title}" for title in titles).capitalize() if titles else "Nothing"


def _cautions(plans: Sequence[Plan]) -> tuple[tuple[str, str], ...]:
    """Each caution of any plan once, in the order of the work."""
    merged: list[tuple[str, str]] = []
    for plan in plans:
        place = 0
        for caution in plan.cautions:
            told = (caution.step, caution.text)
            if told in merged:
                place = merged.index(told) + 1
            else:
                merged.insert(place, told)
                place += 1
    return tuple(merged)


def _unknown(plans: Sequence[Plan], write: _Writer) -> tuple[str, ...]:
    """What the plans assume; where not all do, with the numbers of their columns."""
    told: dict[str, list[int]] = {}
    for number, plan in enumerate(plans, 1):
        for text in plan.assumptions:
            told.setdefault(fill(text, write.system, decimal_mark=write.decimal_mark), []).append(
                number
            )
    return tuple(
        text if len(columns) == len(plans) else f"{_listed(columns)}: {text}"
        for text, columns in told.items()
    )


def _listed(numbers: Sequence[int]) -> str:
    """For example "Columns 1, 2 and 4"."""
    words = [str(number) for number in numbers]
    if len(words) == 1:
        return f"Column {words[0]}"
    return f"Columns {', '.join(words[:-1])} and {words[-1]}"
