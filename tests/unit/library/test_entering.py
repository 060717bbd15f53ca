"""How far a figure that was just typed may be off."""

import pytest

from fitplanner.documents.base import Source
from fitplanner.library.acts import ACTS
from fitplanner.library.entering import usual_spread
from fitplanner.library.rules.document import SPECS


@pytest.mark.parametrize("address", SPECS)
def test_every_figure_has_a_spread_that_grows_from_reading_to_guessing(
    address: tuple[str, str],
) -> None:
    spec = SPECS[address]
    value = (spec.low + spec.high) / 2
    sheet, guess = (
        usual_spread(address, spec, source, value) for source in (Source.MAKER, Source.ESTIMATED)
    )
    assert 0 < sheet < guess
    assert guess < 0.25 * (spec.high - spec.low)


@pytest.mark.parametrize("address", SPECS)
def test_a_measured_figure_is_as_good_as_a_careful_reading(address: tuple[str, str]) -> None:
    spread = usual_spread(address, SPECS[address], Source.MEASURED, 100.0)
    assert spread == ACTS[address].careful


def test_the_spread_of_a_sheet_is_held_between_two_ends() -> None:
    seat = "catalogue", "seat_height_mm"
    at = [
        usual_spread(seat, SPECS[seat], Source.MAKER, value) for value in (0.0, 10.0, 100.0, 900.0)
    ]
    assert at == [0.5, 0.5, 2.0, 3.0]
