"""The plan as plain text for a terminal.

Owns the order in which a technician reads it: verdict, what to fit, heights, springs, work,
checks that do not hold, cautions. Refuses to compute.
"""

from collections.abc import Iterator

from fitplanner.documents.job import Job
from fitplanner.planning.plan import STATE_LABELS, Band, Plan, SpringPlan
from fitplanner.quantities import Kind, UnitSystem, fill, format_quantity


def plan_text(plan: Plan, job: Job, system: UnitSystem) -> str:
    """The plan in lines of at most about 100 characters."""
    return "\n".join(_lines(plan, job, system)) + "\n"


def _lines(plan: Plan, job: Job, system: UnitSystem) -> Iterator[str]:
    def show(value: float, kind: Kind = Kind.LENGTH, decimals: int | None = None) -> str:
        return format_quantity(value, kind, system, decimals=decimals)

    def band(value: Band) -> str:
        return f"{show(value.value)} ({show(value.low)} to {show(value.high)}, 90 %)"

    need = plan.requirement
    yield f"{job.title or 'Job'}: {job.rider.name or 'rider'} on {job.machine.name}"
    yield fill(plan.summary, system)
    yield ""
    yield f"Needed drop, stopped:   {band(need.drop_mm)}"
    yield f"Planned drop, stopped:  {band(need.planned_drop_mm)}"
    yield f"Drop on its wheels:     {band(plan.delivered.on_wheels_mm)}"
    yield fill(plan.delivered.reason, system)
    if plan.by_shop is not None:
        yield fill(plan.by_shop.told, system)
    yield ""
    yield "What to fit"
    for way in plan.ways:
        if way.amount_mm:
            how = "by hand" if way.by_hand else "chosen"
            yield f"  {way.label}: {show(way.amount_mm, decimals=_fine(system))} ({how})"
    for spring in plan.springs.values():
        yield from _spring(spring, system)
    yield fill(plan.split.reason, system)
    yield ""
    yield f"{'Seat height':<20}{'stock':>12}{'planned':>12}"
    for name, words in STATE_LABELS.items():
        stock, planned = getattr(plan.states.stock, name), getattr(plan.states.planned, name)
        before, after = show(stock.seat_height_mm), show(planned.seat_height_mm)
        yield f"  {words:<18}{before:>12}{after:>12}"
    topic = ""
    for row in plan.consequences:
        if row.topic != topic:
            topic = row.topic
            yield ""
            yield topic
        before, after = (
            "" if value is None else show(value, row.kind, row.decimals)
            for value in (row.stock, row.planned)
        )
        yield f"  {row.label:<46}{before:>12}{after:>12}"
    yield ""
    failed = [check for check in plan.checks if not check.holds]
    held = len(plan.checks) - len(failed)
    yield f"Checks: {len(failed)} do not hold, {held} hold"
    for check in failed:
        value, limit = (show(v, check.kind, check.decimals) for v in (check.value, check.limit))
        yield f"  {check.severity.value}: {check.title}: {value}, limit {limit}"
        yield f"    {fill(check.reason, system)} ({check.source})"
    yield ""
    yield "Cautions"
    for caution in plan.cautions:
        yield f"  {caution.step}: {caution.text}"


def _fine(system: UnitSystem) -> int:
    return 2 if system is UnitSystem.INCH else 1


def _spring(spring: SpringPlan, system: UnitSystem) -> Iterator[str]:
    name = "Fork" if spring.end == "front" else "Shock"
    rate = format_quantity(spring.rate_n_mm, Kind.SPRING_RATE, system)
    stock = format_quantity(spring.stock_rate_n_mm, Kind.SPRING_RATE, system)
    preload, free, rider = (
        format_quantity(value, Kind.LENGTH, system, decimals=_fine(system))
        for value in (spring.preload_mm, spring.sag.free_mm, spring.sag.rider_mm)
    )
    legs = "" if spring.end == "rear" else f", {spring.legs} leg{'s' if spring.legs > 1 else ''}"
    yield f"  {name} spring {rate}{legs} (stock {stock}), preload {preload}"
    yield f"    free sag {free}, rider sag {rider}. {fill(spring.yields, system)}"
