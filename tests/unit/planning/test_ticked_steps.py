"""Steps against what the job has ticked: what is done, what has changed since, what is gone."""

from fitplanner.documents.bench import Tick
from fitplanner.documents.job import Job
from fitplanner.planning.bench import Quantity, Section, Step, no_longer, steps
from fitplanner.planning.evaluate import evaluate
from fitplanner.quantities import Kind, UnitSystem, fill
from tests import factories

CHOICES = {"fork_limiter_mm": 30.0, "shock_limiter_mm": 12.0}


def job_with(*ticks: Tick) -> Job:
    return factories.job(choices=CHOICES, ticks=list(ticks))


def told(job: Job) -> dict[str, Step]:
    return {step.key: step for step in steps(job, evaluate(job))}


def test_what_nobody_could_see_is_no_change() -> None:
    for kind, value, unseen, seen in (
        (Kind.LENGTH, 870.2, 870.4, 871.2),
        (Kind.ANGLE, 11.62, 11.64, 11.72),
        (Kind.PERCENT, 0.501, 0.504, 0.52),
        (Kind.SPRING_RATE, 8.2, 8.201, 8.3),
    ):
        first, near, far = (
            Step("key", Section.FORK, "", (Quantity("What", each, kind),))
            for each in (value, unseen, seen)
        )
        assert not near.differs(first.said) and not first.differs(first.said)
        assert far.differs(first.said)


def test_less_than_a_tenth_is_no_change_though_it_is_rounded_otherwise() -> None:
    def step(value: float, label: str = "Preload set to") -> Step:
        return Step("key", Section.FORK, "", (Quantity(label, value, Kind.LENGTH, 1),))

    was = step(10.44).said
    assert not step(10.46).differs(was)
    assert step(10.56).differs(was)
    assert step(10.44, "Spring as fitted").differs(was), "the same figure of something else"
    assert step(10.44).differs("Preload set to {length|1.2.3}"), "a file's nonsense is a change"


def test_what_was_said_is_shown_as_finely_as_it_was_worked_to() -> None:
    fine = Quantity("Preload set to", 10.44, Kind.LENGTH, 1)
    step = Step("key", Section.FORK, "", (fine, Quantity("Seat", 870.4)))
    assert fill(step.said, UnitSystem.METRIC) == "Preload set to 10.4 mm; Seat 870 mm"
    assert fill(step.said, UnitSystem.INCH) == "Preload set to 0.411 in; Seat 34.27 in"
    assert Step("key", Section.FORK, "").said == ""


def test_a_step_is_changed_where_its_figures_are_not_those_ticked() -> None:
    now = told(job_with())["fork-limiter"].said
    for tick, was in (
        (Tick(step="fork-limiter", said=now), ""),
        (Tick(step="fork-limiter", said="Limiter, each leg {length|20|.1}"), "20"),
        # Nobody knows what an older file's tick was for, and what is not done is never changed.
        (Tick(step="fork-limiter"), ""),
        (Tick(step="fork-limiter", done=False, noted="later", said="Limiter {length|1}"), ""),
    ):
        step = told(job_with(tick))["fork-limiter"]
        assert (was in step.was) if was else step.was == ""
        assert step.done is tick.done and step.noted == tick.noted


def test_ticks_of_steps_that_are_gone_are_told_as_they_were_said() -> None:
    job = job_with(
        Tick(step="rods", said="Longer by {length|12|.1}"),
        Tick(step="soles"),
        Tick(step="tyres", done=False, noted="asked", said="x"),
    )
    assert no_longer(job, steps(job, evaluate(job))) == ("Longer by {length|12|.1}",)


def test_every_step_of_a_plan_fits_into_its_tick() -> None:
    for step in told(job_with()).values():
        tick = Tick(step=step.key, said=step.said, noted="n" * 400)
        assert "nan" not in tick.said
