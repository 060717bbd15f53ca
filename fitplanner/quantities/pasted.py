"""Owns the reading of pasted columns of figures, as spreadsheets and text files give them.

Takes tabs, semicolons, commas or spaces between the columns, either decimal mark, headings above
the figures, and a unit behind a figure or in a heading. Refuses what could be read in two ways;
the message has the row.
"""

import re
from collections.abc import Sequence

from fitplanner.quantities.parsing import QuantityError, parse_quantity
from fitplanner.quantities.units import Kind, UnitSystem

MOST_ROWS = 200
_NUMBER = r"[-+−]?\s?[0-9]*[.,]?[0-9]+"
_FIGURE = re.compile(rf"\s*({_NUMBER})\s*([^\W\d_]*|\")\s*")
_STARTS_WITH_FIGURE = re.compile(rf"\s*[\"']?{_NUMBER}")
_UNIT_AT_END = re.compile(r"(?:^|[\s,(\[/])(mm|cm|in|inch|inches|n|lbf|kg|lb|kgf|\")\W*$", re.I)


def read_columns(
    text: str, kinds: Sequence[Kind], system: UnitSystem, *, decimal_mark: str = "."
) -> list[tuple[float, ...]]:
    """Canonical values of pasted rows, one for each of `kinds`.

    A figure without a unit has that of its heading, else the one that `system` shows.

    Raises:
        QuantityError: a row is not so many figures; the message names row and mend.
    """
    lines = [(number, line) for number, line in enumerate(text.splitlines(), 1) if line.strip()]
    separator = _separator([line for _, line in lines])
    rows: list[tuple[float, ...]] = []
    units = [""] * len(kinds)
    for number, line in lines:
        cells = _cells(line, separator)
        if not rows and not (cells and _STARTS_WITH_FIGURE.match(cells[0])):
            units = _heading_units(cells, units)
            continue
        try:
            rows.append(_row(cells, kinds, units, system, decimal_mark))
        except QuantityError as refusal:
            raise QuantityError(f"Row {number}: {refusal}") from refusal
        if len(rows) > MOST_ROWS:
            raise QuantityError(f"More than {MOST_ROWS} rows: paste fewer")
    if not rows:
        raise QuantityError(
            f"No row of {len(kinds)} figures was found: copy the columns of figures and paste again"
        )
    return rows


def _separator(lines: list[str]) -> str:
    """What parts the columns: a tab, else a semicolon, else commas, else spaces."""
    for mark in ("\t", ";"):
        if any(mark in line for line in lines):
            return mark
    figures = [line for line in lines if _STARTS_WITH_FIGURE.match(line)]
    # A comma between two figures that are written with points, or with a space behind it.
    if figures and all(
        re.search(r",\s", line) or (line.count(",") == 1 and not re.search(r"\d\s+\S*\d", line))
        for line in figures
    ):
        return ","
    return " "


def _cells(line: str, separator: str) -> list[str]:
    if separator == " ":
        found, at = [], 0
        while (figure := _FIGURE.match(line, at)) and figure.end() > at:
            found.append(figure.group().strip())
            at = figure.end()
        rest = line[at:].strip()
        return [*found, rest] if rest else found
    if separator == ",":
        parts = re.split(r",\s+|\s+,", line)
        return [each.strip() for each in (parts if len(parts) > 1 else line.split(","))]
    cells = [each.strip().strip('"').strip() for each in line.split(separator)]
    while cells and not cells[-1]:
        cells.pop()
    return cells


def _heading_units(cells: list[str], units: list[str]) -> list[str]:
    found = [match[1] if (match := _UNIT_AT_END.search(cell)) else "" for cell in cells]
    named = [each for each in found if each]
    if len(found) == len(units) and named:
        return [each or (named[0] if len(named) == 1 else "") for each in found]
    return [named[-1]] * len(units) if len(set(named)) == 1 else units


def _row(
    cells: list[str], kinds: Sequence[Kind], units: list[str], system: UnitSystem, mark: str
) -> tuple[float, ...]:
    if len(cells) != len(kinds):
        count = f"{len(cells)} figures" if len(cells) != 1 else "1 figure"
        raise QuantityError(
            f"{count} instead of {len(kinds)}; leave only the columns that are asked for, "
            "with a tab or a semicolon between them"
        )
    return tuple(
        _value(cell, kind, unit, system, mark)
        for cell, kind, unit in zip(cells, kinds, units, strict=True)
    )


def _value(cell: str, kind: Kind, unit: str, system: UnitSystem, mark: str) -> float:
    if "," in cell and "." in cell:
        raise QuantityError(f"'{cell}' has a comma and a point; write one decimal mark")
    # A figure has one mark only, so that either can be nothing but the decimal mark.
    mark = "," if "," in cell else "." if "." in cell else mark
    bare = not re.search(r"[^\W\d_]|\"|'", cell)
    text = f"{cell} {unit}" if unit and bare else cell
    return parse_quantity(text, kind, system, decimal_mark=mark)
