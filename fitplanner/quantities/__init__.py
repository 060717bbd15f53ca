"""Kinds of quantity, their display units, and the strict reading of typed text."""

from fitplanner.quantities.chances import likelihood, of_100
from fitplanner.quantities.formatting import (
    format_for_entry,
    format_hours,
    format_inches_fraction,
    format_on_tape,
    format_quantity,
    shown_difference,
    shown_rest,
)
from fitplanner.quantities.parsing import QuantityError, parse_quantity, units_that_fit
from fitplanner.quantities.sentences import (
    figure_in_text,
    fill,
    mm_in_text,
    moved_in_text,
    rest_in_text,
    split_figures,
)
from fitplanner.quantities.units import (
    DisplayUnit,
    Kind,
    UnitSystem,
    display_unit,
    from_display,
    to_display,
    unit_label,
)

__all__ = [
    "DisplayUnit",
    "Kind",
    "QuantityError",
    "UnitSystem",
    "display_unit",
    "figure_in_text",
    "fill",
    "format_for_entry",
    "format_hours",
    "format_inches_fraction",
    "format_on_tape",
    "format_quantity",
    "from_display",
    "likelihood",
    "mm_in_text",
    "moved_in_text",
    "of_100",
    "parse_quantity",
    "rest_in_text",
    "shown_difference",
    "shown_rest",
    "split_figures",
    "to_display",
    "unit_label",
    "units_that_fit",
]
