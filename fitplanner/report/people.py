"""Who reaches a machine type, in finished words: setups, sentences, assumptions.

Owns the words that window, table and paper share. Refuses to compute and to lay out.
"""

from math import isfinite

from fitplanner.body.survey import Population
from fitplanner.documents.customers import Customers
from fitplanner.documents.machine import INVENTED, MachineProfile
from fitplanner.documents.rider import Boot
from fitplanner.planning.people.crowd import GROUPS, bodies_of
from fitplanner.planning.people.setups import Candidate, Sort, Springs
from fitplanner.planning.people.shares import Found, Needed, Row
from fitplanner.planning.plan import Band, WayId
from fitplanner.planning.setup import stock_setup
from fitplanner.planning.ways import WAYS
from fitplanner.quantities import Kind, of_100
from fitplanner.report.papers.write import FOOTING, Writer

SURVEY_WORDS = (
    "Bodies: 2012 survey of US Army personnel (Gordon et al. 2014), 1,986 women and 4,082 men of "
    "17 to 58 years, barefoot. Soldiers are young and fit: customers may be older, heavier or "
    "shorter. Statures and the share of women can be set to the shop's own; legs and masses "
    "follow from the stature as in the survey. Boots and gear are those of this job's rider."
)
"""Where the people come from, and what they are not."""

