"""Jobs are kept, found, changed and told apart, in a file as on a server."""

import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor
from datetime import UTC, date, datetime, timedelta
from typing import Any

import pytest

from fitplanner.documents.bench import MeasuredState, Reading, Stage, Tick, When
from fitplanner.documents.bench import Place as At
from fitplanner.documents.machine import MachineKind
from fitplanner.store.files import StoreError
from fitplanner.store.shop import ConflictError, Deed, Query, Shop
from tests import factories


def job(rider: str = "Nadja Örvendal", phone: str = "", **changes: Any) -> Any:
    return factories.job(**{"rider": {"name": rider, "phone": phone}, **changes})


def titles(shop: Shop, **query: Any) -> list[str]:
    return [row.title for row in shop.find(Query(**query))]


def test_a_job_reads_back_exactly(shop: Shop) -> None:
    before = datetime.now(UTC)
    given = job(
        note="two\nlines, „ä“ and \0",
        title="NUL \0 in it",
        stage=Stage.MEASURED,
        readings=[
            Reading(when=When.BEFORE, place=At.SEAT, state=MeasuredState.ON_WHEELS, value=0.1 + 0.2)
        ],
        ticks=[Tick(step="fork-out", noted="seal weeps")],
    )
    kept = shop.add(given, "Jo")
    assert kept.job == given
    assert shop.get(kept.id) == kept
    assert (kept.revision, kept.who) == (1, "Jo")
    assert before <= kept.created == kept.changed <= datetime.now(UTC)


def test_an_empty_shop_lists_nothing(shop: Shop) -> None:
    assert shop.find() == []
    assert shop.count() == 0
    assert shop.riders() == []


def test_the_list_has_what_a_line_shows(shop: Shop) -> None:
    kept = shop.add(job(title="Lower", reference="F-7", stage=Stage.ORDERED), "Jo")
    (row,) = shop.find()
    assert (row.id, row.revision, row.rider_id) == (kept.id, 1, kept.rider_id)
    assert (row.rider, row.machine) == ("Nadja Örvendal", "Trail bike of the tests")
    assert (row.kind, row.stage) == (MachineKind.TRAIL, Stage.ORDERED)
    assert (row.title, row.reference) == ("Lower", "F-7")
    assert (row.created, row.changed) == (kept.created, kept.changed)


@pytest.mark.parametrize(
    ("words", "found"),
    [
        ("", ["c", "b", "a_100%"]),
        ("orvendal", ["a_100%"]),
        ("ÖRVENDAL nadja", ["a_100%"]),
        ("örven trail", ["a_100%"]),
        ("f-7", ["b"]),
        ("muster", ["c", "b"]),
        ("a_100", ["a_100%"]),
        ("a%", ["c", "b", "a_100%"]),
        ("nobody", []),
    ],
)
def test_words_are_found_wherever_they_stand(shop: Shop, words: str, found: list[str]) -> None:
    shop.add(job(title="a_100%"), "Jo")
    shop.add(job("Ute Muster", title="b", reference="F-7"), "Jo")
    shop.add(job("Karl Mustermann", title="c"), "Jo")
    assert titles(shop, words=words) == found
    assert shop.count(Query(words=words)) == len(found)


def test_by_stage_and_day(shop: Shop) -> None:
    for stage in (Stage.ASKED, Stage.ORDERED, Stage.IN_WORK):
        shop.add(job(title=stage.value, stage=stage), "Jo")
    assert titles(shop, stages=(Stage.ASKED, Stage.IN_WORK)) == ["in_work", "asked"]
    today, day = date.today(), timedelta(days=1)
    # Around midnight the jobs may be of yesterday.
    assert len(titles(shop, since=today - day, until=today)) == 3
    assert titles(shop, since=today + day) == []
    assert titles(shop, until=today - 2 * day) == []


