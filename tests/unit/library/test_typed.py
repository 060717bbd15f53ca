"""The text that a figure was typed as is kept only while it tells the figure's value."""

import pytest

from fitplanner.documents.base import Figure, Source
from fitplanner.library.typed import reads_back, without_stale_text
from fitplanner.quantities import Kind
from tests import factories

MM_PER_IN = 25.4  # exactly, international inch of 1959


@pytest.mark.parametrize(
    ("value", "typed", "kind"),
    [
        (36.8 * MM_PER_IN, "36.8 in", Kind.LENGTH),
        (36.8 * MM_PER_IN, "36,8 in", Kind.LENGTH),
        (36.5 * MM_PER_IN, "36 1/2 in", Kind.LENGTH),
        (5 * 12 * MM_PER_IN, "5 ft", Kind.LENGTH),
        (935.0, "935 mm", Kind.LENGTH),
        (18 * MM_PER_IN / 2 + 80.0, "100/80-18", Kind.LENGTH),
        (100.0, "100/80-18", Kind.LENGTH),
        (0.48, "48 %", Kind.PERCENT),
        (1.02, "1.02", Kind.RATIO),
        (0.0, "0 mm", Kind.LENGTH),
        (914.0, "", Kind.LENGTH),
    ],
)
def test_a_text_that_tells_the_value_stays(value: float, typed: str, kind: Kind) -> None:
    assert reads_back(Figure(value=value, typed=typed), kind)


@pytest.mark.parametrize("typed", ["36.8 in", "935 mm", "36 in and a bit", "100/80-21", "914"])
def test_a_text_that_tells_another_value_does_not(typed: str) -> None:
    assert reads_back(Figure(value=914.0, typed=typed), Kind.LENGTH) is (typed == "914")


def test_only_stale_texts_leave_a_profile() -> None:
    seat = Figure(value=914.0, spread=3.0, source=Source.MAKER, typed="36.8 in", note="sheet")
    base = Figure(value=1455.0, spread=3.0, source=Source.MAKER, typed="1455 mm")
    profile = factories.machine_profile(catalogue={"seat_height_mm": seat, "wheelbase_mm": base})
    cleaned = without_stale_text(profile)
    assert cleaned.catalogue.seat_height_mm == seat.replace(typed="")
    assert cleaned.catalogue.wheelbase_mm == base
    assert without_stale_text(cleaned) is cleaned