PICTURE_WORDS = (
    "Solid rings and disc: women; dashed rings and square: men. Half of them lie within the inner "
    "ring, nine in ten within the outer one. A line assumes the mass usual for a "
    "stature and leg: its left part for women, its right part for men. The bar above or below the "
    "rider is the leg needed at the rider's own mass, with the row picked."
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

GROUP = {Population.WOMEN: "women", Population.MEN: "men"}
_SHORT = {
    WayId.FORK_LIMITER: "fork limiter",
    WayId.SHOCK_LIMITER: "shock limiter",
    WayId.RAISED_STANCHIONS: "stanchions up",
    WayId.LOWER_SEAT: "lower seat",
    WayId.SHORTER_SHOCK: "shock shorter",
    WayId.LONGER_RODS: "link rods longer",
    WayId.NARROWER_SEAT: "seat narrower",
    WayId.SMALLER_TYRES: "tyre radius less",
    WayId.THICKER_SOLE: "soles thicker",
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
    for unit in ("fork", "shock"):
        rate, preload = (float(getattr(setup, f"{unit}_{what}")) for what in _SPRING)
        words = f"{unit} springs" if unit == "fork" else f"{unit} spring"
        changed = abs(rate - float(getattr(stock, f"{unit}_rate_n_mm"))) > _SAME_N_MM
        if changed:
            parts.append(f"{words} {write.text(rate, Kind.SPRING_RATE)}")
        if abs(preload - float(getattr(stock, f"{unit}_preload_mm"))) > _SAME_MM:
            parts.append(f"{'' if changed else f'{unit} '}preload {_length(preload, write)}")
    if row.new_stand:
        parts.append("stand shortened")
    return ", ".join(parts) or "springs as stock"


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
        reach = f"Of 100 {GROUP[group]} {before} reach the ground with {wish} as the machine stands"
        if group is not GROUPS[0]:
            reach = f"Of 100 {GROUP[group]} {before}"
        if row is not stock:
            after = of_100(row.shares[group].value)
            reach += f", {after} with {_within(row.candidate)}"
            if group is not GROUPS[0]:
                reach = f"Of 100 {GROUP[group]} {before} and {after}"
        sentences.append(f"{reach}.")
    return " ".join(sentences)


def _within(candidate: Candidate) -> str:
    words = name(candidate)
    return words[:1].lower() + words[1:]


def own_words(row: Row, write: Writer) -> str:
    """How the job's rider stands to a setup; "" where he or she is not known well enough."""
    own = row.own
    if own is None:
        return ""
    leg = f"; an inside leg of {write.text(own.leg_mm)} would do" if isfinite(own.leg_mm) else ""
    if own.spare_mm < 0.0:
        return f"For this job's rider the seat is {write.text(-own.spare_mm)} too high{leg}."
    return f"This job's rider reaches, with {write.text(own.spare_mm)} to spare at the seat."


NEEDED_HEADS = (
    "To let reach",
    "Women: lower by",
    "Seat, stopped",
    "Data sheet",
    "Men: lower by",
    "Seat, stopped",
    "Data sheet",
)


def needed_rows(found: Found, write: Writer) -> list[tuple[str, ...]]:
    """For each share asked about: how far down, and to which seat, for women and for men."""
    return [
        (
            f"{of_100(each.share)} of 100",
            *(cell for group in GROUPS for cell in _needed(each, group, write)),
        )
        for each in found.needed
    ]


def _needed(each: Needed, group: Population, write: Writer) -> tuple[str, str, str]:
    drop = each.drop_mm[group]
    lower = "nothing" if drop <= 0.0 else write.text(drop)
    return lower, write.text(each.stopped_mm[group]), write.text(each.seat_mm[group])


BREAKS = "Breaks a limit"
"""Said of a setup that must not be sold to the middle customer as it is."""

NEEDED_NOTE = (
    "The seat alone comes down, all else as stock, to this height at most. Stopped: as in the "
    "table of setups. Data sheet: the height that such a machine is sold with."
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
        return f"No combination within the limits comes down so far {whom}.{_nearest(found)}"
    return f"Options come down so far {whom}; thicker soles are not among them."


def _nearest(found: Found) -> str:
    """Which option comes nearest within the limits, and which setup lets more reach all the same.

    A setup of the table may go past a limit, or rest on what options do not touch.
    """
    options = [row for row in found.rows if row.candidate.sort is Sort.OPTION]
    if not options:
        return ""
    best = max(found.rows, key=lambda row: row.shares[Population.WOMEN].value)
    women = of_100(best.shares[Population.WOMEN].value)
    words = " Option 1 is the lowest that keeps all limits"
    if women <= of_100(options[0].shares[Population.WOMEN].value):
        return f"{words}."
    past = ", but breaks a limit" if best.stop else ""
    return f"{words}; {_within(best.candidate)} lets more reach, {women} of 100 women{past}."


def stop_note(row: Row, write: Writer) -> str:
    """Which limit a setup breaks under the middle customer; "" where it breaks none."""
    return "" if not row.stop else f"{BREAKS}: {write.sentence(row.stop)}."


_BOOTS = {Boot.STIFF: "stiff boots", Boot.WALKING: "walking boots"}


def customers_words(found: Found, write: Writer) -> str:
    """How the customers are mixed, and how tall the middle ones are."""
    customers = found.question.customers
    statures = ", ".join(
        f"{GROUP[group]} {write.text(bodies_of(customers, group).middle[0])}" for group in GROUPS
    )
    return f"{of_100(customers.women_share)} of 100 women; middle {statures}"


def assumptions(found: Found, write: Writer) -> tuple[tuple[str, str], ...]:
    """What the shares rest on, each with a name; it goes wherever the table goes."""
    question = found.question
    worn, load = question.pattern, question.load
    springs, rule = SPRINGS[question.springs]
    told = [
        ("Bodies", SURVEY_WORDS.removeprefix("Bodies: ")),
        ("Customers", customers_words(found, write)),
        (
            "Boots and gear",
            f"{_BOOTS[worn.boot]}, sole {write.text(worn.boot_sole_mm)}, gear "
            f"{write.text(worn.gear_mass_kg, Kind.MASS)}, the same for everybody",
        ),
        ("Springs", f"{springs}. {rule}"),
        (
            "Load",
            f"tank {write.text(load.fuel_share, Kind.PERCENT)} full, luggage "
            f"{write.text(load.luggage_front_kg, Kind.MASS)} in front and "
            f"{write.text(load.luggage_rear_kg, Kind.MASS)} behind, "
            f"{write.text(load.feet_share, Kind.PERCENT)} of the body's weight on the feet",
        ),
        ("Seat, stopped", seat_hint(found, write)),
        ("In brackets", "What the machine's own figures leave open"),
    ]
    if question.machine.invented:
        told.append(("Machine", INVENTED))
    return tuple(told)
