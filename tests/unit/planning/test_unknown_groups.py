"""What each sitting would take off the bands, held to the variances themselves."""

from dataclasses import replace

import numpy as np
import pytest

from fitplanner.documents.base import Source
from fitplanner.documents.job import Job
from fitplanner.documents.machine import EngineShape, MachineKind
from fitplanner.library.loader import load_library
from fitplanner.library.rules import load_rules
from fitplanner.library.stages import STAGES
from fitplanner.mechanics.arrays import Array
from fitplanner.planning.evaluate import evaluate
from fitplanner.planning.unknown.engine import points_of, unknown
from fitplanner.planning.unknown.figures import Unsure, figures_of
from fitplanner.planning.unknown.groups import missing_groups
from fitplanner.planning.unknown.lanes import Case, case_of
from fitplanner.planning.unknown.outcomes import outcomes
from fitplanner.planning.unknown.sensitivity import sobol_indices
from tests import factories
from tests.forgetful import forget
from tests.unit.planning.test_unknown import without_spreads

LIBRARY = load_library()
RULES = load_rules()
MISSING = (Source.ASSUMED, Source.ESTIMATED)


def poor_job(name: str, stages: int) -> Job:
    machine = forget(RULES, LIBRARY.profiles[name], STAGES[:stages])
    return factories.job(machine=machine, rider={"inside_leg_mm": 780.0})


@pytest.mark.parametrize(
    ("name", "stages"), [("brackwell-250", 1), ("fellstrid-350", 3), ("thimble-65", 0)]
)
def test_a_share_is_what_the_variance_loses_without_the_group(name: str, stages: int) -> None:
    job = poor_job(name, stages)
    plan = evaluate(job)
    case = case_of(job, plan)
    points = points_of(case, 2000)[1:]
    whole = np.var(outcomes(case, points, rider_up=True), axis=0)
    for group in missing_groups(job, plan).groups:
        known = replace(case, figures=_known(case, group.figures))
        left = np.var(outcomes(known, points, rider_up=True), axis=0)
        lost = 1.0 - left / whole
        told = group.shares
        assert np.array([told.footing, told.on_wheels, told.rider_up]) == pytest.approx(
            lost, abs=0.09
        )


def _known(case: Case, figures: tuple[tuple[str, str], ...]) -> tuple[Unsure, ...]:
    return tuple(
        replace(each, spread=0.0) if each.address in figures else each for each in case.figures
    )


def test_every_missing_figure_is_told_once_and_in_its_sections() -> None:
    job = poor_job("brackwell-250", 1)
    missing = missing_groups(job)
    told = [address for group in missing.groups for address in group.figures]
    wanted = {
        (section, spec.key)
        for section, spec, figure in figures_of(job.machine)
        if figure.source in MISSING and figure.spread > 0
    }
    assert len(told) == len(set(told))
    assert set(told) == wanted
    for group in missing.groups:
        inside = [address for part in group.sections for address in part.figures]
        assert sorted(inside) == sorted(group.figures)
        shares = [part.shares.rider_up for part in group.sections]
        assert shares == sorted(shares, reverse=True)
    assert missing.left_out == 0


def test_a_machine_that_is_all_read_misses_nothing() -> None:
    job = factories.job(machine=without_spreads(LIBRARY.profiles["brackwell-250"]))
    for group in missing_groups(job).groups:
        assert group.figures == ()
        assert group.shares.rider_up == 0.0


def test_the_same_question_has_the_same_answer() -> None:
    job = poor_job("duncarrow-250", 2)
    assert missing_groups(job) == missing_groups(job)


@pytest.mark.parametrize("kind", list(MachineKind))
def test_a_machine_of_which_nothing_is_known_still_has_an_account(kind: MachineKind) -> None:
    machine = RULES.new_profile(id="new", name="New", kind=kind, engine=EngineShape.SINGLE)
    job = factories.job(machine=machine)
    found = unknown(job, evaluate(job), samples=500)
    assert found.left_out < 25
    assert all(np.isfinite(each.planned.low) for each in found.bands)
    first = missing_groups(job).groups[0]
    # Where nothing is known, the catalogue page is what the seat hangs on.
    assert first.stage.key == "catalogue"
    assert first.shares.on_wheels > 0.9


def test_points_without_an_answer_are_left_out_and_counted() -> None:
    chance = np.random.default_rng(5)
    sample, other = chance.normal(size=(2, 400, 2))

    def model(points: Array) -> Array:
        found = points @ np.array([2.0, 1.0])
        return np.where(points[:, 0] > 2.2, np.nan, found)

    found = sobol_indices(model, sample, other)
    answered = (sample[:, 0] <= 2.2) & (other[:, 0] <= 2.2)
    alone = sobol_indices(model, sample[answered], other[answered])
    assert found.left_out == np.sum(~answered) > 0
    assert found.total == pytest.approx(alone.total)
    nothing = sobol_indices(lambda points: np.full(len(points), np.nan), sample, other)
    assert nothing.left_out == 400
    assert not np.any(nothing.total)


def test_machines_that_do_not_stand_are_left_out_of_the_bands(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    from fitplanner.planning.unknown import lanes

    job = factories.job()
    plan = evaluate(job)
    whole = unknown(job, plan, samples=400)
    stands = lanes.Lanes.rests.func

    def but_every_tenth(self: lanes.Lanes) -> Array:
        found = np.array(stands(self))
        return found & (np.arange(self.count) % 10 != 3) if self.count == 401 else found

    monkeypatch.setattr(lanes.Lanes, "rests", property(but_every_tenth))
    told = unknown(job, plan, samples=400)
    assert (whole.left_out, told.left_out) == (0, 40)
    assert told.band("seat_stopped").planned.value == whole.band("seat_stopped").planned.value
    assert told.band("seat_stopped").planned.low == pytest.approx(
        whole.band("seat_stopped").planned.low, abs=2.0
    )
