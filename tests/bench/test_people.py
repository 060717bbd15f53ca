"""Thousands of customers on one machine. Printed, never asserted."""

import pytest

from fitplanner.body.reach import Footing
from fitplanner.documents.customers import Customers
from fitplanner.documents.job import Choices, Job
from fitplanner.library.loader import load_library
from fitplanner.planning.context import context
from fitplanner.planning.evaluate import evaluate
from fitplanner.planning.people.crowd import PEOPLE, crowd, middle
from fitplanner.planning.people.setups import Springs, stock_of
from fitplanner.planning.people.spare import spare


@pytest.mark.parametrize("springs", Springs)
@pytest.mark.parametrize("wish", [Footing.BOTH_BALLS, Footing.ONE_FOOT_FLAT])
def test_one_setup_for_everybody(wish: Footing, springs: Springs, benchmark) -> None:
    library, customers = load_library(), Customers()
    pattern = library.riders["ilka"].replace(footing=wish)
    job = Job(
        rider=middle(pattern, customers),
        machine=library.profiles["brackwell-250"],
        choices=Choices(),
    )
    ctx = context(job)
    setup = stock_of(ctx).setup

    def seat() -> list[float]:
        everybody = crowd(pattern, customers).values()
        return [spare(ctx, setup, who, springs).share() for who in everybody]

    shares = benchmark(seat)
    print(
        f"\n{2 * PEOPLE} people; of 100 women {100 * shares[0]:.0f}, of men {100 * shares[1]:.0f}"
    )


def test_against_one_plan_for_comparison(benchmark) -> None:
    library = load_library()
    job = Job(rider=library.riders["ilka"], machine=library.profiles["brackwell-250"])
    evaluate(job)
    benchmark(evaluate, job)
