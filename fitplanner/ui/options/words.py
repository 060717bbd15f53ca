"""Owns the words and units of what options are judged by, and of what an option fits.

Refuses to judge: figures and their order come from the search.
"""

from dataclasses import dataclass

from PySide6.QtCore import QCoreApplication, QLocale

from fitplanner.body.reach import Footing
from fitplanner.documents.job import Choices, Job
from fitplanner.documents.machine import MachineProfile
from fitplanner.planning.checks.riding import LEAST_RESERVE_SHARE, MOST_TRAIL_CHANGE_MM
from fitplanner.planning.checks.standing import OLD_STAND
from fitplanner.planning.plan import Plan, Severity, WayId
from fitplanner.planning.search.options import Measure, Measures, Relaxation
from fitplanner.planning.search.ranking import FIELDS
from fitplanner.quantities import Kind, UnitSystem
from fitplanner.ui import texts
from fitplanner.ui.widgets.figures import ARROW, Figures
from fitplanner.ui.widgets.money import currency_symbol, money_text


@dataclass(frozen=True)
class Words:
    """A measure as people read it; `kind` None is money for COST and time for HOURS."""

    label: str
    hint: str
    kind: Kind | None = None
    less_is_better: bool = False


MEASURES: dict[Measure, Words] = {
    Measure.FOOTING: Words(
        "Reach to spare",
        "How far the seat is under the height at which the feet just reach as wanted, stopped",
        Kind.LENGTH,
    ),
    Measure.TRAVEL: Words(
        "Travel kept", "Share of the stock wheel travel, the lesser end", Kind.PERCENT
    ),
    Measure.RESERVE: Words(
        "Bottoming reserve kept",
        "Share of what the springs take up undamped before they bottom, the lesser end",
        Kind.PERCENT,
    ),
    Measure.STEERING: Words(
        "Trail change",
        "Against the stock machine, rider up; less keeps the steering",
        Kind.LENGTH,
        less_is_better=True,
    ),
    Measure.SAG: Words(
        "Sag off its window",
        "How far the rider sags lie outside their windows, as a share of the travel",
        Kind.PERCENT,
        less_is_better=True,
    ),
    Measure.CLEARANCE: Words("Clearance", "Under the machine on its wheels, no rider", Kind.LENGTH),
    Measure.LEGROOM: Words("Knee angle", "On the pegs; a wider angle is more legroom", Kind.ANGLE),
    Measure.COST: Words("Price", "Parts and labour", less_is_better=True),
    Measure.HOURS: Words("Work", "Hours in the workshop", less_is_better=True),
    Measure.UNDO: Words(
        "Work that can be undone",
        "Share of the hours of work that fitting the old parts again takes back; a seat or a "
        "side-stand that was cut stays cut",
        Kind.PERCENT,
    ),
}


@dataclass(frozen=True)
class Writer:
    """Writes measures in one unit system, locale and currency."""

    figures: Figures
    locale: QLocale
    currency: str = ""

    @classmethod
    def of(cls, system: UnitSystem, locale: QLocale, currency: str) -> "Writer":
        """The writer for a page."""
        return cls(Figures.of(system, locale), locale, currency)

    def money(self, amount: float) -> str:
        """An amount in the shop's currency."""
        return money_text(amount, self.locale, self.currency)

    def count(self, number: int) -> str:
        """A whole number, grouped where the locale groups."""
        if self.locale.language() is QLocale.Language.C:
            return f"{number:,}".replace(",", "\N{NARROW NO-BREAK SPACE}")
        return self.locale.toString(number)

    def measure(self, measure: Measure, value: float) -> str:
        """One figure with its unit."""
        if measure is Measure.COST:
            return self.money(value)
        if measure is Measure.HOURS:
            number = f"{value:.1f}".replace(".", self.figures.decimal_mark)
            return f"{number}\N{NO-BREAK SPACE}h"
        kind = MEASURES[measure].kind or Kind.RATIO
        if measure is Measure.STEERING and self.figures.system is not UnitSystem.INCH:
            return self.figures.text(value, kind, decimals=1)
        return self.figures.text(value, kind)

    def axis(self, measure: Measure) -> str:
        """A measure with its unit, and which way is better where that is not the usual one."""
        words = MEASURES[measure]
        label = _tr(words.label)
        if measure is Measure.COST:
            symbol = currency_symbol(self.locale, self.currency)
            label = f"{label}, {symbol}" if symbol else label
        elif measure is Measure.HOURS:
            label = f"{label}, h"
        elif words.kind is not None:
            label = self.figures.headed(label, words.kind)
        return f"{label} ({_tr('less is better')})" if words.less_is_better else label

    def amount(self, relaxation: Relaxation) -> str:
        """By how much a limit would have to give; "" for several limits at once."""
        if not relaxation.unit:
            return ""
        kind = Kind.LENGTH if relaxation.unit == "mm" else Kind.PERCENT
        metric = 1 if relaxation.by < (10 if kind is Kind.LENGTH else 0.1) else None
        return self.figures.text(relaxation.by, kind, decimals=metric)


