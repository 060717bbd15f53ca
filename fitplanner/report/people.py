"""Who reaches a machine type, in finished words: rows, sentences, a table for spreadsheets, paper.

Owns the words that window, table and paper share. Refuses to compute and to lay out.
"""

from collections.abc import Iterator

from fitplanner.body.survey import Population
from fitplanner.documents.customers import Customers
from fitplanner.documents.machine import MachineProfile
from fitplanner.planning.people.crowd import GROUPS, bodies_of
from fitplanner.planning.people.setups import Candidate, Sort, Springs
from fitplanner.planning.people.shares import Found, Needed, Question, Row
from fitplanner.planning.plan import Band, WayId
from fitplanner.planning.setup import stock_setup
from fitplanner.planning.ways import WAYS
from fitplanner.quantities import Kind, UnitSystem, of_100, to_display, unit_label
from fitplanner.report.papers.paper import Block, Fact, Grid, Heading, Paper, Picture, Words
from fitplanner.report.papers.write import FOOTING, Writer, remark
from fitplanner.report.sheet_csv import Value, table_csv

SURVEY_WORDS = (
    "Bodies: 2012 survey of US Army personnel (Gordon et al. 2014), 1,986 women and 4,082 men of "
    "17 to 58 years, barefoot. Soldiers are young and fit: customers may be older, heavier or "
    "shorter. Statures and the share of women can be set to the shop's own; legs and masses "
    "follow from the stature as in the survey. Boots and gear are those of this job's rider."
)
"""Where the people come from, and what they are not."""

PICTURE_WORDS = (
    "Solid rings and disc: women; dashed rings and square: men. Half of them lie within the inner "
    "ring, nine in ten within the outer one. A line is for people of the mass usual for their "
    "stature and leg: its left part for women, its right part for men."
)
"""How the picture is read."""

SPRINGS = {
    Springs.AS_BUILT: (
        "As built for everybody",
        "Springs and preload stay as the setup has them, whoever sits down: the machine on the "
        "shop's floor",
    ),
    Springs.REAR_SET: (
        "Shock preload set for each rider",
        "Springs stay; the shock's preload is turned until the rider's sag is right, as far as "
        "it goes; the fork stays as built",
    ),
    Springs.BOUGHT: (
        "Springs chosen for each rider",
        "Rates and preloads as a plan for each rider would choose them; their price is not in "
        "the table",
    ),
}
"""A name for each, and what it means."""

_GROUP = {Population.WOMEN: "women", Population.MEN: "men"}
_SHORT = {
    WayId.FORK_LIMITER: "fork limiter",
    WayId.SHOCK_LIMITER: "shock limiter",
    WayId.RAISED_STANCHIONS: "stanchions up",
    WayId.LOWER_SEAT: "lower seat",
    WayId.SHORTER_SHOCK: "shock shorter by",
    WayId.LONGER_RODS: "link rods longer by",
    WayId.NARROWER_SEAT: "seat narrower by",
    WayId.SMALLER_TYRES: "tyre radius less by",
    WayId.THICKER_SOLE: "soles thicker by",
}
_SAME_MM, _SAME_N_MM = 0.05, 1e-6


def name(candidate: Candidate) -> str:
    """What a setup is called."""
    if candidate.sort is Sort.STOCK:
        return "As it stands"
    if candidate.sort is Sort.PLAN:
        return "This job's plan"
    if candidate.sort is Sort.OPTION:
        return f"Option {candidate.number}"
    return f"{WAYS[candidate.amounts[0][0]].label}, alone"


def described(row: Row, machine: MachineProfile, write: Writer) -> str:
    """A setup in a name and what it consists of; one way alone needs no name beside it."""
    parts = fitted(row, machine, write)
    if row.candidate.sort is Sort.WAY:
        return f"Alone: {parts}"
    return f"{name(row.candidate)}: {parts}"


def fitted(row: Row, machine: MachineProfile, write: Writer) -> str:
    """What a setup consists of."""
    parts = [f"{_SHORT[way]} {_length(mm, write)}" for way, mm in row.candidate.amounts]
    stock, setup = stock_setup(machine), row.candidate.setup
    for unit, words in (("fork", "fork springs"), ("shock", "shock spring")):
        rate, preload = (float(getattr(setup, f"{unit}_{what}")) for what in _SPRING)
        if abs(rate - float(getattr(stock, f"{unit}_rate_n_mm"))) > _SAME_N_MM:
            parts.append(f"{words} {write.text(rate, Kind.SPRING_RATE)}")
        if abs(preload - float(getattr(stock, f"{unit}_preload_mm"))) > _SAME_MM:
            parts.append(f"{unit} preload {_length(preload, write)}")
    if row.new_stand:
        parts.append("side-stand shortened")
    return ", ".join(parts) or "springs and preload as stock"


_SPRING = ("rate_n_mm", "preload_mm")


def _length(mm: float, write: Writer) -> str:
    return write.text(mm, decimals=1 if mm % 1 else 0)


