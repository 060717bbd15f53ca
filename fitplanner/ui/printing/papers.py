"""Owns which papers there are and how each is made ready for its pages.

Refuses what stands on them (`report.papers`). May be called on any thread.
"""

from collections.abc import Callable
from dataclasses import dataclass
from enum import Enum, auto

from PySide6.QtCore import QCoreApplication, QLocale

from fitplanner.documents.job import Job
from fitplanner.documents.preferences import Rates
from fitplanner.planning.account import account
from fitplanner.planning.bench import order, steps
from fitplanner.planning.plan import Plan
from fitplanner.planning.taped import delivered_mm
from fitplanner.quantities import UnitSystem
from fitplanner.report.papers import (
    Proved,
    Writer,
    bench_sheet,
    fit_sheet,
    parts_list,
    proof_paper,
    specialist_order,
)
from fitplanner.report.papers.proof import missing
from fitplanner.ui.printing.before_after import BeforeAfter
from fitplanner.ui.printing.sheet import PaperSheet
from fitplanner.ui.widgets.figures import Figures
from fitplanner.ui.widgets.money import lacks_currency, money_text

Prover = Callable[[Job, Plan], Proved]
"""Holds the work of a job against its plan."""

_STATE = "stopped"


class Sheet(Enum):
    """The papers of one job."""

    FIT = auto()
    BENCH = auto()
    ORDER = auto()
    PARTS = auto()
    PROOF = auto()


class LackingError(Exception):
    """There is nothing to put on this paper; the message says why."""


@dataclass(frozen=True)
class Case:
    """What papers are made of: a plan with its job, and how the shop writes."""

    job: Job
    plan: Plan
    system: UnitSystem
    rates: Rates
    locale: QLocale
    prove: Prover | None = None


def sheet_label(sheet: Sheet) -> str:
    """The name of a paper."""
    return {
        Sheet.FIT: _tr("Fit sheet"),
        Sheet.BENCH: _tr("Bench sheet"),
        Sheet.ORDER: _tr("Specialist's order"),
        Sheet.PARTS: _tr("Parts list"),
        Sheet.PROOF: _tr("Proof"),
    }[sheet]


def make_sheet(sheet: Sheet, case: Case) -> PaperSheet:
    """One paper, ready for its pages.

    Raises:
        LackingError: the plan has nothing for it.
        IncompleteError, UnsolvableError: the work cannot be held against the plan.
    """
    job, plan, locale = case.job, case.plan, case.locale
    figures = Figures.of(case.system, locale)

    agreed = job.quote if sheet is Sheet.FIT else None
    currency = case.rates.currency if agreed is None else agreed.currency

    def money(amount: float) -> str:
        return money_text(amount, locale, currency)

    write = Writer(
        case.system, money, figures.decimal_mark, no_currency=lacks_currency(locale, currency)
    )
    if sheet is Sheet.FIT:
        proved = case.prove(job, plan) if case.prove and delivered_mm(job) is not None else None
        told = proved.tell if proved is not None and proved.complete else ()
        paper = fit_sheet(job, plan, account(job, plan, case.rates), write, told)
        picture = BeforeAfter(plan.pictures.side[_STATE], figures.length)
        return PaperSheet(paper, picture, locale)
    if sheet is Sheet.BENCH:
        return PaperSheet(bench_sheet(job, plan, write), locale=locale)
    if sheet is Sheet.PARTS:
        return PaperSheet(parts_list(job, plan, write), locale=locale)
    if sheet is Sheet.ORDER:
        wanted = order(job, plan)
        if wanted is None:
            raise LackingError(
                _tr("No specialist's work in this plan: the shock is neither opened nor shortened.")
            )
        return PaperSheet(specialist_order(wanted, write), locale=locale)
    if case.prove is None or not job.measured_after:
        raise LackingError(_tr("No proof yet: nothing was measured after the work."))
    proved, rows = case.prove(job, plan), steps(job, plan)
    lacking = missing(proved, sum(each.done for each in rows), len(rows))
    return PaperSheet(proof_paper(job, proved, write, lacking), locale=locale)


def _tr(text: str) -> str:
    return QCoreApplication.translate("Printing", text)
