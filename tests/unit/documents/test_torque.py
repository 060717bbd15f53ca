"""Torques are quoted, with their unit and source, each once."""

import pytest
from pydantic import ValidationError

from fitplanner.documents import codec
from fitplanner.documents.torque import Fastener, Torque
from tests import factories


def test_a_torque_is_kept_as_the_book_writes_it() -> None:
    torque = Torque(fastener=Fastener.FORK_CAP, words="25-30 N·m", source="book, 6-12")
    machine = factories.machine_profile(torques=[torque])
    assert codec.load_machine(codec.dump(machine)).torques == [torque]


@pytest.mark.parametrize("words", ["30", "", "tight", "N·m"])
def test_a_torque_without_figure_or_unit_is_refused_with_the_mend(words: str) -> None:
    with pytest.raises(ValidationError, match="such as 60 N·m"):
        Torque(fastener=Fastener.FORK_CAP, words=words, source="book")


def test_a_torque_without_source_is_refused() -> None:
    with pytest.raises(ValidationError, match="source"):
        Torque(fastener=Fastener.FORK_CAP, words="30 N·m", source="")


def test_one_fastener_has_one_torque() -> None:
    torque = Torque(fastener=Fastener.FORK_CAP, words="30 N·m", source="book")
    with pytest.raises(ValidationError, match="two torques for fork_cap"):
        factories.machine_profile(torques=[torque, torque])
