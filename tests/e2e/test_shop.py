"""A job through the shop from end to end, and the day after."""

import json
from pathlib import Path
from typing import Any

import numpy as np
import pypdf
import pytest

from fitplanner.documents.bench import MeasuredState, Place, Reading, Settled, Stage, When
from fitplanner.documents.job import Job
from fitplanner.documents.rider import Rider
from fitplanner.library.loader import load_library
from fitplanner.planning.bench import steps as bench_steps
from fitplanner.planning.evaluate import evaluate
from fitplanner.planning.fixing import as_planned
from fitplanner.planning.measured.proof import proof
from fitplanner.planning.measured.series import step_of, steps
from fitplanner.planning.plan import Plan
from fitplanner.quantities import Kind, UnitSystem, format_quantity
from fitplanner.store.shop import Shop
from tests.e2e.shop_story import TASK, TICKED
from tests.e2e.starting import keep, tell
from tests.taped import EIGHT, taped

pytestmark = [pytest.mark.e2e, pytest.mark.slow]

MACHINE = "merebrook-400"
RIDER = Rider(name="Wenna Ashdown", phone="555 0163", inside_leg_mm=765.0, mass_kg=64.0)
FIELDS = {
    "Name": "Wenna Ashdown",
    "Telephone": "555 0163",
    "Inside leg": "765",
    "Body mass": "64",
    "Job": "Both feet down",
    "Reference": "26-031",
}
NOTE = "Left strap renewed"
SHEET = (*EIGHT, (Place.STAND_LEAN, MeasuredState.PARKED, Settled.ANYHOW))
AN_INCH = 25.4


def agreed() -> tuple[Job, Plan]:
    """What the job is once its amounts are fixed, worked out without the window."""
    machine = load_library().profiles[MACHINE]
    job = Job(title=FIELDS["Job"], reference=FIELDS["Reference"], rider=RIDER, machine=machine)
    fixed = job.replace(stage=Stage.AGREED, choices=as_planned(job, evaluate(job)))
    return fixed, evaluate(fixed)


def on_tape(job: Job, plan: Plan) -> dict[str, list[tuple[str, str]]]:
    """What a tape shows on a machine a little other than its profile, by steps, as it is typed."""
    chance = np.random.default_rng(2)
    truth = taped(job, plan, chance)
    order = [(step.place, step.state) for step in steps(When.BEFORE)]

    def typed(reading: Reading) -> tuple[str, str]:
        angle = step_of(reading).kind is Kind.ANGLE
        return step_of(reading).title, f"{reading.value:.1f}" if angle else f"{reading.value:.0f}"

    sheets = {
        when.value: sorted(
            truth.readings(SHEET, chance, when),
            key=lambda reading: order.index((reading.place, reading.state)),
        )
        for when in When
    }
    return {when: [typed(reading) for reading in sheet] for when, sheet in sheets.items()}


def words_of(file: Path) -> str:
    """All words with one space between them, for figures and cells have spaces of their own."""
    return " ".join(" ".join(page.extract_text() for page in pypdf.PdfReader(file).pages).split())


def length(value_mm: float, decimals: int | None = None) -> str:
    text = format_quantity(value_mm, Kind.LENGTH, UnitSystem.METRIC, decimals=decimals)
    return " ".join(text.split())


def test_a_job_goes_through_the_shop_and_is_there_the_next_day(
    xvfb_display: str, tmp_path: Path
) -> None:
    job, plan = agreed()
    tape = on_tape(job, plan)
    keys = [step.key for step in bench_steps(job, plan)]
    slipped, right = next(row for row in tape["before"] if row[0] == "Rear axle, rider up")
    task: dict[str, Any] = {
        "machine": job.machine.name,
        "fields": FIELDS,
        "notes": {keys[1]: NOTE},
        "slip": {slipped: f"{float(right) + AN_INCH:.0f}"},
        **tape,
    }
    (tmp_path / TASK).write_text(json.dumps(task), "utf-8")

    code, seen = tell(
        "shop_story", "take_a_job_through_the_shop", tmp_path, tmp_path / "home", xvfb_display
    )
    keep(tmp_path)
    assert code == 0, seen
    assert "Both feet down – in the shop" in seen["title"]
    assert seen["progress"] == f"{TICKED} of {len(keys)} done"
    (slip,) = seen["slips"]
    assert slip[0] == slipped
    assert any("measure again" in text for text in seen["said"])
    assert {row[-1] for row in seen["before"]} <= {"fits the others", "unchecked"}
    assert [row[:2] for row in seen["after"]] == [list(row) for row in tape["after"]]
    assert seen["stages"] == ["measured", "handed_over"]

    # What the window kept is what was told, and its proof that of the planning room.
    with Shop.open() as shop:
        (row,) = shop.find()
        kept = shop.get(row.id).job
    assert kept.quote is not None
    bare = kept.replace(readings=[], ticks=[], quote=None)
    assert bare == job.replace(stage=Stage.HANDED_OVER)
    assert [(one.step, one.done, one.noted) for one in kept.ticks] == [
        (key, True, NOTE if key == keys[1] else "") for key in keys[:TICKED]
    ]
    proved = proof(kept, plan)
    assert proved.complete and not proved.misfits
    assert "restored" in seen["lean"]

    papers = {name: words_of(tmp_path / f"paper-{n}.pdf") for n, name in enumerate(seen["papers"])}
    fit, bench, order, parts, end = papers.values()
    assert all("26-031" in text and job.machine.name in text for text in papers.values())
    assert [RIDER.name in text for text in (fit, bench, order, end)] == [True, True, False, True]
    # Measured, the fit sheet tells what came of it, as the proof does, and promises nothing more.
    delivered = f"the seat is {length(proved.drop('on_wheels').delivered.value)} lower"
    assert delivered in fit and "Your seat will stand" not in fit
    assert NOTE in bench
    for way in plan.ways:
        assert not way.amount_mm or length(way.amount_mm, 1) in bench
    assert length(job.choices.shock_limiter_mm or 0.0, 1) in order
    assert length(job.choices.fork_limiter_mm or 0.0, 1) in parts
    assert delivered in end
    assert "Seat, on its wheels" in end and "reading after the work" not in end

    assert seen["list"][0][:5] == [
        "Handed over", RIDER.name, job.machine.name, FIELDS["Job"], FIELDS["Reference"]
    ]  # fmt: skip
    code, again = tell("shop_story", "look_again", tmp_path, tmp_path / "home", xvfb_display)
    keep(tmp_path)
    assert code == 0, again
    assert again["list"] == seen["list"]
    assert again["ticked"] == keys[:TICKED]
    assert again["notes"] == {keys[1]: NOTE}
    assert again["progress"] == seen["progress"]
    assert again["before"] == seen["before"] and again["after"] == seen["after"]
    assert not again["modified"]
