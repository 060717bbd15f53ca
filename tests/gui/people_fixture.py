"""An answer of the window that says who reaches, worked out once for all tests."""

from functools import cache

from fitplanner.documents.customers import Customers
from fitplanner.documents.job import Choices, Job
from fitplanner.documents.preferences import Rates
from fitplanner.library.loader import load_library
from fitplanner.planning.people.setups import Springs
from fitplanner.planning.people.shares import Found, Question, who_reaches

LIBRARY = load_library()


def demo_job(**changes: object) -> Job:
    """The invented short rider on an enduro machine that options bring down."""
    rider = LIBRARY.riders["ilka"].replace(**changes)
    return Job(rider=rider, machine=LIBRARY.profiles["merebrook-400"])


@cache
def answer() -> Found:
    """Stock, plan, three options and each way of the demo job's machine."""
    job = demo_job()
    bare = {"name": "", "phone": "", "stature_mm": None, "inside_leg_mm": None, "mass_kg": None}
    return who_reaches(
        Question(
            machine=job.machine,
            pattern=job.rider.replace(**bare),
            load=Choices(),
            customers=Customers(),
            springs=Springs.AS_BUILT,
            wanted=0.5,
            rates=Rates(),
            job=job.planned_on(),
            rider=job.rider.replace(name="", phone=""),
        )
    )
