"""The order to the specialist as a paper. Owns its look in words; `planning.bench` has the content.

Refuses the job's title and the rider's name.
"""

from fitplanner.documents.machine import INVENTED
from fitplanner.planning.bench import Order
from fitplanner.report.papers.paper import Block, Fact, Facts, Heading, Paper, Ruled, Task, Words
from fitplanner.report.papers.write import Writer


def specialist_order(order: Order, write: Writer) -> Paper:
    """The paper that goes with the shock."""
    blocks: list[Block] = []
    for group in order.groups:
        blocks.append(Heading(group.title))
        if group.words:
            blocks.append(Words(write.sentence(group.words)))
        blocks += [Task(text) for text in group.boxes]
        if group.quantities or group.blanks:
            blocks.append(
                Facts(
                    tuple(write.fact(each) for each in group.quantities),
                    tuple(write.line(each) for each in group.blanks),
                )
            )
    blocks.append(Ruled("Notes", 4))
    return Paper(
        name="Order to the suspension specialist",
        title="",
        reference=order.reference,
        head=(Fact("Machine", order.machine),),
        blocks=tuple(blocks),
        foot="The return checks are common practice, no source; the unit's maker goes first.",
        remark=INVENTED if order.invented else "",
        one_page=True,
    )
