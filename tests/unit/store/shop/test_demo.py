"""The invented shop fills an empty database and nothing else."""

import re

import pytest

from fitplanner import paths
from fitplanner.documents.bench import Stage
from fitplanner.documents.preferences import Rates
from fitplanner.library.loader import load_library
from fitplanner.planning.account import account
from fitplanner.planning.bench import steps
from fitplanner.planning.evaluate import evaluate
from fitplanner.store.files import StoreError
from fitplanner.store.shop import Shop, load_demo
from tests import factories
from tests.demo_readings import demo_jobs


def test_every_stage_is_shown_and_every_job_has_its_history(shop: Shop) -> None:
    assert load_demo(shop) == shop.count() == 19
    rows = shop.find()
    assert {row.stage for row in rows} == set(Stage)
    assert all(row.created <= row.changed for row in rows)
    for row in rows:
        changes = shop.history(row.id)
        assert len(changes) == list(Stage).index(row.stage) + 1
        times = [one.at for one in changes]
        assert times == sorted(times, reverse=True)
    assert max(one.jobs for one in shop.riders()) == 2
    assert len({row.machine for row in rows}) == len(load_library().profiles)


def test_every_job_can_be_planned(shop: Shop) -> None:
    load_demo(shop)
    for row in shop.find():
        evaluate(shop.get(row.id).job)


def test_a_price_is_agreed_from_the_agreement_on(shop: Shop) -> None:
    load_demo(shop)
    order = list(Stage)
    for row in shop.find():
        job = shop.get(row.id).job
        agreed = order.index(job.stage) >= order.index(Stage.AGREED)
        assert (job.quote is not None) is agreed
        if job.quote is not None:
            now = account(job, evaluate(job), Rates(hourly=job.quote.hourly))
            assert job.quote.price == pytest.approx(now.cost, abs=0.01) and job.quote.price > 0


def test_no_telephone_rings(shop: Shop) -> None:
    load_demo(shop)
    # Kept free for plays and films by the British regulator (from memory).
    assert all(re.fullmatch(r"01632 960\d{3}", one.phone) for one in shop.riders())


def test_a_shop_with_a_job_is_left_alone(shop: Shop) -> None:
    shop.add(factories.job(), "Jo")
    with pytest.raises(StoreError, match="empty database"):
        load_demo(shop)
    assert shop.count() == 1


def test_the_file_comes_with_the_program() -> None:
    assert paths.demo_shop_file().is_file()


def test_steps_are_ticked_as_far_as_the_stage_says_and_hold_still() -> None:
    """A plan that changed says so at its steps: write the demo anew (tests.demo_readings)."""
    order = list(Stage)
    for job in demo_jobs():
        found = steps(job, evaluate(job))
        done = [step for step in found if step.done]
        if order.index(job.stage) < order.index(Stage.IN_WORK):
            assert not job.ticks
        elif job.stage is Stage.HANDED_OVER:
            assert len(done) == len(found)
        else:
            assert 0 < len(done) < len(found)
        assert len(done) == len(job.ticks) and not [step.key for step in found if step.was]