def hundred(band: Band) -> str:
    """A share as people of 100, with its band."""
    low, high = of_100(band.low), of_100(band.high)
    middle = of_100(band.value)
    return f"{middle}" if low == high else f"{middle} ({low}\N{EN DASH}{high})"


def told(found: Found, row: Row) -> str:
    """The answer in a sentence for each group: stock, and the row beside it."""
    stock = found.rows[0]
    wish = FOOTING[found.question.pattern.footing]
    sentences = []
    for group in GROUPS:
        before = of_100(stock.shares[group].value)
        reach = (
            f"Of 100 {_GROUP[group]} {before} reach the ground with {wish} as the machine stands"
        )
        if group is not GROUPS[0]:
            reach = f"Of 100 {_GROUP[group]} {before}"
        if row is not stock:
            after = of_100(row.shares[group].value)
            reach += f", {after} with {_within(row.candidate)}"
            if group is not GROUPS[0]:
                reach = f"Of 100 {_GROUP[group]} {before} and {after}"
        sentences.append(f"{reach}.")
    return " ".join(sentences)


def _within(candidate: Candidate) -> str:
    words = name(candidate)
    return words[:1].lower() + words[1:]


def needed_rows(found: Found, write: Writer) -> list[tuple[str, ...]]:
    """For each share asked about: how far down, and to which seat, for women and for men."""
    return [
        (
            f"{of_100(each.share)} of 100",
            *(cell for group in GROUPS for cell in _needed(each, group, write)),
        )
        for each in found.needed
    ]


def _needed(each: Needed, group: Population, write: Writer) -> tuple[str, str]:
    drop = each.drop_mm[group]
    if drop <= 0.0:
        return "nothing", write.text(each.seat_mm[group])
    return write.text(drop), write.text(each.seat_mm[group])


BREAKS = "Breaks a limit"
"""Said of a setup that must not be sold to the middle customer as it is."""

NEEDED_NOTE = (
    "The seat alone comes down, all else as stock. Heights as in the machine's data sheet."
)


def seat_hint(found: Found, write: Writer) -> str:
    """What the seat's height in the table is."""
    rider = found.middle
    stature, mass = rider.stature_mm or 0.0, (rider.mass_kg or 0.0) + rider.gear_mass_kg
    return (
        "As a tape reads it beside the rider, stopped, feet down: the middle of all customers, "
        f"{write.text(stature)}, {write.text(mass, Kind.MASS)} with gear"
    )


def mix_hint(customers: Customers) -> str:
    """How the column of all customers is mixed."""
    return f"Customers of whom {of_100(customers.women_share)} of 100 are women"


def options_note(found: Found) -> str:
    """For whom options were looked for, and whether any lets her reach."""
    wanted = of_100(found.question.wanted)
    if not found.complete:
        return "Stopped before options were found; the rows shown are complete."
    if found.rows[0].shares[Population.WOMEN].value >= found.question.wanted:
        return f"At least {wanted} of 100 women reach it as it stands; options say what else helps."
    whom = f"that about {wanted} of 100 women reach"
    if found.question.springs is not Springs.AS_BUILT:
        whom += " with springs as built"
    if not found.fitting:
        nearest = any(row.candidate.sort is Sort.OPTION for row in found.rows)
        more = ": option 1 comes nearest" if nearest else ""
        return f"No combination within the limits comes down so far {whom}{more}."
    return f"Options come down so far {whom}; thicker soles are not among them."


def stop_note(row: Row, write: Writer) -> str:
    """Which limit a setup breaks under the middle customer; "" where it breaks none."""
    return "" if not row.stop else f"{BREAKS}: {write.sentence(row.stop)}."


def people_csv(found: Found, system: UnitSystem) -> bytes:
    """One line a setup, shares as percentages with their bands, then the seats needed."""
    question, unit = found.question, unit_label(Kind.LENGTH, system)
    heads = [
        "Machine",
        "Footing",
        "Springs",
        "Setup",
        f"Seat stopped, {unit}",
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
                f"Stock with a seat for {of_100(each.share)} of 100 {_GROUP[group]}",
                _shown(each.seat_mm[group], write.system),
                *(end for each_share in shares for end in (each_share, None, None)),
                None,
                None,
                f"seat lower by {write.text(each.drop_mm[group])}",
                "height as in the data sheet",
            )


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
            ("To let reach", "Women: lower by", "Seat at most", "Men: lower by", "Seat at most"),
            tuple(needed_rows(found, write)),
            (False, True, True, True, True),
            (0.2, 0.2, 0.2, 0.2, 0.2),
        ),
        Words(NEEDED_NOTE, "quiet"),
        Words(SURVEY_WORDS, "quiet"),
    ]
    customers = question.customers
    statures = ", ".join(
        f"{_GROUP[group]} {write.text(bodies_of(customers, group).middle[0])}" for group in GROUPS
    )
    return Paper(
        name="Who reaches it",
        title=question.machine.name,
        reference="",
        head=(
            Fact("Machine", question.machine.name),
            Fact("Footing", FOOTING[question.pattern.footing]),
            Fact("Springs", SPRINGS[question.springs][0]),
            Fact("Customers", f"{of_100(customers.women_share)} of 100 women; middle {statures}"),
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
