"""Tyre sizes read off the tyre's side."""

import pytest

from fitplanner.library.tyres import tyre_size


@pytest.mark.parametrize(
    ("text", "width", "radius"),
    [
        # Width, ratio and rim are the designation of ISO 5751; the radius is arithmetic on it:
        # half the rim's inches and the width times the ratio.
        ("90/90-21", 90.0, 21 * 12.7 + 81.0),
        ("90/90 - 21 54S", 90.0, 21 * 12.7 + 81.0),
        ("140/80 R 18", 140.0, 18 * 12.7 + 112.0),
        ("150/70R17", 150.0, 17 * 12.7 + 105.0),
        ("150/70b17", 150.0, 17 * 12.7 + 105.0),
        ("80/100-12 41M", 80.0, 12 * 12.7 + 80.0),
        # Common practice, no source: as high as wide.
        ("3.00-21", 76.2, 21 * 12.7 + 76.2),
        ("2,75 - 19 TT", 69.85, 19 * 12.7 + 69.85),
    ],
)
def test_a_size_gives_width_and_radius(text: str, width: float, radius: float) -> None:
    size = tyre_size(text)
    assert size is not None
    assert size.width_mm == pytest.approx(width)
    assert size.radius_mm == pytest.approx(radius)


@pytest.mark.parametrize(
    "text",
    [
        "",
        "345",
        "345 mm",
        "34 1/2 in",
        "13 5/8",
        "90/90",
        "9/90-21",
        "90/9-21",
        "90/90-99",
        "a/b-c",
    ],
)
def test_what_is_no_size_is_none(text: str) -> None:
    assert tyre_size(text) is None