def test_pages_follow_each_other_and_the_changed_one_comes_first(shop: Shop) -> None:
    kept = [shop.add(job(title=str(number)), "Jo") for number in range(5)]
    shop.save(kept[1], job(title="1 again"), "Jo")
    assert titles(shop, limit=2) == ["1 again", "4"]
    assert titles(shop, limit=2, offset=2) == ["3", "2"]
    assert titles(shop, limit=2, offset=4) == ["0"]
    assert shop.count(Query(limit=2)) == 5


def test_every_change_is_kept_with_its_places(shop: Shop) -> None:
    first = shop.add(job(title="one"), "Jo")
    second = shop.save(first, first.job.replace(title="two", stage=Stage.AGREED), "Mo")
    ticked = second.job.replace(ticks=[Tick(step="fork-out")])
    third = shop.save(second, ticked, "")
    changes = shop.history(first.id)
    assert [(one.revision, one.who, one.deed) for one in changes] == [
        (3, "", Deed.SAVED),
        (2, "Mo", Deed.SAVED),
        (1, "Jo", Deed.ADDED),
    ]
    assert [(one.address, one.old, one.new) for one in changes[1].differences] == [
        (("title",), "one", "two"),
        (("stage",), "asked", "agreed"),
    ]
    assert [one.address for one in changes[0].differences] == [("ticks", 0)]
    assert changes[0].differences[0].old is None
    assert changes[2].differences == ()
    assert changes[0].at == third.changed
    assert [shop.version(first.id, n) for n in (1, 2, 3)] == [first.job, second.job, ticked]


def test_a_stale_save_is_refused_and_tells_the_other_version(shop: Shop, place: Any) -> None:
    mine = shop.add(job(title="asked"), "Jo")
    with Shop.open(place.setting) as elsewhere:
        theirs = elsewhere.save(elsewhere.get(mine.id), job(title="theirs"), "Mo")
    with pytest.raises(ConflictError) as caught:
        shop.save(mine, job(title="mine"), "Jo")
    assert caught.value.theirs == theirs
    assert caught.value.mine == job(title="mine")
    assert "Mo" in caught.value.what
    assert shop.get(mine.id) == theirs
    over = shop.save(caught.value.theirs, caught.value.mine, "Jo")
    assert (over.revision, over.job.title) == (3, "mine")


def test_a_save_repeated_after_a_lost_answer_counts_once(shop: Shop) -> None:
    kept = shop.add(job(title="one"), "Jo")
    saved = shop.save(kept, job(title="two"), "Jo")
    assert shop.save(kept, job(title="two"), "Jo") == saved
    assert len(shop.history(kept.id)) == 2


def test_nothing_changed_is_no_change_and_shows_what_others_did(shop: Shop) -> None:
    kept = shop.add(job(title="one"), "Jo")
    assert shop.save(kept, kept.job, "Jo") == kept
    other = shop.save(kept, job(title="two"), "Mo")
    assert shop.save(kept, kept.job, "Jo") == other


def test_a_refused_save_leaves_the_rider_as_it_was(shop: Shop) -> None:
    kept = shop.add(job("Nadja"), "Jo")
    shop.save(kept, job("Nadja", title="other"), "Mo")
    with pytest.raises(ConflictError):
        shop.save(kept, job("Renamed"), "Jo")
    assert [one.name for one in shop.riders()] == ["Nadja"]


def test_what_is_not_there_says_so(shop: Shop) -> None:
    kept = shop.add(job(), "Jo")
    for ask in (
        lambda: shop.get("0" * 32),
        lambda: shop.history("0" * 32),
        lambda: shop.version(kept.id, 2),
        lambda: shop.erase_rider("0" * 32, "Jo"),
        lambda: shop.add(job(), "Jo", rider_id="0" * 32),
    ):
        with pytest.raises(StoreError, match=r"again\."):
            ask()
    assert shop.count() == 1


