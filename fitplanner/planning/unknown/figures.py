"""The figures of a job that are not known exactly, and those that are only assumed.

Owns which figures are sampled and how a standard normal point becomes a figure: its value and
spread, kept within what the documents hold for believable. Refuses to solve anything.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from fitplanner.documents.base import Figure, FigureSpec, Section, Source
from fitplanner.documents.machine import MachineProfile
from fitplanner.documents.rider import Rider
from fitplanner.mechanics.arrays import Array
from fitplanner.planning.context import Context
from fitplanner.planning.unknown.account import Address, Assumed
from fitplanner.planning.unsaid import SEAT_HEIGHT, seat_height
from fitplanner.quantities import Kind

INSIDE_LEG: Address = ("rider", "inside_leg_mm")
LEVERAGE: Address = ("rear", "leverage_factor")
ARC: Address = ("seat", "arc_mm")


@dataclass(frozen=True)
class Unsure:
    """One figure with a spread, canonical unit; `low` and `high` bound what is believable."""

    address: Address
    label: str
    kind: Kind
    value: float
    spread: float
    low: float
    high: float
    source: Source
    note: str

    def at(self, normal: Array) -> Array:
        """The figure at standard normal points."""
        return np.clip(self.value + self.spread * normal, self.low, self.high)


def figures_of(profile: MachineProfile) -> Iterator[tuple[str, FigureSpec, Figure]]:
    """Every figure of a profile with its section's name and its declaration.

    The seat height comes with what a state that nobody knows adds to its spread.
    """
    for section in type(profile).model_fields:
        part = getattr(profile, section)
        if isinstance(part, Section):
            for spec in part.specs():
                at_seat = (section, spec.key) == SEAT_HEIGHT
                figure = seat_height(profile) if at_seat else getattr(part, spec.key)
                if isinstance(figure, Figure):
                    yield section, spec, figure


def unsure_figures(ctx: Context) -> tuple[Unsure, ...]:
    """Every figure of machine and rider that has a spread."""
    rows = [
        Unsure(
            (section, spec.key),
            spec.label,
            spec.kind,
            figure.value,
            figure.spread,
            spec.low,
            spec.high,
            figure.source,
            figure.note,
        )
        for section, spec, figure in figures_of(ctx.profile)
        if figure.spread > 0
    ]
    leg = ctx.rider
    if leg.inside_leg_sd_mm > 0:
        spec = next(spec for spec in Rider.specs() if spec.key == INSIDE_LEG[1])
        rows.append(
            Unsure(
                INSIDE_LEG,
                spec.label,
                spec.kind,
                leg.inside_leg_mm,
                leg.inside_leg_sd_mm,
                spec.low,
                spec.high,
                Source.ESTIMATED if leg.inside_leg_estimated else Source.MEASURED,
                "from the stature" if leg.inside_leg_estimated else "",
            )
        )
    return tuple(rows)


def sampled(
    figures: Sequence[Unsure], normal: Array, profile: MachineProfile
) -> dict[Address, Array]:
    """Each figure in lanes, from standard normal points (lanes, figures)."""
    lanes = {each.address: each.at(normal[:, row]) for row, each in enumerate(figures)}
    arc = profile.seat.arc_mm
    if arc is not None and (ARC in lanes or SEAT_HEIGHT in lanes):
        # An arc is the way over the seat: never shorter than up to it and down again.
        seat = lanes.get(SEAT_HEIGHT, np.array(profile.catalogue.seat_height_mm.value))
        lanes[ARC] = np.maximum(lanes.get(ARC, np.array(arc.value)), 2.0 * seat)
    return lanes


def assumed_figures(profile: MachineProfile) -> tuple[Assumed, ...]:
    """The figures of a profile that are assumed, with the rule that gave each."""
    return tuple(
        Assumed(
            (section, spec.key), spec.label, spec.kind, figure.value, figure.spread, figure.note
        )
        for section, spec, figure in figures_of(profile)
        if figure.source is Source.ASSUMED
    )
