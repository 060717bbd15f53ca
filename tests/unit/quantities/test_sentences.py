"""Figures in sentences: their sign and decimals, and what is left as it is."""

import re

import pytest

from fitplanner.quantities import (
    Kind,
    UnitSystem,
    figure_in_text,
    fill,
    mm_in_text,
    rest_in_text,
    split_figures,
)


@pytest.mark.parametrize(
    ("text", "metric", "inch"),
    [
        ("{length|19.6}", "20 mm", "0.77 in"),
        ("{length|19.6|.1}", "19.6 mm", "0.772 in"),
        ("{length|19.6|+|.1}", "+19.6 mm", "+0.772 in"),
        *[
            (text, text, text)
            for text in ("{length|19.6|.x}", "{of|1}", "{length|1.2.3}", "{length|.}", "{} {0}")
        ],
        ("{length|1e999}", "\N{EN DASH}", "\N{EN DASH}"),
    ],
)
def test_a_figure_is_filled_in_as_finely_as_it_asks_for(text: str, metric: str, inch: str) -> None:
    assert fill(text, UnitSystem.METRIC) == metric
    assert fill(text, UnitSystem.INCH) == inch


def test_the_notation_is_what_is_filled_in() -> None:
    for decimals, shown in ((None, "10.0"), (0, "10"), (2, "10.04")):
        text = figure_in_text(10.04, Kind.ANGLE, decimals=decimals)
        assert fill(text, UnitSystem.METRIC) == f"{shown}\N{DEGREE SIGN}"


def test_words_and_figures_are_told_apart_and_what_is_no_figure_is_a_word() -> None:
    text = "Set to {length|10.44|.1}; play {angle|2|+}, {of|1} {length|1.2.3}"
    assert split_figures(text) == (
        "Set to {}; play {}, {of|1} {length|1.2.3}",
        [(Kind.LENGTH, 10.44), (Kind.ANGLE, 2.0)],
    )


@pytest.mark.parametrize("system", UnitSystem)
def test_a_rest_is_what_is_left_of_figures_as_they_are_shown(system: UnitSystem) -> None:
    """50.6 − 2.4 − 2.4 is 45.8; beside 51, 2 and 2 it has to be 47."""
    told = fill(f"{mm_in_text(50.6)} {mm_in_text(2.4)} {rest_in_text(50.6, 2.4, 2.4)}", system)
    whole, part, rest = (float(each) for each in re.findall(r"\d+\.?\d*", told))
    assert whole - 2 * part == pytest.approx(rest, abs=1e-9)
    assert split_figures(rest_in_text(50.6, 2.4, 2.4)) == (
        "{}",
        [(Kind.LENGTH, pytest.approx(45.8))],
    )
