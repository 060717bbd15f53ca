"""One rider against a library of two hundred machines. Printed, never asserted."""

from itertools import count

import pytest

from fitplanner.documents.base import Figure, Section
from fitplanner.documents.machine import MachineProfile
from fitplanner.documents.preferences import Rates
from fitplanner.library.loader import load_library
from fitplanner.planning.fleet import rank

MACHINES = 200


def varied(profile: MachineProfile, number: int) -> MachineProfile:
    """The profile with seat and springs moved a little, so that no two machines are alike."""
    share = 1 + 0.0005 * (number % 41 - 20)

    def moved(section: Section, key: str) -> Section:
        figure: Figure = getattr(section, key)
        return section.replace(**{key: figure.replace(value=figure.value * share)})

    return profile.replace(
        id=f"machine-{number}",
        catalogue=moved(profile.catalogue, "seat_height_mm"),
        seat=moved(profile.seat, "x_mm"),
        rear=moved(profile.rear, "spring_rate_n_mm"),
    )


@pytest.mark.parametrize("known", [False, True], ids=["first time", "again"])
def test_two_hundred_machines(known: bool, benchmark) -> None:
    library = load_library()
    shipped = list(library.profiles.values())
    rider = library.riders["ilka"]
    numbers = count()

    def fleet() -> list[MachineProfile]:
        return [varied(shipped[i % len(shipped)], next(numbers)) for i in range(MACHINES)]

    same = fleet()

    def setup():
        return (rider, same if known else fleet(), Rates()), {}

    rows = benchmark.pedantic(rank, setup=setup, rounds=5, warmup_rounds=1)
    print(f"\n{len(rows)} machines; by what must be done:")
    for doing in dict.fromkeys(row.doing for row in rows):
        print(f"  {doing.value}: {sum(row.doing is doing for row in rows)}")
