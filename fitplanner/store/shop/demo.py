"""An invented shop to look around in: a score of jobs, from asked to handed over.

Owns their file's format. The machines and riders are those of the library; the jobs get names,
telephones of a range that is given to nobody, and dates counted back from today.
"""

from datetime import UTC, datetime, timedelta
from typing import Literal

from pydantic import Field

from fitplanner import paths
from fitplanner.documents import codec
from fitplanner.documents.base import Document
from fitplanner.documents.bench import Quote, Reading, Stage, Tick, When
from fitplanner.documents.errors import refusal
from fitplanner.documents.job import Choices, Job
from fitplanner.library.loader import load_library
from fitplanner.store.files import StoreError, read_text
from fitplanner.store.shop import search, writing
from fitplanner.store.shop.records import Deed, Query
from fitplanner.store.shop.shop import Shop

_WHAT = "The invented jobs are not put in"


class DemoJob(Document):
    """One job: `machine` and `rider` name files of the library, days count back from today."""

    machine: str
    rider: str
    name: str
    phone: str
    title: str
    reference: str
    stage: Stage
    note: str = ""
    choices: Choices = Choices()
    readings: list[Reading] = Field(default=[], max_length=200)
    ticks: list[Tick] = Field(default=[], max_length=300)
    quote: Quote | None = None
    asked_days_ago: float = Field(ge=0.0, le=400.0)
    changed_days_ago: float = Field(ge=0.0, le=400.0)


class DemoShop(Document):
    """The file."""

    format: Literal["fitplanner-demo-shop"] = "fitplanner-demo-shop"
    schema_version: Literal[1] = 1
    who: str
    jobs: list[DemoJob]


_DEMO = codec.Format("fitplanner-demo-shop", "demo shop", DemoShop)


def load_demo(shop: Shop) -> int:
    """Put the invented jobs into an empty shop, all or none; returns how many.

    Raises:
        StoreError: the shop is not empty, or the database refuses.
        DocumentError: a file of the program is damaged.
    """
    demo = codec.load(_DEMO, read_text(paths.demo_shop_file()))
    jobs = [(one, _job(one)) for one in demo.jobs]
    now = datetime.now(UTC)
    with shop.database.write(_WHAT) as db:
        if search.count(db, Query()):
            raise StoreError(
                _WHAT, shop.where, "Jobs are kept here already; the demo needs an empty database."
            )
        for one, job in jobs:
            done = list(Stage)[: list(Stage).index(one.stage) + 1]
            first, last = (
                now - timedelta(days=days) for days in (one.asked_days_ago, one.changed_days_ago)
            )
            key = writing.add(db, shop.where, _at(job, done[0]), demo.who, first)
            for number, stage in enumerate(done[1:], 1):
                at = first + (last - first) * number / (len(done) - 1)
                writing.revise(db, key, number, _at(job, stage), demo.who, at, Deed.SAVED)
    return len(jobs)


def _at(job: Job, stage: Stage) -> Job:
    """The job as it was at a stage: read before the parts are ordered, and after the work.

    The price is agreed on before that, the steps are ticked on the bench.
    """
    order = list(Stage)
    agreed, ordered, measured = (
        order.index(stage) >= order.index(least)
        for least in (Stage.AGREED, Stage.ORDERED, Stage.MEASURED)
    )
    readings = [each for each in job.readings if measured or (each.when is When.BEFORE and ordered)]
    worked = order.index(stage) >= order.index(Stage.IN_WORK)
    return job.replace(
        stage=stage,
        readings=readings,
        ticks=job.ticks if worked else [],
        quote=job.quote if agreed else None,
    )


def _job(demo: DemoJob) -> Job:
    library = load_library()
    machine, rider = library.profiles.get(demo.machine), library.riders.get(demo.rider)
    if machine is None or rider is None:
        raise refusal(f"the library has no {demo.machine} or no {demo.rider}; install it again")
    return Job(
        title=demo.title,
        note=demo.note,
        reference=demo.reference,
        rider=rider.replace(name=demo.name, phone=demo.phone),
        machine=machine,
        choices=demo.choices,
        readings=demo.readings,
        ticks=demo.ticks,
        quote=demo.quote,
    )
