"""Who reaches a machine type, to take along: a table for spreadsheets and a page to print.

Owns what stands in either, each with what the shares rest on. Refuses words: `report.people` has
them.
"""

from collections.abc import Iterator

from fitplanner.planning.people.crowd import GROUPS
from fitplanner.planning.people.shares import Found, Question, Row
from fitplanner.quantities import Kind, UnitSystem, of_100, to_display, unit_label
from fitplanner.report.papers.paper import Block, Fact, Grid, Heading, Paper, Picture, Words
from fitplanner.report.papers.write import FOOTING, Writer, remark
from fitplanner.report.people import (
    GROUP,
    NEEDED_HEADS,
    NEEDED_NOTE,
    PICTURE_WORDS,
    SPRINGS,
    assumptions,
    customers_words,
    described,
    fitted,
    hundred,
    name,
    needed_rows,
    options_note,
    own_words,
    stop_note,
    told,
)
from fitplanner.report.sheet_csv import Value, table_csv


def people_csv(found: Found, system: UnitSystem) -> bytes:
    """One line a setup, shares as percentages with their bands; then the seats needed.

    The last lines say what the shares rest on.
    """
    question, unit = found.question, unit_label(Kind.LENGTH, system)
    heads = [
        "Machine",
        "Footing",
        "Springs",
        "Setup",
        f"Seat stopped, {unit}",
        f"Seat by data sheet, {unit}",
        *(
            f"{who}, {what} %"
            for who in ("Women", "Men", "All")
            for what in ("share", "low", "high")
        ),
        "Hours",
        "Price",
        "What is fitted",
        "Remark",
    ]
    write = Writer(system, str)
    about = (question.machine.name, FOOTING[question.pattern.footing], SPRINGS[question.springs][0])
    return table_csv(heads, list(_csv_rows(found, about, write)))


def _csv_rows(
    found: Found, about: tuple[str, str, str], write: Writer
) -> Iterator[tuple[Value, ...]]:
    for row in found.rows:
        bands = (*(row.shares[group] for group in GROUPS), row.all)
        yield (
            *about,
            name(row.candidate),
            _shown(row.seat_mm, write.system),
            None,
            *(round(100 * end, 1) for each in bands for end in (each.value, each.low, each.high)),
            round(row.hours, 2),
            round(row.price, 2),
            fitted(row, found.question.machine, write),
            stop_note(row, write),
        )
    for each in found.needed:
        share = round(100 * each.share, 1)
        for group in GROUPS:
            shares = [share if at is group else None for at in (*GROUPS, None)]
            yield (
                *about,
                f"Stock with a seat for {of_100(each.share)} of 100 {GROUP[group]}",
                _shown(each.stopped_mm[group], write.system),
                _shown(each.seat_mm[group], write.system),
                *(end for each_share in shares for end in (each_share, None, None)),
                None,
                None,
                f"seat lower by {write.text(each.drop_mm[group])}",
                "",
            )
    nothing = (None,) * (2 + 3 * 3 + 2)
    for label, words in assumptions(found, write):
        yield (*about, f"Assumed: {label}", *nothing, words, "")


def _shown(mm: float, system: UnitSystem) -> float:
    return round(to_display(mm, Kind.LENGTH, system), 2)


def people_paper(found: Found, picked: Row, letters: dict[str, str], write: Writer) -> Paper:
    """One page to keep with an order; `letters` names the lines of the picture by setup."""
    question = found.question
    blocks: list[Block] = [
        Words(told(found, picked), "strong"),
        Picture(PICTURE_WORDS),
        Heading("Who reaches, of 100"),
        Grid(
            ("", "Setup", "Seat, stopped", "Women", "Men", "All", "Price"),
            tuple(_paper_row(row, letters, question, write) for row in found.rows),
            (False, False, True, True, True, True, True),
            (0.04, 0.45, 0.11, 0.11, 0.11, 0.11, 0.07),
        ),
        Words(options_note(found), "quiet"),
        Heading("Which seat would it need"),
        Grid(
            NEEDED_HEADS,
            tuple(needed_rows(found, write)),
            (False, *(True,) * 6),
            (0.16, *(0.14,) * 6),
        ),
        Words(NEEDED_NOTE, "quiet"),
        Words(
            " ".join(
                f"{label}: {words.rstrip('.')}." for label, words in assumptions(found, write)
            ),
            "quiet",
        ),
    ]
    own = own_words(picked, write)
    if own:
        blocks.insert(1, Words(own))
    return Paper(
        name="Who reaches it",
        title=question.machine.name,
        reference="",
        head=(
            Fact("Machine", question.machine.name),
            Fact("Footing", FOOTING[question.pattern.footing]),
            Fact("Springs", SPRINGS[question.springs][0]),
            Fact("Customers", customers_words(found, write)),
        ),
        blocks=tuple(blocks),
        foot="Bands in brackets: what the machine's own figures leave open. Let a customer sit on "
        "it before one is promised.",
        remark=remark(question.machine),
        one_page=True,
    )


def _paper_row(
    row: Row, letters: dict[str, str], question: Question, write: Writer
) -> tuple[str, ...]:
    words = described(row, question.machine, write)
    if row.stop:
        words = f"{words}. {stop_note(row, write)}"
    return (
        letters.get(row.candidate.key, ""),
        words,
        write.text(row.seat_mm),
        *(hundred(row.shares[group]) for group in GROUPS),
        hundred(row.all),
        write.money(row.price),
    )
