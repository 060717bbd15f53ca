"""Preferences: every field has a default, and the window's place is text that a file can hold."""

import base64

import pytest
from pydantic import ValidationError

from fitplanner.documents import codec
from fitplanner.documents.customers import Customers
from fitplanner.documents.preferences import PREFERENCES, LastJob, Preferences, Rates, Theme
from fitplanner.quantities import UnitSystem


@pytest.mark.parametrize("version", range(1, PREFERENCES.version + 1))
def test_an_empty_file_of_any_version_gives_the_defaults(version: int) -> None:
    text = f'{{"format": "fitplanner-preferences", "schema_version": {version}}}'
    assert codec.load(PREFERENCES, text) == Preferences()


def test_what_was_set_before_the_machines_had_a_folder_stays() -> None:
    text = (
        '{"format": "fitplanner-preferences", "schema_version": 2, "theme": "dark", '
        '"shop_database": "jo@workshop-pc/jobs", "user_name": "Jo"}'
    )
    read = codec.load(PREFERENCES, text)
    assert (read.theme, read.shop_database, read.user_name) == (
        Theme.DARK,
        "jo@workshop-pc/jobs",
        "Jo",
    )
    assert (read.profiles_folder, read.show_invented) == ("", True)


def test_preferences_of_version_2_have_the_survey_s_customers() -> None:
    text = """{"format": "fitplanner-preferences", "schema_version": 2,
        "rates": {"hourly": 75.0}, "shop_database": "jo@workshop-pc/jobs"}"""
    loaded = codec.load(PREFERENCES, text)
    assert loaded.customers == Customers()
    assert (loaded.rates.hourly, loaded.shop_database) == (75.0, "jo@workshop-pc/jobs")


@pytest.mark.parametrize(
    "figures", [{"women_share": 1.2}, {"men_stature_mm": 175.5}, {"women_spread_mm": 0.0}]
)
def test_customers_that_nobody_has_are_refused(figures: dict[str, float]) -> None:
    with pytest.raises(ValidationError, match="lies outside"):
        Customers(**figures)


def test_what_was_set_reads_back() -> None:
    geometry = base64.b64encode(bytes(range(256))).decode("ascii")
    preferences = Preferences(
        unit_system=UnitSystem.INCH,
        theme=Theme.DARK,
        rates=Rates(hourly=82.5, currency="NOK"),
        customers=Customers(women_share=0.25, men_stature_mm=1790.0),
        shop_database="jo@workshop-pc/jobs",
        profiles_folder="/srv/shop/machines",
        show_invented=False,
        last_folder="/a b/ü",
        last_job=LastJob(file="/a b/ü/job.fit.json"),
        window_geometry=geometry,
    )
    assert codec.load(PREFERENCES, codec.dump(preferences)) == preferences


def test_a_geometry_that_is_not_base64_is_refused() -> None:
    with pytest.raises(ValidationError):
        Preferences(window_geometry="not base64!")


@pytest.mark.parametrize("currency", ["eur", "EURO", "€"])
def test_a_currency_is_a_code_of_three_capitals(currency: str) -> None:
    # ISO 4217: alphabetic codes of three letters.
    with pytest.raises(ValidationError):
        Rates(currency=currency)
