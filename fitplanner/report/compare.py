"""Plans side by side: the rows that a window and a printed page show, as finished words.

Owns which figures are compared and what goes with them: cautions and what was not known. Every
figure comes from a plan. Refuses layout and, but for the order, taste.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from fitplanner.body.reach import Footing
from fitplanner.documents.job import Choices, Job
from fitplanner.documents.machine import INVENTED
from fitplanner.planning.account import new_stand
from fitplanner.planning.plan import Check, Plan, Severity, SpringPlan
from fitplanner.quantities import Kind, UnitSystem, fill
from fitplanner.report.cells import Money, Row, Section, Writer, words_row

MOST_COLUMNS = 4
Chance = Callable[[float], str]
"""Writes a chance from 0 to 1 in words."""

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
class Column:
    """The head of a column."""

    title: str
    machine: str


@dataclass(frozen=True)
class Comparison:
    """All that is said about up to four plans side by side; `notes` stand at the head."""

    title: str
    rider: str
    notes: tuple[str, ...]
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
    entries: Sequence[Entry],
    system: UnitSystem,
    *,
    money: Money,
    chance: Chance,
    decimal_mark: str = ".",
) -> Comparison:
    """Rows of all entries; `money` writes an amount in the shop's currency, `chance` a chance.

    Raises:
        ValueError: more than `MOST_COLUMNS` entries, or none.
    """
    if not 1 <= len(entries) <= MOST_COLUMNS:
        raise ValueError(f"one to {MOST_COLUMNS} plans stand side by side, not {len(entries)}")
    write = Writer(system, decimal_mark, money)
    plans = [entry.plan for entry in entries]
    return Comparison(
        title=_title(entries),
        rider=_rider(entries, write),
        notes=_notes(entries),
        columns=tuple(Column(entry.title, entry.job.machine.name) for entry in entries),
        sections=(
            Section("Reach", _reach(plans, write, chance)),
            Section("What to fit", _fit(plans, write)),
            Section("Riding", _riding(plans, write)),
            Section("Standing", _standing(plans, write)),
            Section("Price and work", _work(entries, write)),
            Section("Checks", _checks(plans)),
        ),
        cautions=_cautions(plans),
        unknown=_unknown(plans, write),
    )


def _title(entries: Sequence[Entry]) -> str:
    titles = dict.fromkeys(entry.job.title for entry in entries if entry.job.title)
    return next(iter(titles), "Comparison") if len(titles) == 1 else "Comparison"


def _rider(entries: Sequence[Entry], write: Writer) -> str:
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


def _notes(entries: Sequence[Entry]) -> tuple[str, ...]:
    """What the changes are told against, and which machines nobody can buy."""
    notes = []
    if len(entries) > 1:
        notes.append(f"Changes are against column 1, {entries[0].title}.")
    invented = [n for n, entry in enumerate(entries, 1) if entry.job.machine.invented]
    if invented:
        whole = len(invented) == len(entries)
        notes.append(INVENTED if whole else f"{_listed(invented)}: {INVENTED}")
    return tuple(notes)


def _reach(plans: Sequence[Plan], write: Writer, chance: Chance) -> tuple[Row, ...]:
    needs = [plan.requirement for plan in plans]
    feet = (
        words_row("Feet on the ground", [_FOOTING[need.planned.footing] for need in needs]),
        words_row("As wanted", [_first_upper(chance(need.chance)) for need in needs]),
        write.row("Heels lifted", [need.planned.heel_lift_mm for need in needs]),
    )
    short = [need.planned.gap_mm for need in needs]
    air = (write.row("Ground below the boots", short),) if any(short) else ()
    shop = [None if p.by_shop is None else p.by_shop.on_wheels_mm.value for p in plans]
    here = (write.row("The same as the shop's jobs came out", shop),) if any(shop) else ()
    planned = ["Yes" if p.by_shop and p.by_shop.planned_for else "No" for p in plans]
    for_it = (words_row("Planned with the shop's experience", planned),) if any(shop) else ()
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
        *here,
        *for_it,
    )


def _fit(plans: Sequence[Plan], write: Writer) -> tuple[Row, ...]:
    rows = []
    for same in zip(*(plan.ways for plan in plans), strict=True):
        if any(way.amount_mm for way in same):
            amounts = [way.amount_mm or None for way in same]
            rows.append(write.row(same[0].label, amounts, decimals=1))
    ends = [("Fork", [plan.springs["front"] for plan in plans]),
            ("Shock", [plan.springs["rear"] for plan in plans])]  # fmt: skip
    for name, springs in ends:
        rates = [_rate(spring, write) for spring in springs]
        rows.append(words_row(f"{name} spring", rates))
        preloads = [spring.preload_mm for spring in springs]
        rows.append(write.row(f"{name} preload", preloads, decimals=1))
    stands = ["Shortened" if new_stand(plan) else "As it is" for plan in plans]
    rows.append(words_row("Side-stand", stands))
    return tuple(rows)


def _rate(spring: SpringPlan, write: Writer) -> str:
    text = write.text(spring.rate_n_mm, Kind.SPRING_RATE)
    return f"{text}, stock" if spring.rate_n_mm == spring.stock_rate_n_mm else text


def _riding(plans: Sequence[Plan], write: Writer) -> tuple[Row, ...]:
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


def _standing(plans: Sequence[Plan], write: Writer) -> tuple[Row, ...]:
    return (
        _figure("Lean if the old stand stays", "Lean if the old stand stays", plans, write),
        _figure("Stand length that restores it", "Stand length, pivot to foot", plans, write),
    )


def _figure(label: str, named: str, plans: Sequence[Plan], write: Writer) -> Row:
    """A row of one of the plans' consequences; a dash where a plan does not have it."""
    found = [next((c for c in plan.consequences if c.label == named), None) for plan in plans]
    known = next((each for each in found if each is not None), None)
    kind, decimals = (Kind.LENGTH, None) if known is None else (known.kind, known.decimals)
    values = [None if each is None else each.planned for each in found]
    return write.row(label, values, kind, decimals)


def _work(entries: Sequence[Entry], write: Writer) -> tuple[Row, ...]:
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
        words_row(label, [_failing(plan.checks, severity) for plan in plans])
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


def _unknown(plans: Sequence[Plan], write: Writer) -> tuple[str, ...]:
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


def _first_upper(text: str) -> str:
    return f"{text[:1].upper()}{text[1:]}"


def _listed(numbers: Sequence[int]) -> str:
    """For example "Columns 1, 2 and 4"."""
    words = [str(number) for number in numbers]
    if len(words) == 1:
        return f"Column {words[0]}"
    return f"Columns {', '.join(words[:-1])} and {words[-1]}"
