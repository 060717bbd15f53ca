"""The rider as the body room sees him: lengths, foot, inside leg with its band, boot.

Owns the step from what was asked at the counter to figures that reach and posture need. Refuses
a rider of whom neither stature nor inside leg is known, or no mass.
"""

from dataclasses import dataclass
from math import radians
from typing import Protocol

from fitplanner.body.foot import foot_from_stature
from fitplanner.body.inside_leg import estimate_inside_leg
from fitplanner.body.segments import Lengths, segment_lengths
from fitplanner.body.survey import CROTCH_HEIGHT
from fitplanner.documents.rider import Boot, Rider
from fitplanner.mechanics.arrays import Number
from fitplanner.planning.memory import remembered

BOOT_ANGLE_DEG = {Boot.STIFF: 20.0, Boot.WALKING: 30.0}
"""How far a boot lets the heel rise: assumptions."""

NORMAL_90 = 1.644854
"""Two-sided 90 % point of the normal distribution."""


class IncompleteError(ValueError):
    """What is still to be entered before anything can be planned."""

    def __init__(self, missing: tuple[str, ...]) -> None:
        """Name the missing entries as the form does."""
        super().__init__(f"still to be entered: {', '.join(missing)}")
        self.missing = missing


class Seated(Protocol):
    """Who sits on a machine, as its springs and the ground meet him; floats or lanes of people."""

    @property
    def document(self) -> Rider:
        """Wishes, gear and boots."""

    @property
    def inside_leg_mm(self) -> Number:
        """Floor to crotch, barefoot."""

    @property
    def mass_kg(self) -> Number:
        """Without gear."""

    @property
    def total_kg(self) -> Number:
        """With gear."""

    @property
    def lengths(self) -> Lengths:
        """Segments and foot."""

    @property
    def boot_angle_rad(self) -> float:
        """How far the boot lets the heel rise."""


@dataclass(frozen=True)
class Fitted:
    """A rider ready for planning; lengths in mm.

    `inside_leg_sd_mm` is one standard deviation of the inside leg, measured or estimated;
    `stature_estimated` says that the stature was worked back from the inside leg.
    """

    document: Rider
    stature_mm: float
    stature_estimated: bool
    inside_leg_mm: float
    inside_leg_sd_mm: float
    inside_leg_estimated: bool
    mass_kg: float
    lengths: Lengths
    boot_angle_rad: float

    @property
    def total_kg(self) -> float:
        """Rider with gear."""
        return self.mass_kg + self.document.gear_mass_kg


@remembered(16)
def fitted(rider: Rider) -> Fitted:
    """Fill in what was not asked, and say so.

    Raises:
        IncompleteError: stature and inside leg, or the mass, are missing.
    """
    missing = []
    if rider.stature_mm is None and rider.inside_leg_mm is None:
        missing.append("inside leg or stature")
    if rider.mass_kg is None:
        missing.append("body mass")
    if missing or rider.mass_kg is None:
        raise IncompleteError(tuple(missing))
    stature, leg = rider.stature_mm, rider.inside_leg_mm
    spread = rider.inside_leg_spread_mm
    if stature is None:
        assert leg is not None
        line = CROTCH_HEIGHT[rider.population]
        stature = (leg - float(line.at(0.0))) / float(line.at(1.0) - line.at(0.0))
    if leg is None:
        estimate = estimate_inside_leg(stature, rider.population)
        leg, spread = float(estimate.value_mm), float(estimate.standard_error_mm)
    foot = foot_from_stature(stature, rider.population)
    share = leg / stature
    lengths = segment_lengths(
        stature,
        rider.population,
        inside_leg_mm=leg if 0.36 < share < 0.60 else None,
        foot=foot,
    )
    return Fitted(
        document=rider,
        stature_mm=stature,
        stature_estimated=rider.stature_mm is None,
        inside_leg_mm=leg,
        inside_leg_sd_mm=spread,
        inside_leg_estimated=rider.inside_leg_mm is None,
        mass_kg=rider.mass_kg,
        lengths=lengths,
        boot_angle_rad=radians(BOOT_ANGLE_DEG[rider.boot]),
    )
