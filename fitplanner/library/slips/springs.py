"""What is usual between the figures of fork, shock, springs and oil.

Ranges are for a full-size machine and for a child's; common practice, no source.
"""

from collections.abc import Callable
from math import pi

from fitplanner.library.slips.relation import Relation, ratio
from fitplanner.library.slips.sign import Plain
from fitplanner.quantities import Kind


def _section_mm2(v: Plain) -> float:
    return float(pi / 4 * v["fork.stanchion_diameter_mm"] ** 2)


def _squeeze(v: Plain) -> float:
    stroke_ml = v["fork.displaced_area_mm2"] * v["fork.travel_mm"] * 1e-3
    return float(1 + stroke_ml / v["fork.air_volume_bottomed_ml"])


def _spring_ml(v: Plain) -> float:
    """Volume that the spring takes of the air: room over the oil with it out, less air with it."""
    room = v["fork.oil_level_mm"] * v["fork.oil_surface_mm2"] * 1e-3
    return float(room - v["fork.air_volume_bottomed_ml"])


def _preload(end: str) -> Callable[[Plain], float]:
    def share(v: Plain) -> float:
        low, high = v[f"{end}.preload_min_mm"], v[f"{end}.preload_max_mm"]
        return 9.0 if high <= low else float((v[f"{end}.preload_mm"] - low) / (high - low))

    return share


def _preload_words(end: str, unit: str) -> Relation:
    return Relation(
        f"{end} preload accepted",
        (f"{end}.preload_mm", f"{end}.preload_min_mm", f"{end}.preload_max_mm"),
        _preload(end),
        (-0.03, 1.03),
        (-0.03, 1.03),
        f"Preload {{0}} lies outside what the {unit} accepts, {{1}} to {{2}}.",
        "Preload is the spring's shortening at full extension, not its set length.",
        linear=True,
    )


SPRINGS: tuple[Relation, ...] = (
    Relation(
        "fork spring over travel",
        ("fork.spring_free_mm", "fork.travel_mm"),
        ratio("fork.spring_free_mm", "fork.travel_mm"),
        (1.2, 2.9),
        (1.2, 2.9),
        "A fork spring of {0} for {1} of travel is unusual.",
        "Check free length and travel.",
    ),
    Relation(
        "fork spring solid",
        ("fork.spring_solid_mm", "fork.spring_free_mm"),
        ratio("fork.spring_solid_mm", "fork.spring_free_mm"),
        (0.12, 0.6),
        (0.12, 0.6),
        "A fork spring of {1} that is solid at {0} is unusual.",
        "Solid length is turns times wire; both lengths are of one spring.",
    ),
    Relation(
        "shock spring solid",
        ("rear.spring_solid_mm", "rear.spring_free_mm"),
        ratio("rear.spring_solid_mm", "rear.spring_free_mm"),
        (0.22, 0.68),
        (0.22, 0.68),
        "A shock spring of {1} that is solid at {0} is unusual.",
        "Solid length is turns times wire; both lengths are of one spring.",
    ),
    _preload_words("fork", "fork"),
    _preload_words("rear", "shock"),
    Relation(
        "area over tube",
        ("fork.displaced_area_mm2", "fork.stanchion_diameter_mm"),
        lambda v: float(v["fork.displaced_area_mm2"] / _section_mm2(v)),
        (0.52, 1.1),
        (0.52, 1.1),
        "The area that displaces air, {0}, is {value} of a tube of {1}; {low} to {high} is common.",
        "The area is of one leg, at most the section of the sliding tube.",
    ),
    Relation(
        "oil surface over tube",
        ("fork.oil_surface_mm2", "fork.stanchion_diameter_mm"),
        lambda v: float(v["fork.oil_surface_mm2"] / _section_mm2(v)),
        (0.5, 1.4),
        (0.5, 1.4),
        "The free oil surface, {0}, is {value} of a tube of {1}; {low} to {high} is common.",
        "The surface is of one leg, spring out.",
    ),
    Relation(
        "air squeezed",
        ("fork.air_volume_bottomed_ml", "fork.displaced_area_mm2", "fork.travel_mm"),
        _squeeze,
        (2.5, 12.0),
        (2.5, 12.0),
        "The air in a fork leg is squeezed {value} times; 3 to 9 is common.",
        "Air and displaced area are of one leg; air is what is left bottomed, spring in.",
    ),
    Relation(
        "room over the oil",
        ("fork.oil_level_mm", "fork.oil_surface_mm2", "fork.air_volume_bottomed_ml"),
        _spring_ml,
        (0.0, 95.0),
        (0.0, 65.0),
        "Over the oil at {0} there is {value} more room with the spring out than the {2} of air "
        "with it in; {low} to {high} is common.",
        "Check the oil level, the free oil surface and the air left when bottomed.",
        Kind.VOLUME,
        linear=True,
    ),
    Relation(
        "oil for its stroke",
        ("fork.oil_volume_ml", "fork.displaced_area_mm2", "fork.travel_mm"),
        lambda v: float(
            v["fork.oil_volume_ml"] * 1e3 / v["fork.displaced_area_mm2"] / v["fork.travel_mm"]
        ),
        (0.55, 2.9),
        (0.55, 2.9),
        "Fork oil of {0} is {value} of what the stroke displaces; {low} to {high} is common.",
        "The volume is of one leg.",
    ),
    Relation(
        "kit oil",
        ("fork.kit_oil_volume_ml", "fork.oil_volume_ml"),
        ratio("fork.kit_oil_volume_ml", "fork.oil_volume_ml"),
        (0.7, 1.2),
        (0.7, 1.2),
        "With the limiter the fork takes {0}, without it {1}.",
        "Both volumes are of one leg.",
    ),
)
