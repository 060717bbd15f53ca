"""Puts invented readings, ticks and prices into the demo shop's jobs: python -m tests.demo_readings

Each job gets a true machine drawn about its profile, parts a little other than planned, and a tape
laid on it with seeded noise. One job has a wrong reading; in two the work did not come out as
planned. The bench sheet is ticked as far as the job's stage says. Run again after the demo's jobs
changed; a test holds the file to what is said here.
"""

import json
from dataclasses import replace

import numpy as np
from numpy.random import Generator

from fitplanner import paths
from fitplanner.documents.bench import (
    MeasuredState,
    Place,
    Quote,
    Reading,
    Settled,
    Stage,
    Tick,
    When,
)
from fitplanner.documents.job import Choices, Job
from fitplanner.documents.preferences import Rates
from fitplanner.library.loader import load_library
from fitplanner.planning.account import account
from fitplanner.planning.bench import Section, steps
from fitplanner.planning.evaluate import evaluate
from fitplanner.planning.measured.series import step_of
from fitplanner.planning.measured.tape import Spot
from fitplanner.quantities import Kind, UnitSystem, format_inches_fraction, parse_quantity
from tests.taped import AXLES, BOTH_SIDES, EIGHT, FULL, Taped, Where, taped

SEED = 32

WRONG = ("F-104", Place.REAR_AXLE, MeasuredState.RIDER_UP, 25.4)
"""A tape read an inch off, once."""

MISSES = {
    # The spacer that came was a size shorter, and one side's preload was wound less.
    "F-103": {"fork_limiter_mm": -9.0, "shock_limiter_mm": -2.5},
    "F-105": {"shock_limiter_mm": 2.5, "lower_seat_mm": 7.0},
}
"""By how much parts are other than planned, where they are in at all."""

_HABITS = ("cm", "mm", "in")
_LEAN: tuple[Where, ...] = ((Place.STAND_LEAN, MeasuredState.PARKED, Settled.ANYHOW),)
_MORE: tuple[Where, ...] = (
    (Place.STANCHION, MeasuredState.EXTENDED, Settled.ANYHOW),
    *((axle, MeasuredState.ON_WHEELS, side) for axle in AXLES for side in BOTH_SIDES),
)


def readings_for(reference: str, job: Job, stage: Stage, chance: Generator) -> list[Reading]:
    """Before the work from the order on, after it from the measuring on."""
    if list(Stage).index(stage) < list(Stage).index(Stage.ORDERED):
        return []
    plan = evaluate(job)
    truth = taped(job, plan, chance)
    # The shop sets the stand right before the machine goes out.
    while not _stands(truth):
        truth = taped(job, plan, chance)
    truth = _missed(truth, MISSES.get(reference, {}))
    habit = _HABITS[int(reference[-1]) % 3]
    sheet = FULL if reference == "F-101" else (*EIGHT, *_LEAN)
    rows = truth.readings(sheet, chance)
    if list(Stage).index(stage) >= list(Stage).index(Stage.MEASURED):
        rows += truth.readings((*sheet, *_MORE[:1]), chance, When.AFTER)
    name, place, state, off = WRONG
    found = []
    for row in rows:
        wrong = row.when is When.BEFORE and (reference, row.place, row.state) == (
            name,
            place,
            state,
        )
        found.append(_typed(row, row.value + (off if wrong else 0.0), habit))
    return found


