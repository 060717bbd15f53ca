"""Tables for spreadsheets: one plan with all its figures, or a list of jobs.

Owns the form: RFC 4180, UTF-8 with a byte order mark (without it a spreadsheet takes the text for
another encoding), and text that no spreadsheet runs as a formula. Numbers stand bare, with a point
and their unit in a column of its own. Refuses to write files.
"""

import csv
import io
import math
from collections.abc import Iterator, Sequence

from fitplanner.documents.job import Job
from fitplanner.planning.plan import STATE_LABELS, Band, Plan
from fitplanner.quantities import Kind, UnitSystem, display_unit, fill, to_display, unit_label

Value = str | int | float | bool | None

_STARTS = "=+-@\N{FULLWIDTH EQUALS SIGN}\N{FULLWIDTH PLUS SIGN}\N{FULLWIDTH HYPHEN-MINUS}＠"
_HEADS = ("section", "figure", "stock", "planned", "low_90", "high_90", "unit", "remark")
_DIGITS_MORE = 2
"""Digits told beyond those that are shown, so that a sheet can go on computing."""


def table_csv(heads: Sequence[str], rows: Sequence[Sequence[Value]]) -> bytes:
    """A table as the bytes of a file.

    Raises:
        ValueError: a row has not as many cells as there are heads.
    """
    wrong = next((n for n, row in enumerate(rows, 1) if len(row) != len(heads)), None)
    if wrong is not None:
        raise ValueError(f"row {wrong} has not as many cells as the {len(heads)} heads")
    buffer = io.StringIO(newline="")
    writer = csv.writer(buffer, lineterminator="\r\n")
    for row in (heads, *rows):
        writer.writerow([_cell(value) for value in row])
    return buffer.getvalue().encode("utf-8-sig")


def plan_csv(plan: Plan, job: Job, system: UnitSystem) -> bytes:
    """All figures of one plan, each with its unit."""
    return table_csv(_HEADS, list(_rows(plan, job, system)))


def _cell(value: Value) -> str:
    """A cell's text. Free text that a spreadsheet would run gets an apostrophe before it."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, int | float):
        return "" if isinstance(value, float) and not math.isfinite(value) else str(value)
    start = value.lstrip()[:1]
    runs = value[:1] in ("\t", "\r", "\n") or (start and start in _STARTS)
    return f"'{value}" if runs else value


def _rows(plan: Plan, job: Job, system: UnitSystem) -> Iterator[tuple[Value, ...]]:
    def shown(value: float | None, kind: Kind) -> float | None:
        if value is None or not math.isfinite(value):
            return None
        digits = display_unit(kind, system).decimals + _DIGITS_MORE
        return round(to_display(value, kind, system), digits) + 0.0

    def row(
        section: str,
        figure: str,
        stock: float | None,
        planned: float | None,
        kind: Kind = Kind.LENGTH,
        remark: str = "",
        band: Band | None = None,
    ) -> tuple[Value, ...]:
        low, high = (None, None) if band is None else (band.low, band.high)
        return (
            section,
            figure,
            *(shown(value, kind) for value in (stock, planned, low, high)),
            unit_label(kind, system),
            fill(remark, system),
        )

    def words(section: str, figure: str, stock: str, planned: str) -> tuple[Value, ...]:
        return (section, figure, stock, planned, None, None, "", "")

    yield words("Job", "Title", "", job.title)
    yield words("Job", "Reference", "", job.reference)
    yield words("Job", "Machine", "", job.machine.name)
    yield words("Job", "Rider", "", job.rider.name)
    need = plan.requirement
    yield row("Reach", "Inside leg", None, need.inside_leg_mm.value, band=need.inside_leg_mm)
    yield row("Reach", "Drop needed, stopped", None, need.drop_mm.value, band=need.drop_mm)
    band = need.planned_drop_mm
    yield row("Reach", "Drop planned, stopped", None, band.value, band=band)
    band = plan.delivered.on_wheels_mm
    yield row("Reach", "Drop on its wheels", None, band.value, band=band)
    yield words("Reach", "Footing", need.stock.footing.value, need.planned.footing.value)
    yield row("Reach", "Chance of the wanted footing", None, need.chance, Kind.PERCENT)
    for way in plan.ways:
        yield row("Ways", way.label, 0.0, way.amount_mm, remark=way.note)
    for end, spring in plan.springs.items():
        name = "Fork" if end == "front" else "Shock"
        rate = Kind.SPRING_RATE
        yield row("Springs", f"{name}, rate", spring.stock_rate_n_mm, spring.rate_n_mm, rate)
        yield row("Springs", f"{name}, preload", spring.stock_preload_mm, spring.preload_mm)
        before, after = spring.stock_sag, spring.sag
        yield row("Springs", f"{name}, free sag", before.free_mm, after.free_mm)
        yield row("Springs", f"{name}, rider sag", before.rider_mm, after.rider_mm)
    for state, words_of_state in STATE_LABELS.items():
        stock, planned = getattr(plan.states.stock, state), getattr(plan.states.planned, state)
        for figure, key, kind in (
            ("Seat height", "seat_height_mm", Kind.LENGTH),
            ("Rake", "rake_deg", Kind.ANGLE),
            ("Trail", "trail_mm", Kind.LENGTH),
            ("Wheelbase", "wheelbase_mm", Kind.LENGTH),
            ("Front wheel load", "front_load_n", Kind.FORCE),
            ("Rear wheel load", "rear_load_n", Kind.FORCE),
        ):
            label = f"{figure}, {words_of_state.lower()}"
            yield row("States", label, getattr(stock, key), getattr(planned, key), kind)
    for each in plan.consequences:
        yield row(each.topic, each.label, each.stock, each.planned, each.kind, each.note)
    for check in plan.checks:
        verdict = "holds" if check.holds else f"does not hold ({check.severity.value})"
        remark = f"{verdict}; limit {{{check.kind.value}|{check.limit:.9g}}}; {check.source}"
        yield row("Checks", check.title, None, check.value, check.kind, remark)
    for text in plan.assumptions:
        yield ("Not known", fill(text, system), None, None, None, None, "", "")
    for caution in plan.cautions:
        yield ("Cautions", caution.step, None, None, None, None, "", fill(caution.text, system))
