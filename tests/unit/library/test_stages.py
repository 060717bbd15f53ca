"""The stages of a profile: every figure once, its line, and its caution."""

from fitplanner.documents.base import Figure, Source
from fitplanner.documents.machine import EngineShape, MachineKind
from fitplanner.library.acts import ACTS
from fitplanner.library.rules import load_rules
from fitplanner.library.rules.document import SPECS
from fitplanner.library.stages import (
    CATALOGUE,
    REQUIRED,
    STAGES,
    caution,
    how,
    missing_required,
    stage_of,
)
from fitplanner.quantities import UnitSystem, fill


def test_every_figure_stands_in_exactly_one_stage() -> None:
    placed = [address for stage in STAGES for address in stage.figures]
    assert len(placed) == len(set(placed))
    assert set(placed) == set(SPECS)
    for address in placed:
        assert address in stage_of(address).figures


def test_every_figure_has_a_line_on_how_it_is_taken() -> None:
    assert set(ACTS) == set(SPECS)
    for address in SPECS:
        line = how(address)
        assert line and not line.endswith(".")
        assert "{" not in fill(line, UnitSystem.INCH)


def test_steps_that_can_hurt_carry_their_caution() -> None:
    for address, word in (
        (("rear", "spring_free_mm"), "compressed"),
        (("fork", "spring_free_mm"), "compressed fork spring"),
        (("rear", "leverage_factor"), "compressor"),
        (("masses", "mass_height_mm"), "Lift"),
        (("rear", "bump_gap_mm"), "compressed"),
        (("fork", "bump_gap_mm"), "compressed"),
    ):
        assert word in caution(address)
    assert all(caution(address) == "" for address in CATALOGUE.figures)
    assert "never" in how(("rear", "gas_pressure_kpa"))
    assert caution(("seat", "width_mm")) == ""


def test_required_figures_are_on_the_catalogue_page_and_are_missed() -> None:
    assert set(REQUIRED) <= set(CATALOGUE.figures)
    profile = load_rules().new_profile(
        id="new", name="New", kind=MachineKind.ENDURO, engine=EngineShape.SINGLE
    )
    assert missing_required(profile) == tuple(SPECS[each].label for each in REQUIRED)
    known = profile.catalogue.replace(seat_height_mm=Figure(value=940.0, source=Source.MAKER))
    assert "Seat height" not in missing_required(profile.replace(catalogue=known))