def ticks_for(job: Job, stage: Stage) -> list[Tick]:
    """Half of the steps in work, all but the handing over once measured, then all."""
    if list(Stage).index(stage) < list(Stage).index(Stage.IN_WORK):
        return []
    found = steps(job, evaluate(job))
    if stage is Stage.IN_WORK:
        found = found[: len(found) // 2]
    elif stage is Stage.MEASURED:
        found = tuple(step for step in found if step.section is not Section.HANDOVER)
    return [Tick(step=step.key, said=step.said) for step in found]


def quote_for(job: Job, stage: Stage) -> Quote | None:
    """From the agreement on, what the plan cost at the rates that a shop begins with."""
    if list(Stage).index(stage) < list(Stage).index(Stage.AGREED):
        return None
    rates = Rates()
    of = account(job, evaluate(job), rates)
    return Quote(
        price=round(of.cost, 2),
        hours=round(of.hours, 2),
        parts=round(of.parts, 2),
        hourly=rates.hourly,
    )


def _stands(truth: Taped) -> bool:
    before, after = (
        truth.value(Spot(when, Place.STAND_LEAN, MeasuredState.PARKED), (0.0, 0.0)) for when in When
    )
    return 8.0 <= before <= 15.0 and abs(after - before) <= 1.0


def _missed(truth: Taped, off: dict[str, float]) -> Taped:
    built = truth.setups[When.AFTER]
    changes = {
        key: float(getattr(built, key)) + by for key, by in off.items() if getattr(built, key)
    }
    return replace(truth, setups={**truth.setups, When.AFTER: replace(built, **changes)})


def _typed(row: Reading, value: float, habit: str) -> Reading:
    """The reading as somebody wrote it down, rounded as a tape is read."""
    kind = step_of(row).kind
    if kind is Kind.ANGLE:
        text = f"{value:.1f}°"
    elif habit == "in":
        text = format_inches_fraction(value, 16)
    else:
        text = f"{value / 10:.1f} cm" if habit == "cm" else f"{value:.0f} mm"
    taken = parse_quantity(text, kind, UnitSystem.METRIC)
    return row.replace(value=round(taken, 4), typed=text, spread=step_of(row).spread)


def demo() -> dict[str, object]:
    """The demo's file with fresh readings."""
    library = load_library()
    content: dict[str, object] = json.loads(paths.demo_shop_file().read_text(encoding="utf-8"))
    jobs = content["jobs"]
    assert isinstance(jobs, list)
    for number, one in enumerate(jobs):
        job = Job(
            rider=library.riders[one["rider"]],
            machine=library.profiles[one["machine"]],
            choices=Choices.model_validate(one.get("choices", {})),
        )
        chance = np.random.default_rng([SEED, number])
        rows = readings_for(one["reference"], job, Stage(one["stage"]), chance)
        one.pop("readings", None)
        one.pop("ticks", None)
        one.pop("quote", None)
        if rows:
            one["readings"] = [row.model_dump(mode="json", exclude_defaults=True) for row in rows]
        ticks = ticks_for(job.replace(readings=rows), Stage(one["stage"]))
        if ticks:
            one["ticks"] = [tick.model_dump(mode="json", exclude_defaults=True) for tick in ticks]
        quote = quote_for(job, Stage(one["stage"]))
        if quote is not None:
            one["quote"] = quote.model_dump(mode="json", exclude_defaults=True)
    return content


def demo_jobs() -> list[Job]:
    """The jobs of the file, each at its stage with its readings."""
    library, found = load_library(), []
    for one in json.loads(paths.demo_shop_file().read_text(encoding="utf-8"))["jobs"]:
        found.append(
            Job(
                title=one["title"],
                reference=one["reference"],
                rider=library.riders[one["rider"]].replace(name=one["name"]),
                machine=library.profiles[one["machine"]],
                choices=Choices.model_validate(one.get("choices", {})),
                stage=Stage(one["stage"]),
                readings=[Reading.model_validate_json(json.dumps(row))
                          for row in one.get("readings", [])],
                ticks=[Tick.model_validate(row) for row in one.get("ticks", [])],
                quote=Quote.model_validate(one["quote"]) if "quote" in one else None,
            )
        )  # fmt: skip
    return found


if __name__ == "__main__":
    text = json.dumps(demo(), indent=2, ensure_ascii=False)
    paths.demo_shop_file().write_text(f"{text}\n", encoding="utf-8")
