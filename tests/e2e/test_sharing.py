"""Machines that several counters share, in a real window."""

from pathlib import Path

import pytest

from fitplanner.documents import codec
from fitplanner.library.loader import load_library
from fitplanner.store.profiles import Shelf
from tests.e2e.starting import keep, tell

pytestmark = pytest.mark.e2e


def test_a_machine_changes_elsewhere_and_takes_a_figure_from_a_file(
    tmp_path: Path, xvfb_display: str
) -> None:
    base = load_library().profiles["hallowmoor-900"]
    machine = base.replace(id="plover-300", name="Plover 300", revision=1, invented=False)
    shelf = Shelf(tmp_path / "home" / "profiles", make=True)
    shelf.save(machine, None)
    seat, travel = machine.catalogue.seat_height_mm, machine.rear.travel_mm
    friend = machine.replace(
        revision=4,
        catalogue=machine.catalogue.replace(seat_height_mm=seat.replace(value=seat.value + 9)),
        rear=machine.rear.replace(travel_mm=travel.replace(value=travel.value - 6)),
    )
    (tmp_path / "from-a-friend.json").write_text(codec.dump(friend), encoding="utf-8")

    code, seen = tell("sharing_story", "share_a_machine", tmp_path, tmp_path / "home", xvfb_display)
    keep(tmp_path)
    assert code == 0, seen
    assert seen["planned_on"] == 1
    assert seen["differing"] == ["Note", "Seat height", "Rear wheel travel"]
    assert "“Plover 300” is in the library now, revision 3" in seen["said"]
    assert (seen["seat_mm"], seen["travel_mm"]) == (seat.value + 9, travel.value)
    assert (seen["note"], seen["revision"]) == ("chain renewed", 3)
    assert [one.name for one in shelf.folder.glob("*.json")] == ["plover-300.json"]