def label_of(measure: Measure) -> str:
    """The short word."""
    return _tr(MEASURES[measure].label)


def hint_of(measure: Measure) -> str:
    """What it means."""
    return _tr(MEASURES[measure].hint)


def value_of(measures: Measures, measure: Measure) -> float:
    """One figure of an option."""
    value: float = getattr(measures, FIELDS[measure])
    return value


def raised(measures: Measures) -> list[str]:
    """Which of the plan's cautions an option raises as far as its measures tell."""
    named = [
        _tr(name)
        for name, is_raised in (
            ("bottoming reserve", measures.reserve < LEAST_RESERVE_SHARE),
            ("rider sag off its window", measures.sag_miss > 1e-9),
            ("change of trail", measures.steering_mm > MOST_TRAIL_CHANGE_MM),
        )
        if is_raised
    ]
    return [_tr("Look at first: {names}").format(names=", ".join(named))] if named else []


def feet(plan: Plan) -> str:
    """What the feet reach before and after, and how likely that is as wanted."""
    need = plan.requirement
    before, after = texts.label(need.stock.footing), texts.label(need.planned.footing)
    told = after if before == after else f"{before} {ARROW} {after}"
    if need.wanted is Footing.NONE:
        return told
    wanted = _tr("{feet}; as wanted: {chance}")
    return wanted.format(feet=told, chance=texts.chance_words(need.chance))


def failing(plan: Plan) -> list[str]:
    """The plan's checks that do not hold, the gravest first.

    The old side-stand is left out: where it is too long, its change is among the work.
    """
    lines = []
    for severity, words in ((Severity.STOP, "Do not build: {names}"),
                            (Severity.CAUTION, "Look at first: {names}")):  # fmt: skip
        named = [
            check.title
            for check in plan.checks
            if not check.holds and check.severity is severity and check.key != OLD_STAND
        ]
        if named:
            lines.append(_tr(words).format(names="; ".join(named)))
    return lines


def to_fit(
    choices: Choices, machine: MachineProfile, figures: Figures, *, new_stand: bool = False
) -> list[str]:
    """What an option fits, one line each; springs where they are not the stock ones."""
    lines = []
    for way in WayId:
        amount = getattr(choices, f"{way.value}_mm")
        if amount:
            lines.append(f"{texts.label(way)} {figures.text(amount, decimals=1)}")
    fork, rear = machine.fork, machine.rear
    ends = (
        (_tr("Fork spring"), choices.fork_rate_n_mm, fork.spring_rate_n_mm.value,
         choices.fork_preload_mm, fork.preload_mm.value),
        (_tr("Shock spring"), choices.shock_rate_n_mm, rear.spring_rate_n_mm.value,
         choices.shock_preload_mm, rear.preload_mm.value),
    )  # fmt: skip
    for name, rate, stock_rate, preload, stock_preload in ends:
        parts = []
        if rate is not None and abs(rate - stock_rate) > 1e-6:
            parts.append(figures.text(rate, Kind.SPRING_RATE))
        if preload is not None and (parts or abs(preload - stock_preload) > 0.05):
            shown = figures.text(preload, decimals=1)
            parts.append(_tr("preload {amount}").format(amount=shown))
        if parts:
            stock = "" if abs((rate or stock_rate) - stock_rate) > 1e-6 else _tr("stock, ")
            lines.append(f"{name} {stock}{', '.join(parts)}")
    if new_stand:
        lines.append(_tr("Side-stand shortened"))
    return lines or [_tr("Nothing: the machine stays as it is")]


def by_hand(choices: Choices) -> dict[str, float | None]:
    """The ways and springs of `choices`, by field; None where left to the planner."""
    return {spec.key: getattr(choices, spec.key) for spec in Choices.specs() if spec.optional}


def fixed(choices: Choices) -> bool:
    """Whether anything is set by hand."""
    return any(value is not None for value in by_hand(choices).values())


def left_open(choices: Choices) -> Choices:
    """`choices` with all ways and springs left to the search; load and wishes stay."""
    return choices.replace(**dict.fromkeys(by_hand(choices)))


def with_option(job: Job, choices: Choices) -> Job:
    """`job` with the ways and springs of an option; load and wishes stay its own."""
    return job.replace(choices=job.choices.replace(**by_hand(choices)))


def _tr(text: str) -> str:
    return QCoreApplication.translate("Options", text)
