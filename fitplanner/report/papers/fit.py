"""The fit sheet for the customer: what will change, what it costs, how sure it is, how to undo it.

Owns what a customer is told and its words. Every figure comes from plan and account.
"""

from collections.abc import Iterator, Sequence

from fitplanner.body.reach import Footing
from fitplanner.documents.job import Job
from fitplanner.planning.account import Account, new_stand
from fitplanner.planning.bench import steps
from fitplanner.planning.evaluate import ASSUMED_FIGURES
from fitplanner.planning.plan import ByShop, FootingFigures, Plan, Severity
from fitplanner.planning.ways import WAYS
from fitplanner.quantities import Kind
from fitplanner.report.papers.paper import Block, Fact, Facts, Grid, Heading, Paper, Picture, Words
from fitplanner.report.papers.write import FOOTING, Writer, chance_words, remark

_ROWS = (
    ("Fork travel, along the fork", "Travel of the fork"),
    ("Rear wheel travel", "Travel of the rear wheel"),
    ("Ground clearance on its wheels", "Ground clearance, on its wheels"),
    ("Lean until a peg touches, rider up", "Lean until a peg touches"),
    ("Knee angle on the pegs", "Angle of your knee on the pegs"),
)
_LEAST_MM = 0.05
_RIDE = "ride"


def fit_sheet(
    job: Job, plan: Plan, account: Account, write: Writer, delivered: Sequence[str] = ()
) -> Paper:
    """One page for the customer; `delivered`: what the proof of a closed job has to tell."""
    return Paper(
        name="Fit sheet",
        title=job.title,
        reference=job.reference,
        head=_head(job, plan, write),
        blocks=tuple(_blocks(plan, account, write, job, delivered)),
        foot="Worked out from the machine's profile and your measurements, not a promise; the "
        "tape after the work decides.",
        remark=remark(job.machine),
        one_page=True,
    )


def _head(job: Job, plan: Plan, write: Writer) -> tuple[Fact, ...]:
    leg = write.text(plan.requirement.inside_leg_mm.value)
    how = " (estimated)" if plan.requirement.inside_leg_estimated else ""
    facts = (
        Fact("Rider", job.rider.name),
        Fact("Machine", job.machine.name),
        Fact("Inside leg", f"{leg}{how}"),
    )
    return tuple(fact for fact in facts if fact.value)


def _blocks(
    plan: Plan, account: Account, write: Writer, job: Job, delivered: Sequence[str]
) -> Iterator[Block]:
    told = " ".join(write.sentence(each) for each in delivered)
    yield Words(told or _verdict(plan, write), "strong")
    planned = ", as it was planned" if delivered else ""
    yield Picture(f"Before and after{planned}, stopped with your feet down, drawn to one scale")
    yield Heading("What changes for you")
    yield Grid(
        ("", "Before", _after(plan, closed=bool(delivered))),
        tuple(_rows(plan, write)),
        (False, False, False),
        (0.32, 0.32, 0.36),
    )
    yield Heading("What we do")
    yield Words(f"{'; '.join(_work(plan, write)) or 'Nothing is changed'}.")
    yield Heading("What it costs")
    # What was agreed holds, whatever the shop's rates are now.
    price, hours = account.cost, account.hours
    told = "Price, work and parts"
    if job.quote is not None:
        price, hours, told = job.quote.price, job.quote.hours, "Price agreed, work and parts"
    yield Facts((Fact(told, write.money(price)), Fact("Working time", write.hours(hours))))
    if write.no_currency:
        yield Words("No currency is set: say which one is meant.")
    if account.assumed:
        yield Words(
            "Not a firm price: hours and prices of parts were never entered for this machine, "
            f"those here are assumed ({', '.join(map(str.lower, account.assumed))})."
        )
    yield Heading("What to mind")
    yield from _mind(plan, job, write)
    yield Heading("What was not known")
    yield Words(" ".join(_unknown(plan, write)) or "Nothing was assumed.")
    yield Heading("How to undo it")
    yield Words(" ".join(_undo(plan, account, write)))


def _after(plan: Plan, *, closed: bool) -> str:
    """What the figures of the plan are, where others stand above them."""
    if closed:
        return "After, as it was planned"
    return "After" if plan.by_shop is None else "After, by physics alone"


def _verdict(plan: Plan, write: Writer) -> str:
    if plan.by_shop is not None and plan.by_shop.planned_for:
        return _as_jobs_came_out(plan, plan.by_shop, write)
    need, drop = plan.requirement, plan.delivered.on_wheels_mm
    band = f"{write.bare(drop.low)} and {write.text(drop.high)}"
    moved = "lower" if drop.value >= 0 else "higher"
    before, after = (at.on_wheels.seat_height_mm for at in (plan.states.stock, plan.states.planned))
    shown = write.difference(after, before)
    told = (
        f"Your seat will stand {write.text(abs(shown))} {moved} on its wheels "
        f"(in 9 of 10 cases between {band})."
    )
    if plan.by_shop is not None:
        told += f" {write.sentence(plan.by_shop.told)}"
    if need.wanted is Footing.NONE:
        return told
    sure = chance_words(need.chance)
    if plan.by_shop is not None:
        sure += ", by physics alone"
    return f"{told} That you get {FOOTING[need.wanted]} to the ground is {sure}."


