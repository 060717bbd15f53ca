"""Two programs share one file of preferences: each writes only what its user changed."""

from fitplanner.documents.preferences import Rates, Theme
from fitplanner.store.preferences import load_preferences
from fitplanner.ui.settings import Settings


def test_a_second_program_does_not_take_back_what_the_first_one_set() -> None:
    first, second = Settings(), Settings()
    first.change(rates=Rates(hourly=90.0, currency="EUR"))
    second.change(theme=Theme.DARK)
    kept, message = load_preferences()
    assert (kept.rates.hourly, kept.theme, message) == (90.0, Theme.DARK, "")
