"""Fork oil: level and volume, the fill for a shortened stroke.

Owns one leg's oil; the air's force is `units.Fork`'s. Refuses damping, foam and the choice of
oil; where a kit maker gives an oil figure, that figure wins and this one is shown beside it.
Oil level is the trade's: the distance from the tube's rim down to the oil, bottomed, spring out,
so a larger level is less oil. All functions take floats or arrays that broadcast.
"""

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]

MM3_PER_ML = 1000.0


def oil_change_for_level_ml(*, level_change_mm: ArrayLike, surface_area_mm2: ArrayLike) -> Floats:
    """Oil to add [mL] for a change of level [mm]; a larger level (oil further down) is negative.

    `surface_area_mm2` is the free oil surface, not the area that the stroke displaces.
    """
    area = _surface(surface_area_mm2)
    return -area * np.asarray(level_change_mm, dtype=np.float64) / MM3_PER_ML


def level_change_for_oil_mm(*, oil_change_ml: ArrayLike, surface_area_mm2: ArrayLike) -> Floats:
    """Change of level [mm] when oil is added [mL]: the inverse of `oil_change_for_level_ml`."""
    area = _surface(surface_area_mm2)
    return -np.asarray(oil_change_ml, dtype=np.float64) * MM3_PER_ML / area


class OilFill(NamedTuple):
    """The fill for a shortened leg."""

    oil_ml: Floats
    oil_change_ml: Floats
    level_change_mm: Floats
    bottomed_air_ml: Floats


def fill_for_shortened_stroke(
    *,
    oil_ml: ArrayLike,
    bottomed_air_ml: ArrayLike,
    travel_mm: ArrayLike,
    cut_mm: ArrayLike,
    surface_area_mm2: ArrayLike,
    limiter_ml: ArrayLike = 0.0,
    spring_change_ml: ArrayLike = 0.0,
) -> OilFill:
    """Oil that keeps the compression ratio when a limiter shortens the stroke.

    The air to keep is V_bottomed (T - cut) / T; oil takes up the rest, less what the new parts
    displace. `limiter_ml` is the volume of parts that stay in while the level is measured (the
    limiter on the damper rod, taken as wholly under the oil when bottomed); `spring_change_ml`
    is new minus old spring and spacer, which are out while the level is measured. `oil_ml` and
    `bottomed_air_ml` are the stock fill with the spring in. The level change is measured less
    stock, positive for oil further down.

    Raises ValueError where the cut is negative or takes the whole stroke, or air is not above
    zero. Validity: equal ratio, not equal damping; a kit maker's figure wins.
    Source: volume balance of the bottomed leg.
    """
    air, travel = np.asarray(bottomed_air_ml, np.float64), np.asarray(travel_mm, np.float64)
    cut, limiter = np.asarray(cut_mm, np.float64), np.asarray(limiter_ml, np.float64)
    if not np.all((cut >= 0.0) & (cut < travel)):
        raise ValueError("The cut must leave some stroke and cannot be negative.")
    if not np.all(air > 0.0):
        raise ValueError("The air volume bottomed must be above zero.")
    kept_air = air * (travel - cut) / travel
    change = air - kept_air - limiter - np.asarray(spring_change_ml, np.float64)
    return OilFill(
        oil_ml=np.asarray(oil_ml, np.float64) + change,
        oil_change_ml=change,
        level_change_mm=level_change_for_oil_mm(
            oil_change_ml=change + limiter, surface_area_mm2=surface_area_mm2
        ),
        bottomed_air_ml=kept_air,
    )


def _surface(surface_area_mm2: ArrayLike) -> Floats:
    area = np.asarray(surface_area_mm2, dtype=np.float64)
    if not np.all(area > 0.0):
        raise ValueError("The free oil surface must be above zero.")
    return area
