"""Lamps and plate: beam aim after a pitch change, heights against the rules' windows.

Owns the headlamp's aim and the height windows. Refuses to say which rule applies: that is the
local authority's word. Lengths in mm, angles in rad, nose-up positive; everything broadcasts.
"""

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]

MM_PER_INCH = 25.4


class HeightWindow(NamedTuple):
    """Lowest and highest lawful height over the ground [mm], and the rule that says so."""

    lowest_mm: float
    highest_mm: float
    source: str


# 22 to 54 in was read in Table I-a, which is for cars; that Table I-c has the same two figures for
# motorcycles stands from memory. S6.1.4 counts the height to the lamp's centre at curb weight.
HEADLAMP_US = HeightWindow(
    22 * MM_PER_INCH, 54 * MM_PER_INCH, "49 CFR 571.108, Table I-c (from memory)"
)
HEADLAMP_UN = HeightWindow(500.0, 1200.0, "UN R53, 6.2 (from memory)")
REAR_REFLECTOR_US = HeightWindow(
    15 * MM_PER_INCH, 60 * MM_PER_INCH, "49 CFR 571.108, Table I-c (from memory)"
)
REAR_REFLECTOR_UN = HeightWindow(250.0, 900.0, "UN R53, 6.8 (from memory)")
REAR_PLATE_EU = HeightWindow(200.0, 1500.0, "Directive 93/94/EEC, 4 and 5 (machine unladen)")


def height_margin_mm(height_mm: ArrayLike, window: HeightWindow) -> Floats:
    """Distance to the nearer end of a height window [mm]; negative outside it.

    The plate's lower limit is the wheel's radius where that is below 200 mm, which no full-size
    wheel's is.
    """
    height = np.asarray(height_mm, dtype=np.float64)
    return np.minimum(height - window.lowest_mm, window.highest_mm - height)


def inclination_change_percent(*, beam_rad: ArrayLike, pitch_change_rad: ArrayLike) -> Floats:
    """Change of the beam's inclination [%], 100 (tan(beta + theta) - tan(beta)).

    `beam_rad` is the beam's elevation before (a dipped beam points down: negative),
    `pitch_change_rad` the machine's nose-up pitch since then. In the units of an aiming screen:
    1 % is 100 mm at 10 m. Valid within a quarter turn of the level.
    """
    beam = np.asarray(beam_rad, dtype=np.float64)
    return np.asarray(100.0 * (np.tan(beam + np.asarray(pitch_change_rad)) - np.tan(beam)))


def spot_move_mm(
    *,
    distance_mm: ArrayLike,
    height_change_mm: ArrayLike,
    beam_rad: ArrayLike,
    pitch_change_rad: ArrayLike,
) -> Floats:
    """How far the spot on a wall moves up [mm] when pitch and lamp height change together.

    `distance_mm` is from lamp to wall, the same both times; `height_change_mm` is negative for a
    lowered lamp.
    """
    change = inclination_change_percent(beam_rad=beam_rad, pitch_change_rad=pitch_change_rad)
    return np.asarray(
        np.asarray(height_change_mm, np.float64) + np.asarray(distance_mm) * change / 100.0
    )
