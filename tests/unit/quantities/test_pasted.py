"""Columns of figures as spreadsheets, text files and people give them."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fitplanner.quantities import Kind, QuantityError, UnitSystem
from fitplanner.quantities.pasted import MOST_ROWS, read_columns

LENGTHS = (Kind.LENGTH, Kind.LENGTH)


def read(text: str, system: UnitSystem = UnitSystem.METRIC, mark: str = ".") -> list[list[float]]:
    return [list(row) for row in read_columns(text, LENGTHS, system, decimal_mark=mark)]


@pytest.mark.parametrize(
    "text",
    [
        "0\t0\n25.5\t8.1\n50\t16.25",
        "0\t0\r\n25,5\t8,1\r\n50\t16,25\r\n",
        "0;0\n25,5;8,1\n50;16,25",
        "0;0;\n25.5;8.1;\n50;16.25;",
        "0,0\n25.5,8.1\n50,16.25",
        "0, 0\n25.5, 8.1\n50, 16.25",
        "0 0\n25.5 8.1\n50 16.25",
        "0 0\n25,5   8,1\n50   16,25",
        "Wheel travel\tShock travel\n0\t0\n25.5\t8.1\n50\t16.25",
        "Readings of Tuesday\n\nWheel;Shock\n0;0\n25,5;8,1\n50;16,25\n",
        "wheel (mm), shock (mm)\n0, 0\n25.5, 8.1\n50, 16.25",
        "0 mm\t0 mm\n25.5 mm\t8.1 mm\n50 mm\t16.25 mm",
        "0 mm 0 mm\n2.55 cm 8.1 mm\n50 mm 16.25 mm",
        '"0"\t"0"\n"25.5"\t"8.1"\n"50"\t"16.25"',
        "  0  0\n  25.5  8.1  \n\n  50  16.25  ",
    ],
)
def test_one_table_written_in_many_ways(text: str) -> None:
    assert read(text) == [[0.0, 0.0], [25.5, pytest.approx(8.1)], [50.0, 16.25]]


@pytest.mark.parametrize(
    ("text", "system", "expected"),
    [
        ("1\t0.3", UnitSystem.INCH, [[25.4, 7.62]]),
        ("1 1/2\t5/8", UnitSystem.INCH, [[38.1, 15.875]]),
        ("wheel, in\tshock, in\n1\t0.3", UnitSystem.METRIC, [[25.4, 7.62]]),
        ("Wheel travel in inches;Shock travel in inches\n1;0,3", UnitSystem.METRIC, [[25.4, 7.62]]),
        ("wheel travel in mm\tshock travel in mm\n25\t8", UnitSystem.INCH, [[25.0, 8.0]]),
        ("wheel (in)\tshock (mm)\n1\t8", UnitSystem.METRIC, [[25.4, 8.0]]),
        ("wheel\tshock (mm)\n25\t8", UnitSystem.INCH, [[25.0, 8.0]]),
        ("all in mm\n25\t8", UnitSystem.INCH, [[25.0, 8.0]]),
        ("25 mm\t0.3", UnitSystem.INCH, [[25.0, 7.62]]),
    ],
)
def test_units(text: str, system: UnitSystem, expected: list[list[float]]) -> None:
    assert read(text, system) == [[pytest.approx(each) for each in row] for row in expected]


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "No row of 2 figures"),
        ("Wheel\tShock", "No row of 2 figures"),
        ("0\t0\n12\t4\t7", "Row 2: 3 figures instead of 2"),
        ("0\t0\n12", "Row 2: 1 figure instead of 2"),
        ("0\t0\n\nbump\t4", "Row 3: 'bump' is not a number"),
        ("0;0\n12,5;x", "Row 2: 'x' is not a number"),
        ("12,5,4,1", "Row 1: 3 figures instead of 2"),
        ("1.234,5;3", "a comma and a point"),
        ("0\t0\n12 kg\t4", "Row 2: "),
        ("0 0\n12 4 total", "Row 2: "),
        ("\n".join(f"{row}\t{row}" for row in range(MOST_ROWS + 1)), "More than 200 rows"),
    ],
)
def test_what_is_refused_says_its_row(text: str, words: str) -> None:
    with pytest.raises(QuantityError) as refusal:
        read(text)
    assert words in str(refusal.value)


def test_forces_beside_lengths() -> None:
    rows = read_columns("150 mm;1000\n140 mm;2 kN", (Kind.LENGTH, Kind.FORCE), UnitSystem.METRIC)
    assert rows == [(150.0, 1000.0), (140.0, 2000.0)]


numbers = st.floats(0.0, 400.0).map(lambda value: round(value, 2))


@given(
    st.lists(st.tuples(numbers, numbers), min_size=1, max_size=20),
    st.sampled_from(["\t", ";", " ; ", "\t "]),
    st.sampled_from([".", ","]),
    st.sampled_from(["", "wheel\tshock\n", "Wheel travel (mm);Shock (mm)\n"]),
)
def test_what_a_spreadsheet_writes_is_read_back(
    rows: list[tuple[float, float]], separator: str, mark: str, heading: str
) -> None:
    lines = [separator.join(f"{each}".replace(".", mark) for each in row) for row in rows]
    if "\t" in heading and ";" in separator:
        heading = heading.replace("\t", ";")
    assert read(heading + "\n".join(lines)) == [list(row) for row in rows]


@given(st.text(max_size=60))
def test_whatever_is_pasted_is_read_or_refused(text: str) -> None:
    try:
        rows = read(text)
    except QuantityError:
        return
    assert all(len(row) == 2 for row in rows)