def _as_jobs_came_out(plan: Plan, shop: ByShop, write: Writer) -> str:
    """One truth where it was asked for: height and footing are those of the shop's jobs."""
    drop, need = shop.on_wheels_mm, plan.requirement
    before, after = (at.on_wheels.seat_height_mm for at in (plan.states.stock, plan.states.planned))
    jobs = "the 1 closed job" if shop.jobs == 1 else f"the {shop.jobs} closed jobs"
    told = (
        f"Your seat will stand {write.text(abs(drop.value))} "
        f"{'lower' if drop.value >= 0 else 'higher'} on its wheels, as {jobs} of this shop on this "
        f"kind of machine came out (in 9 of 10 cases between {write.bare(drop.low)} and "
        f"{write.text(drop.high)}); by physics alone it would be "
        f"{write.text(abs(write.difference(after, before)))}."
    )
    if need.wanted is Footing.NONE:
        return told
    sure = chance_words(shop.chance)
    return f"{told} That you then get {FOOTING[need.wanted]} to the ground is {sure}."


def _rows(plan: Plan, write: Writer) -> Iterator[tuple[str, str, str]]:
    need, stock, planned = plan.requirement, plan.states.stock, plan.states.planned
    for label, state in (
        ("Seat, on its wheels", "on_wheels"),
        ("Seat, stopped with your feet down", "stopped"),
    ):
        before, after = (getattr(each, state).seat_height_mm for each in (stock, planned))
        yield label, write.text(before), write.text(after)
    yield "Feet on the ground", _feet(need.stock, write), _feet(need.planned, write)
    found = {row.label: row for row in plan.consequences}
    for named, label in _ROWS:
        row = found[named]
        if row.stock is not None and row.planned is not None:
            yield (
                label,
                write.text(row.stock, row.kind, row.decimals),
                write.text(row.planned, row.kind, row.decimals),
            )
    yield _steering(plan, write)


def _steering(plan: Plan, write: Writer) -> tuple[str, str, str]:
    before, after = plan.states.stock.rider_up, plan.states.planned.rider_up
    words = [
        f"trail {write.text(at.trail_mm)}, rake {write.text(at.rake_deg, Kind.ANGLE)}"
        for at in (before, after)
    ]
    return "Steering, with you on it", words[0], words[1]


def _work(plan: Plan, write: Writer) -> Iterator[str]:
    """Everything that is fitted, cut or set, in the order of the plan."""
    for way in plan.ways:
        if way.amount_mm >= _LEAST_MM:
            yield f"{way.label} {write.text(way.amount_mm, decimals=1)}"
    for name, spring in (("fork", plan.springs["front"]), ("shock", plan.springs["rear"])):
        rate = write.text(spring.rate_n_mm, Kind.SPRING_RATE)
        if abs(spring.rate_n_mm - spring.stock_rate_n_mm) > 1e-6:
            yield f"{name} spring {rate} for your weight"
        elif abs(spring.preload_mm - spring.stock_preload_mm) > _LEAST_MM:
            yield f"{name} preload set for your weight"
    if new_stand(plan):
        yield "side-stand shortened"


def _feet(at: FootingFigures, write: Writer) -> str:
    words = FOOTING[at.footing]
    words = words[0].upper() + words[1:]
    if at.footing is Footing.NONE:
        return f"{words}, {write.text(at.gap_mm)} short" if at.gap_mm > 0 else words
    if at.footing is Footing.ONE_FOOT_FLAT and at.lean_deg:
        return f"{words}, leaned by {write.text(at.lean_deg, Kind.ANGLE)}"
    lifted = at.heel_lift_mm
    return f"{words}, heels up {write.text(lifted)}" if lifted > 0.5 else words


def _unknown(plan: Plan, write: Writer) -> Iterator[str]:
    """What the plan assumes; of the machine's figures only how many, the rest is for the bench."""
    for text in plan.assumptions:
        start, _, names = text.partition(": ")
        if start == ASSUMED_FIGURES:
            count = names.count(",") + 1
            figures = (
                "One figure of the machine is"
                if count == 1
                else (f"{count} figures of the machine are")
            )
            yield f"{figures} assumed, not measured."
        else:
            yield f"{write.sentence(text).rstrip('.')}."


def _mind(plan: Plan, job: Job, write: Writer) -> Iterator[Words]:
    """Checks that do not hold, worst first, then what holds on the road."""
    for check in plan.checks:
        if not check.holds and check.severity is not Severity.NOTE:
            stop = check.severity is Severity.STOP
            word = "Not to be built like this: " if stop else ""
            value = write.text(check.value, check.kind, check.decimals)
            told = f"{word}{check.title} ({value}). {write.sentence(check.reason).rstrip('.')}."
            yield Words(told, "caution")
    for step in steps(job, plan):
        if step.key == _RIDE:
            for caution in step.cautions:
                yield Words(write.sentence(caution.text), "caution")


def _undo(plan: Plan, account: Account, write: Writer) -> Iterator[str]:
    used = [way for way in plan.ways if way.amount_mm > 0]
    if not used:
        yield "Nothing is changed that would have to be undone but springs and preload."
    stays = [way.label.lower() for way in used if WAYS[way.way].undone < 1.0]
    if used:
        share = write.text(account.undo, Kind.PERCENT)
        yield (
            f"Keep the old parts: fitting them again takes back {share} of the work, and costs "
            "about as many hours."
        )
    if stays:
        yield f"For good: {', '.join(stays)}."
    if new_stand(plan):
        yield "A shortened side-stand stays short: going back needs a stand of stock length."
