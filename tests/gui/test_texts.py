"""Words shared by headline, cards and comparison."""

import pytest

from fitplanner.ui.texts import chance_words


@pytest.mark.parametrize(
    ("chance", "words"),
    [
        (0.0, "very unlikely (0 of 100)"),
        (1e-9, "very unlikely (1 of 100)"),
        (0.12, "unlikely (12 of 100)"),
        (0.53, "as likely as not (53 of 100)"),
        (0.56, "more likely than not (56 of 100)"),
        (0.45, "as likely as not (45 of 100)"),
        (0.44, "less likely than not (44 of 100)"),
        (0.34, "less likely than not (34 of 100)"),
        (0.87, "likely (87 of 100)"),
        (0.9, "very likely (90 of 100)"),
        (0.9999, "very likely (99 of 100)"),
        (1.0, "very likely (100 of 100)"),
    ],
)
def test_a_chance_is_said_in_one_set_of_words(chance: float, words: str) -> None:
    assert chance_words(chance) == words
