"""A machine that nobody knew, from its maker's catalogue page to a plan."""

from pathlib import Path

import pytest

from fitplanner.documents.base import Source
from fitplanner.store.profiles import Shelf
from tests.e2e.machine_story import NAME
from tests.e2e.starting import keep, tell

pytestmark = [pytest.mark.e2e, pytest.mark.slow]

MOST_STEPS = 125
"""Keys and clicks from the window to the plan: at one a second, two of five minutes."""


def test_a_plan_comes_from_a_catalogue_page_in_few_steps(xvfb_display: str, tmp_path: Path) -> None:
    home = tmp_path / "home"
    code, seen = tell("machine_story", "plan_from_a_catalogue_page", tmp_path, home, xvfb_display)
    keep(tmp_path)
    assert code == 0, seen
    print(f"{seen['steps']} keys and clicks")
    assert seen["steps"] <= MOST_STEPS
    assert not seen["scrolls"]
    assert len(seen["first heights"]) == 3 and len(seen["heights"]) == 3
    assert seen["still a guess"] == "" and seen["slips"] == ""
    assert seen["kind"] == "Enduro"
    assert seen["changed"] and seen["chooser"] == NAME and "revision 1" in seen["title"]
    profile = Shelf(home / "profiles").read().profiles["larkhope-350"]
    seat = profile.catalogue.seat_height_mm
    assert seat.value == pytest.approx(35.875 * 25.4) and seat.typed == "35 7/8 in"
    assert seat.source is Source.MAKER
    assert profile.wheels.front_radius_mm.typed == "90/90-21"
    assert profile.fork.travel_mm.value == 285.0 and profile.rear.travel_mm.value == 290.0
    assert profile.masses.running_order_kg.value == 139.0
    assert profile.rear.arm_length_mm.source is Source.ASSUMED
    assert not any(home.glob("machine-autosave*.json"))


def test_a_machine_is_found_again_after_a_crash(xvfb_display: str, tmp_path: Path) -> None:
    home = tmp_path / "home"
    code, seen = tell("machine_story", "type_without_saving", tmp_path, home, xvfb_display)
    assert code == 9, seen
    code, seen = tell("machine_story", "find_the_machine_again", tmp_path, home, xvfb_display)
    assert code == 0, seen
    assert "unsaved work" in seen["question"] and NAME in seen["question"]
    assert seen["name"] == NAME and seen["modified"]
    assert NAME in seen["at_the_end"]
    assert not any(home.glob("machine-autosave*.json"))
