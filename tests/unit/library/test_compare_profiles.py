"""Two profiles of one machine: every difference is found, and taken over one by one."""

import json
from typing import Any

import pytest

from fitplanner.documents import codec
from fitplanner.documents.base import Figure, Source
from fitplanner.documents.errors import DocumentError
from fitplanner.documents.machine import LeverageTable, LinkagePoints, MachineProfile
from fitplanner.documents.torque import Fastener, Torque
from fitplanner.library.compare_profiles import differences, entries, is_older, take_over
from fitplanner.library.loader import load_library
from tests import factories

MINE = factories.machine_profile()
AXLE = Torque(fastener=Fastener.REAR_AXLE, words="100 N·m", source="invented book, page 3")
CAP = Torque(fastener=Fastener.FORK_CAP, words="30 N·m", source="invented book, page 9")


def test_a_profile_does_not_differ_from_itself() -> None:
    assert differences(MINE, MINE) == ()
    assert differences(MINE, MINE.replace(revision=7)) == ()
    assert len(entries(MINE, MINE)) > 90


def test_of_a_figure_it_says_which_parts_differ() -> None:
    figure = MINE.rear.travel_mm.replace(spread=4.0, source=Source.MEASURED, note="three times")
    (found,) = differences(MINE, factories.machine_profile(rear={"travel_mm": figure}))
    assert found.address == ("rear", "travel_mm")
    assert found.label == "Rear wheel travel"
    assert found.spec is not None
    assert (found.mine, found.theirs) == (MINE.rear.travel_mm, figure)
    assert found.parts == {"spread", "source", "note"}


def test_an_optional_figure_a_way_a_torque_and_the_linkage_are_entries() -> None:
    joints = LinkagePoints(
        layout="direct", frame_eye_mm=[120.0, 300.0], arm_point_mm=[-180.0, -20.0]
    )
    other = MINE.replace(
        name="Another name",
        note="lower links",
        ways=MINE.ways.replace(lower_seat=None),
        rear=MINE.rear.replace(linkage=joints),
        torques=[AXLE],
        seat=MINE.seat.replace(arc_mm=Figure(value=1900.0)),
    )
    found = {entry.address: entry for entry in differences(MINE, other)}
    assert set(found) == {
        ("name",),
        ("note",),
        ("ways", "lower_seat"),
        ("rear", "linkage"),
        ("torques", "rear_axle"),
        ("seat", "arc_mm"),
    }
    assert found["ways", "lower_seat"].theirs is None
    assert found["torques", "rear_axle"].mine is None
    assert isinstance(found["rear", "linkage"].mine, LeverageTable)


def test_taking_over_everything_is_the_other_one() -> None:
    other = MINE.replace(
        name="Another", torques=[AXLE, CAP], ways=MINE.ways.replace(raised_stanchions=None)
    )
    found = differences(MINE, other)
    assert take_over(MINE, other, [entry.address for entry in found]) == other
    assert take_over(other, MINE, [entry.address for entry in found]) == MINE
    assert take_over(MINE, other, []) == MINE


def test_taking_over_one_entry_leaves_the_rest() -> None:
    mine = MINE.replace(torques=[AXLE])
    other = factories.machine_profile(
        rear={"travel_mm": 280.0}, fork={"travel_mm": 290.0}, torques=[CAP], revision=5
    )
    taken = take_over(mine, other, [("fork", "travel_mm"), ("torques", "fork_cap")])
    assert taken.fork.travel_mm == other.fork.travel_mm
    assert taken.rear == mine.rear
    assert [each.fastener for each in taken.torques] == [Fastener.REAR_AXLE, Fastener.FORK_CAP]
    assert taken.revision == mine.revision


def test_what_does_not_fit_together_is_refused_with_its_mend() -> None:
    table = LeverageTable(wheel_travel_mm=[0.0, 200.0], leverage=[2.6, 2.4])
    short = factories.machine_profile(rear={"travel_mm": 200.0, "linkage": table})
    with pytest.raises(DocumentError, match="the table ends at 200 mm"):
        take_over(MINE, short, [("rear", "linkage")])
    both = [("rear", "linkage"), ("rear", "travel_mm")]
    assert take_over(MINE, short, both).rear == short.rear
    with pytest.raises(LookupError):
        take_over(MINE, short, [("id",)])


def leaves(value: Any, path: tuple[Any, ...] = ()) -> list[tuple[Any, ...]]:
    if isinstance(value, dict):
        return [leaf for key, one in value.items() for leaf in leaves(one, (*path, key))]
    return [path]


@pytest.mark.parametrize("name", ["duncarrow-250", "hallowmoor-900"])
def test_no_field_of_a_profile_is_overlooked(name: str) -> None:
    """Whatever a file can say differently is found, except what is not the profile's content."""
    profile = load_library().profiles[name]
    raw = json.loads(codec.dump(profile))
    for leaf in leaves(raw):
        if leaf[0] in ("format", "schema_version", "id", "revision") or leaf[-1] == "layout":
            continue
        changed = json.loads(json.dumps(raw))
        place = changed
        for part in leaf[:-1]:
            place = place[part]
        other = _other(place[leaf[-1]])
        if other is None:
            continue
        place[leaf[-1]] = other
        try:
            theirs: MachineProfile = codec.load_machine(json.dumps(changed))
        except DocumentError:
            continue
        found = differences(profile, theirs)
        assert [entry.address for entry in found] == [leaf[: len(found[0].address)]], leaf


def _other(value: Any) -> Any:
    if isinstance(value, bool):
        return not value
    if isinstance(value, float):
        return value * 1.001 + 0.001
    if isinstance(value, str):
        return "measured" if value == "maker" else f"{value}x"
    return None


def test_an_older_revision_is_told_from_one_with_figures_of_its_own() -> None:
    seat = MINE.catalogue.seat_height_mm
    sheet = seat.replace(value=935.0, source=Source.MAKER, origin="sheet of that year")
    newer = factories.machine_profile(catalogue={"seat_height_mm": sheet}).replace(revision=2)
    assert is_older(MINE, newer) and not is_older(newer, MINE)
    assert not is_older(MINE.replace(revision=2), newer)
    by_hand = Figure(value=931.0, spread=2.0, source=Source.MEASURED)
    changed = factories.machine_profile(catalogue={"seat_height_mm": by_hand})
    assert not is_older(changed, newer)
    # What was measured on a known day was measured for the profile.
    dated = by_hand.replace(origin="2026-11-20")
    assert is_older(factories.machine_profile(catalogue={"seat_height_mm": dated}), newer)
