"""Tables for spreadsheets: RFC 4180, a byte order mark, no formula from free text."""

import csv
import io
import math

import pytest

from fitplanner.planning.evaluate import evaluate
from fitplanner.quantities import UnitSystem
from fitplanner.report.sheet_csv import plan_csv, table_csv
from tests import factories


def read(data: bytes) -> list[list[str]]:
    return list(csv.reader(io.StringIO(data.decode("utf-8-sig"), newline="")))


def test_a_table_reads_back_with_commas_quotes_and_lines() -> None:
    rows = [['a "b"', "one, two", "first\r\nsecond"], ["", 'only "', "é"]]
    data = table_csv(("x", "y", "z"), rows)
    assert data.startswith(b"\xef\xbb\xbf")
    assert read(data) == [["x", "y", "z"], *rows]
    # RFC 4180: lines end in CRLF, quotes are doubled.
    assert b'"a ""b""","one, two","first\r\nsecond"\r\n' in data
    assert data.endswith(b"\r\n")


@pytest.mark.parametrize(
    "text", ["=1+1", "+1", "-1", "@SUM(A1)", " =1", "\t=1", "\r=1", "\n=1", "\uff1d1", "-"]
)
def test_free_text_is_never_run_as_a_formula(text: str) -> None:
    (_, (cell, number)) = read(table_csv(("text", "number"), [[text, -2.5]]))
    assert cell == f"'{text}"
    assert number == "-2.5", "numbers stay numbers"


@pytest.mark.parametrize("text", ["Sandvoe = fast", "a-b", "2 + 2", "", "'quoted"])
def test_harmless_text_stays_as_it_is(text: str) -> None:
    assert read(table_csv(("text", "more"), [[text, "x"]]))[1][0] == text


def test_what_is_no_number_is_left_empty_and_yes_is_a_word() -> None:
    rows = [[math.nan, math.inf, None, True, 3]]
    assert read(table_csv(tuple("abcde"), rows))[1] == ["", "", "", "yes", "3"]


def test_a_row_of_the_wrong_length_is_refused() -> None:
    with pytest.raises(ValueError, match="row 2"):
        table_csv(("a", "b"), [["1", "2"], ["1"]])


@pytest.mark.parametrize("system", list(UnitSystem))
def test_a_plan_tells_all_its_figures_with_their_units(system: UnitSystem) -> None:
    job = factories.job(title="=HYPERLINK(1)", choices={"fork_limiter_mm": 30.0})
    plan = evaluate(job)
    heads, *rows = read(plan_csv(plan, job, system))
    at = {name: column for column, name in enumerate(heads)}
    found = {(row[0], row[1]): row for row in rows}
    assert found["Job", "Title"][at["planned"]] == "'=HYPERLINK(1)"
    seat = found["States", "Seat height, on its wheels"]
    scale = 25.4 if system is UnitSystem.INCH else 1.0
    wanted = plan.states.planned.on_wheels.seat_height_mm / scale
    assert float(seat[at["planned"]]) == pytest.approx(wanted, abs=0.006)
    assert seat[at["unit"]] == ("in" if system is UnitSystem.INCH else "mm")
    for each in plan.consequences:
        row = found[each.topic, each.label]
        assert (row[at["stock"]] == "") == (each.stock is None)
    titles = {row[1] for row in rows if row[0] == "Checks"}
    assert titles == {check.title for check in plan.checks}
    assert sum(row[0] == "Cautions" for row in rows) == len(plan.cautions)
    assert not any("{" in cell for row in rows for cell in row), "figures are filled in"
    band = found["Reach", "Inside leg"]
    assert float(band[at["low_90"]]) < float(band[at["planned"]]) < float(band[at["high_90"]])
