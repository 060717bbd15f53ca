"""The list of jobs names who changed each last; a job that is not there is told apart."""

import pytest

from fitplanner.documents.bench import Stage
from fitplanner.store.shop import MissingError, Query, Shop, Sort
from tests import factories


def test_each_row_names_who_changed_it_last(shop: Shop) -> None:
    first = shop.add(factories.job(title="one"), "Maud")
    shop.add(factories.job(title="two"), "")
    shop.save(first, first.job.replace(note="more"), "Jorinde")
    assert [(row.title, row.who) for row in shop.find()] == [("one", "Jorinde"), ("two", "")]


def test_a_job_of_another_database_is_missing_and_nothing_is_written(shop: Shop) -> None:
    kept = shop.add(factories.job(), "Maud")
    elsewhere = type(kept)(**{**vars(kept), "id": "0" * 32})
    for refused in (
        lambda: shop.get(elsewhere.id),
        lambda: shop.save(elsewhere, kept.job.replace(note="mine"), "Maud"),
        lambda: shop.save(elsewhere, kept.job, "Maud"),
        lambda: shop.history(elsewhere.id),
    ):
        with pytest.raises(MissingError, match="not kept here"):
            refused()
    assert [shop.get(row.id) for row in shop.find()] == [kept]


@pytest.mark.parametrize(
    ("sort", "rising"),
    [
        (Sort.RIDER, ["ann", "Bea", "Cid"]),
        (Sort.TITLE, ["Cid", "ann", "Bea"]),
        (Sort.STAGE, ["Bea", "ann", "Cid"]),
        (Sort.REFERENCE, ["ann", "Cid", "Bea"]),
        (Sort.CHANGED, ["Cid", "ann", "Bea"]),
        (Sort.WHO, ["Bea", "Cid", "ann"]),
    ],
)
def test_jobs_are_listed_by_any_column_up_and_down(
    shop: Shop, sort: Sort, rising: list[str]
) -> None:
    for name, title, stage, reference, who in (
        ("Cid", "alpha", Stage.HANDED_OVER, "b", "mo"),
        ("ann", "Beta", Stage.ORDERED, "A", "Zoe"),
        ("Bea", "gamma", Stage.ASKED, "c", "Jo"),
    ):
        job = factories.job(title=title, stage=stage, reference=reference)
        shop.add(job.replace(rider=job.rider.replace(name=name)), who)
    assert [row.rider for row in shop.find(Query(sort=sort, ascending=True))] == rising
    assert [row.rider for row in shop.find(Query(sort=sort))] == rising[::-1]


@pytest.mark.parametrize(
    "typed", ["01632960114", "01632 960 114", "960114", "ann 960114", "01632 960 11"]
)
def test_a_job_is_found_by_the_telephone_however_it_is_spaced(shop: Shop, typed: str) -> None:
    for name, phone in (("Ann", "01632 960114"), ("Bea", "01632 960127"), ("Cid", "")):
        job = factories.job()
        shop.add(job.replace(rider=job.rider.replace(name=name, phone=phone)), "Jo")
    assert [row.rider for row in shop.find(Query(words=typed))] == ["Ann"]
    assert shop.count(Query(words=typed)) == 1


def test_the_job_of_a_file_is_known_again_also_after_changes(shop: Shop) -> None:
    job = factories.job(title="Filed")
    assert shop.twin(job) is None
    kept = shop.add(job, "Jo")
    shop.save(kept, job.replace(note="more"), "Jo")
    twin = shop.twin(job)
    assert twin is not None and (twin.id, twin.revision) == (kept.id, 2)
    assert shop.twin(job.replace(title="Another")) is None
