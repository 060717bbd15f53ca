"""What a tape shows is taken in the reader's own habit, and nothing is guessed."""

import pytest

from fitplanner.quantities import Kind, QuantityError, UnitSystem
from fitplanner.ui.tape.typed import read_typed
from fitplanner.ui.widgets.limits import Limits

METRIC, INCH = UnitSystem.METRIC, UnitSystem.INCH
SEAT = Limits(Kind.LENGTH, 250.0, 1500.0)


@pytest.mark.parametrize(
    ("text", "system", "mark", "value"),
    [
        ("927", METRIC, ".", 927.0),
        ("92.7 cm", METRIC, ".", 927.0),
        ("92,7 cm", METRIC, ".", 927.0),
        ("92,7 cm", METRIC, ",", 927.0),
        ("92.7 cm", METRIC, ",", 927.0),
        ("36 1/2", INCH, ".", 927.1),
        ("36 1/2", METRIC, ".", 927.1),
        ("36½", METRIC, ".", 927.1),
        ('36 1/2"', METRIC, ".", 927.1),
        ("3 ft 1/2 in", METRIC, ".", 927.1),
        ("36.5", INCH, ".", 927.1),
    ],
)
def test_any_unit(text: str, system: UnitSystem, mark: str, value: float) -> None:
    assert read_typed(text, SEAT, system, decimal_mark=mark) == pytest.approx(value)


@pytest.mark.parametrize("text", ["", "abc", "1,200 cm", "92.7.1 cm", "92,7,1", "9 10/4", "90 kg"])
def test_what_may_mean_two_things_is_refused(text: str) -> None:
    with pytest.raises(QuantityError):
        read_typed(text, SEAT, METRIC, decimal_mark=".")


def test_a_number_in_the_wrong_unit_asks_which() -> None:
    with pytest.raises(QuantityError, match=r"36\.5 cm or 36\.5 in"):
        read_typed("36.5", SEAT, METRIC, decimal_mark=".")


def test_degrees_have_no_inches() -> None:
    lean = Limits(Kind.ANGLE, 0.0, 45.0)
    assert read_typed("11 1/2", lean, METRIC, decimal_mark=".") == 11.5
    assert read_typed("11,5°", lean, METRIC, decimal_mark=".") == 11.5
