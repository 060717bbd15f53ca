"""The parts list for the counter. Owns its words; `planning.bench` has the list."""

from fitplanner.documents.job import Job
from fitplanner.planning.bench import Part, parts
from fitplanner.planning.plan import Plan
from fitplanner.report.papers.paper import Block, Fact, Grid, Paper, Ruled, Words
from fitplanner.report.papers.write import Writer, remark, shop_words

NOT_STATED = "\N{EN DASH}"


def parts_list(job: Job, plan: Plan, write: Writer) -> Paper:
    """What to buy, with the profile's prices; a part without one is marked and named."""
    found = parts(job, plan)
    blocks: list[Block] = []
    blocks += shop_words(plan, write)
    if found:
        rows = [_row(part, write) for part in found]
        priced = [part.price for part in found if part.price is not None]
        rows.append(("Sum of the prices stated", "", "", write.money(sum(priced)), ""))
        blocks.append(
            Grid(
                ("Part", "Pieces", "Size", "Price", "Remark"),
                tuple(rows),
                (False, True, False, True, False),
                (0.27, 0.09, 0.22, 0.12, 0.30),
                total=True,
            )
        )
        if any(part.price is None for part in found):
            blocks.append(
                Words(
                    f"{NOT_STATED} No price stands in the machine's profile: ask before quoting.",
                    "quiet",
                )
            )
    else:
        blocks.append(Words("Nothing to buy."))
    blocks.append(Ruled("Ordered where, when, number", 6))
    return Paper(
        name="Parts list",
        title=job.title,
        reference=job.reference,
        head=(Fact("Machine", job.machine.name),),
        blocks=tuple(blocks),
        foot="Prices are those of the machine's profile, for all pieces of a row, without work.",
        remark=remark(job.machine),
    )


def _row(part: Part, write: Writer) -> tuple[str, ...]:
    size = ""
    if part.size is not None:
        fact = write.fact(part.size)
        size = f"{fact.label} {fact.value}"
    return (
        part.name,
        "" if part.count is None else str(part.count),
        size,
        NOT_STATED if part.price is None else write.money(part.price),
        part.note,
    )