def test_riders_are_one_only_with_name_and_telephone(shop: Shop) -> None:
    first = shop.add(job("Ähra Holm", "01632 960 001"), "Jo")
    same = shop.add(job("ahra holm", "01632/960001"), "Jo")
    namesake = shop.add(job("Ähra Holm"), "Jo")
    other = shop.add(job("Ähra Holm", "01632 960 002"), "Jo")
    known = shop.add(job("Bo Holm"), "Jo", rider_id=first.rider_id)
    nameless = shop.add(job(""), "Jo")
    assert first.rider_id == same.rider_id == known.rider_id
    assert len({first.rider_id, namesake.rider_id, other.rider_id, nameless.rider_id}) == 4
    assert nameless.rider_id is None
    assert [(one.name, one.jobs) for one in shop.riders("960001")] == [("Bo Holm", 3)]
    assert [one.name for one in shop.riders("holm")] == ["Ähra Holm", "Ähra Holm", "Bo Holm"]


def test_a_rider_gets_a_name_later_and_keeps_the_last_one(shop: Shop) -> None:
    kept = shop.add(job(""), "Jo")
    named = shop.save(kept, job("Nadja"), "Jo")
    assert named.rider_id is not None
    emptied = shop.save(named, job("", "01632 960003"), "Jo")
    assert emptied.rider_id == named.rider_id
    assert [(one.name, one.phone) for one in shop.riders()] == [("Nadja", "01632 960003")]


def test_any_thread_may_use_an_open_shop(shop: Shop) -> None:
    kept = shop.add(job(title="of this thread"), "Jo")
    with ThreadPoolExecutor(4) as threads:
        found = list(threads.map(lambda _: shop.get(kept.id), range(20)))
        list(threads.map(lambda number: shop.add(job(title=str(number)), "Jo"), range(20)))
    assert found == [kept] * 20
    assert shop.count() == 21


_SAVE_MANY = """
import sys
from fitplanner.store.shop import ConflictError, Shop
setting, key, who, count = sys.stdin.readline().strip(), *sys.argv[1:3], int(sys.argv[3])
if setting.startswith("/"):
    from pathlib import Path
    setting = Path(setting)
with Shop.open(setting) as shop:
    kept = shop.get(key)
    for number in range(count):
        while True:
            try:
                kept = shop.save(kept, kept.job.replace(note=f"{who} {number}"), who)
                break
            except ConflictError as conflict:
                kept = conflict.theirs
"""


@pytest.mark.slow
def test_two_programs_at_once_lose_nothing(shop: Shop, place: Any) -> None:
    kept = shop.add(job(), "Jo")
    programs = []
    for who in ("one", "two"):
        program = subprocess.Popen(
            [sys.executable, "-c", _SAVE_MANY, kept.id, who, "40"],
            stdin=subprocess.PIPE,
            text=True,
        )
        assert program.stdin is not None
        program.stdin.write(f"{place.setting}\n")
        program.stdin.close()
        programs.append(program)
    assert [program.wait(timeout=60) for program in programs] == [0, 0]
    changes = shop.history(kept.id)
    assert [one.revision for one in changes] == list(range(81, 0, -1))
    for who in ("one", "two"):
        notes = [one.differences[-1].new for one in changes[::-1] if one.who == who]
        assert notes == [f"{who} {number}" for number in range(40)]


@pytest.mark.slow
def test_programs_that_open_a_new_shop_at_once_all_can(place: Any) -> None:
    code = (
        "import sys; from pathlib import Path; from fitplanner.store.shop import Shop\n"
        "setting = sys.stdin.readline().strip()\n"
        "Shop.open(Path(setting) if setting.startswith('/') else setting).close()"
    )
    programs = [
        subprocess.Popen([sys.executable, "-c", code], stdin=subprocess.PIPE, text=True)
        for _ in range(4)
    ]
    for program in programs:
        assert program.stdin is not None
        program.stdin.write(f"{place.setting}\n")
        program.stdin.close()
    assert [program.wait(timeout=60) for program in programs] == [0] * 4
