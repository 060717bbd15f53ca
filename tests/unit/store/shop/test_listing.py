"""The list of jobs names who changed each last; a job that is not there is told apart."""

import pytest

from fitplanner.store.shop import MissingError, Shop
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
