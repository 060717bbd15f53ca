"""The bench sheet: the steps of the work as boxes to tick.

Owns which facts stand at its head and how a step becomes a box. Refuses the steps themselves:
`planning.bench` has them.
"""

from fitplanner.documents.job import Job
from fitplanner.planning.bench import Section, Step, TorqueLine, no_longer, steps
from fitplanner.planning.plan import Check, Plan, Severity
from fitplanner.report.papers.paper import Block, Fact, Heading, Line, Paper, Ruled, Task, Words
from fitplanner.report.papers.write import (
    HABIT,
    HABIT_FOOT,
    Writer,
    remark,
    shop_words,
)

_FROM_THE_BOOK = "Torque, from the maker's manual:"


def bench_sheet(job: Job, plan: Plan, write: Writer) -> Paper:
    """The paper for the mechanic."""
    blocks: list[Block] = [_stop(check, write) for check in plan.stopped_by]
    blocks += [*_look_at(plan, write), *shop_words(plan, write)]
    found = steps(job, plan)
    blocks += [
        Words(f"Ticked, but not in the plan any more: {write.sentence(text)}", "caution")
        for text in no_longer(job, found)
    ]
    section: Section | None = None
    for number, step in enumerate(found, 1):
        if step.section is not section:
            section = step.section
            blocks.append(Heading(section.value))
        blocks.append(_task(number, step, write))
    blocks.append(Ruled("Notes", 6))
    return Paper(
        name="Bench sheet",
        title=job.title,
        reference=job.reference,
        head=_head(job, plan, write),
        blocks=tuple(blocks),
        foot=HABIT_FOOT,
        remark=remark(job.machine),
    )


def _stop(check: Check, write: Writer) -> Words:
    value = write.text(check.value, check.kind, check.decimals)
    text = f"Do not build: {check.title} ({value}). {write.sentence(check.reason)}."
    return Words(text, "caution")


def _look_at(plan: Plan, write: Writer) -> list[Words]:
    """The cautions that do not hold, by name: titles say what should be."""
    named = [
        f"{check.title} ({write.text(check.value, check.kind, check.decimals)})"
        for check in plan.checks
        if not check.holds and check.severity is Severity.CAUTION
    ]
    if not named:
        return []
    return [Words(f"Checks that do not hold, to look at first: {'; '.join(named)}.", "caution")]


def _head(job: Job, plan: Plan, write: Writer) -> tuple[Fact, ...]:
    at = plan.states
    before, after = (write.tape(each.on_wheels.seat_height_mm) for each in (at.stock, at.planned))
    facts = [
        Fact("Machine", job.machine.name),
        Fact("Rider", job.rider.name),
        Fact("Seat, on its wheels", f"{before} before, {after} after"),
    ]
    return tuple(fact for fact in facts if fact.value)


def _task(number: int, step: Step, write: Writer) -> Task:
    return Task(
        text=write.sentence(step.text),
        ticked=step.done,
        number=str(number),
        mark=HABIT if step.habit else "",
        facts=tuple(write.fact(each, taped=step.taped) for each in step.quantities),
        lines=tuple(write.line(each, taped=step.taped) for each in step.blanks),
        torques=tuple(_torque(each) for each in step.torques),
        torques_from=_FROM_THE_BOOK if step.torques else "",
        cautions=(*_changed(step, write), *(write.sentence(each.text) for each in step.cautions)),
        tools=", ".join(step.tools),
        noted=step.noted,
    )


def _changed(step: Step, write: Writer) -> tuple[str, ...]:
    """That the step is not any more what was ticked."""
    if not step.was:
        return ()
    return (f"Changed since it was ticked. Then: {write.sentence(step.was)}",)


def _torque(line: TorqueLine) -> Line:
    """Quoted with its source, else room to write it in from the book; never made up."""
    if line.words:
        return Line(f"{line.label} ({line.source})", line.words)
    return Line(line.label)
