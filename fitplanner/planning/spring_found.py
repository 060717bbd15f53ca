"""A spring's rate from the spring in the hand: what follows, how well it is known, what to better.

Owns the judgement of the readings and its words. Refuses text; the rate is
`mechanics.spring_readings`.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from fitplanner.documents.base import Figure, Source
from fitplanner.mechanics.machine import weight_n
from fitplanner.mechanics.spring_readings import (
    SPRING_INDEX,
    Across,
    Pressed,
    RateRead,
    Read,
    rate_from_dimensions,
    rate_from_press,
)
from fitplanner.mechanics.springs import EndType, WireMaterial
from fitplanner.planning.leverage_found import ReadingsError
from fitplanner.quantities import Kind
from fitplanner.quantities.sentences import figure_in_text, mm_in_text

_WORKING = (0.2, 0.8)
"""Share of the way from free to solid on which a rate is read: habit of spring makers, for the
end coils settle below it and coils begin to touch above."""
_BENT = 0.02
_SURE = 3.0
_TELLING = 0.4
_FAR = 1.5
"""How many times the profile's rate a spring has that is offered for the machine: assumption."""
OLD_SPRING = "of the spring before"
_OLD_SPREAD = 0.04
"""How far springs for one place differ in their lengths, as a share: assumption."""

_BETTER = {
    "wire": "the wire: read it with a micrometer at three places, on bare steel",
    "diameter": "the coil's diameter: read it at three coils, two ways each, and take the mean",
    "coils": "the count of coils: mark one tip and count to an eighth of a turn",
    "modulus": "the steel itself, which no calliper betters: press the spring instead",
    "length": "the lengths: press further, so that they lie further apart",
    "force": "the single forces: take more readings, and let the spring settle before each",
    "scale": "the scale: hold it against a known weight",
}


@dataclass(frozen=True)
class SpringFound:
    """What a spring in the hand says.

    Attributes:
        rate_n_mm, free_mm, solid_mm: with their spreads; None where it says nothing.
        shares: of the rate's variance, by what was read.
        remarks: sentences, with figures as tokens; `cautious` where one of them is a caution.
        off_n, misfits: force read less that of the line, and the rows that may be wrong.
    """

    rate_n_mm: Read
    free_mm: Read | None
    solid_mm: Read | None
    shares: Mapping[str, float]
    remarks: tuple[str, ...]
    cautious: bool = False
    off_n: tuple[float, ...] = ()
    misfits: tuple[int, ...] = ()

    def figures(self, origin: str, present: Mapping[str, Figure]) -> dict[str, Figure]:
        """The profile's figures that follow, by their field; measured, as `origin` says.

        A length that was not read stays as it is in `present`, but as an estimate: what was
        measured there, or given by the maker, was the spring before.
        """
        found = self._read()
        taken = {
            key: Figure(
                value=round(read.value, 3),
                spread=round(read.spread, 3),
                source=Source.MEASURED,
                origin=origin[:200],
            )
            for key, read in found.items()
            if read is not None
        }
        return taken | {key: _of_the_old(present[key]) for key in self.kept(present)}

    def kept(self, present: Mapping[str, Figure]) -> tuple[str, ...]:
        """The lengths that were not read, by their field, of which the profile is sure."""
        sure = (Source.MEASURED, Source.MAKER)
        return tuple(
            key
            for key, read in self._read().items()
            if read is None and present[key].source in sure
        )

    def _read(self) -> dict[str, Read | None]:
        return {
            "spring_rate_n_mm": self.rate_n_mm,
            "spring_free_mm": self.free_mm,
            "spring_solid_mm": self.solid_mm,
        }


def far_off(rate_n_mm: float, present_n_mm: float) -> str:
    """A caution where a rate is far from that of the profile, with figures as tokens; else ""."""
    times = rate_n_mm / present_n_mm
    if 1.0 / _FAR <= times <= _FAR:
        return ""
    share = figure_in_text(times, Kind.PERCENT, decimals=0)
    said = f"{times:.1f} times" if times > 1.0 else f"only {share} of"
    return (
        f"That is {said} the {figure_in_text(present_n_mm, Kind.SPRING_RATE)} in the profile: "
        "check the units, what was read, and whether it is this end's spring, before it is used."
    )


def _of_the_old(figure: Figure) -> Figure:
    return figure.replace(
        source=Source.ESTIMATED,
        origin=OLD_SPRING,
        spread=max(figure.spread, round(_OLD_SPREAD * figure.value, 1)),
    )


def by_dimensions(
    *,
    wire_mm: Read,
    diameter_mm: Read,
    across: Across,
    coils: Read,
    counted_all: bool,
    ends: EndType,
    material: WireMaterial | None,
    free_mm: Read | None = None,
) -> SpringFound:
    """What a calliper says.

    Raises:
        ReadingsError: no spring has these dimensions.
    """
    try:
        found = rate_from_dimensions(
            wire_mm=wire_mm,
            diameter_mm=diameter_mm,
            across=across,
            coils=coils,
            counted_all=counted_all,
            ends=ends,
            material=material,
        )
    except ValueError as error:
        raise ReadingsError(
            "No spring has these dimensions: check the wire, where the diameter was read, and the "
            "count of coils with their ends."
        ) from error
    if free_mm is not None and free_mm.value <= found.solid_mm:
        raise ReadingsError(
            f"Free, the spring would be {mm_in_text(free_mm.value)} long and with all coils "
            f"touching {mm_in_text(found.solid_mm)}: check the free length, wire and coils."
        )
    said, low, high = [_better(found)], *SPRING_INDEX
    odd = not low <= found.index <= high
    if odd:
        said.append(
            f"The coil is {found.index:.1f} wires wide; the formula is good to about 1 % between "
            f"{low:g} and {high:g}. Check wire and diameter, or press the spring."
        )
    return SpringFound(
        rate_n_mm=Read(found.rate_n_mm, found.spread_n_mm),
        free_mm=free_mm,
        solid_mm=Read(found.solid_mm, found.solid_spread_mm),
        shares=found.shares,
        remarks=tuple(said),
        cautious=odd,
    )


def by_press(
    length_mm: Sequence[float],
    force: Sequence[float],
    *,
    in_kg: bool,
    length_spread_mm: float,
    force_spread: float,
    scale_spread: float,
    free_mm: Read | None = None,
    solid_mm: float = 0.0,
) -> SpringFound:
    """What lengths under known forces say.

    Args:
        length_mm, force: one each; `force` and `force_spread` in N, or in kg where `in_kg`.
        length_spread_mm, force_spread: one standard deviation of a single reading.
        scale_spread: share by which the scale may be off as a whole.
        free_mm: the free length, read without a force.
        solid_mm: solid length of the profile, for a warning of readings too near to it.

    Raises:
        ReadingsError: too few, out of range, or no rate follows from them.
    """
    lengths, forces = np.asarray(length_mm, float), np.asarray(force, float)
    if in_kg:
        forces, force_spread = weight_n(forces), float(weight_n(force_spread))
    for row, (length, push) in enumerate(zip(lengths, forces, strict=True)):
        if length <= 0.0 or push < 0.0:
            raise ReadingsError("a length is above zero and a force not below; check both.", row)
    if len(lengths) < 2 or np.ptp(lengths) < 1.0:
        raise ReadingsError(
            f"Give two lengths or more with their forces, at least {mm_in_text(1.0)} apart."
        )
    try:
        found = rate_from_press(
            lengths,
            forces,
            length_spread_mm=length_spread_mm,
            force_spread_n=force_spread,
            scale_spread=scale_spread,
        )
    except ValueError as error:
        raise ReadingsError(
            "The force does not grow as the spring gets shorter: check which column is which."
        ) from error
    cautions = [*_stray(found), *_bent(found), *_out_of_range(lengths, free_mm, solid_mm)]
    line = f"{mm_in_text(found.free_mm)} (± {_fine(found.free_spread_mm)})"
    return SpringFound(
        rate_n_mm=Read(found.rate_n_mm, found.spread_n_mm),
        free_mm=free_mm,
        solid_mm=None,
        shares=found.shares,
        remarks=(
            _better(found),
            f"By these readings it is {line} long without a force.",
            *cautions,
        ),
        cautious=bool(cautions),
        off_n=tuple(float(each) for each in found.off_n),
        misfits=found.misfits,
    )


def _better(found: RateRead) -> str:
    """Which reading causes most of the band, and what it would be without."""
    worst = max(found.shares, key=lambda name: found.shares[name])
    share = found.shares[worst]
    left = figure_in_text(
        found.spread_n_mm * float(np.sqrt(1.0 - share)), Kind.SPRING_RATE, decimals=2
    )
    part = figure_in_text(share, Kind.PERCENT)
    most = "Most" if share >= 0.5 else "The largest part"
    without = f" Without it the band would be ± {left}." if share >= _TELLING else ""
    return f"{most} of the band, {part}, comes from {_BETTER[worst]}.{without}"


def _stray(found: Pressed) -> list[str]:
    if not found.misfits:
        return []
    row = found.misfits[0]
    off = figure_in_text(float(found.off_n[row]), Kind.FORCE, signed=True, decimals=1)
    return [
        f"Row {row + 1} does not go with the others: its force is {off} off the line. "
        "Read it again, or take the row out."
    ]


def _bent(found: Pressed) -> list[str]:
    if not abs(found.bend) > max(_SURE * found.bend_spread, _BENT):
        return []
    way = "stiffer" if found.bend > 0.0 else "softer"
    return [
        f"The spring gets {way} as it is pressed: it has no single rate, and this is the one "
        "between these lengths. Press it over the lengths at which it works."
    ]


def _out_of_range(lengths: NDArray[np.float64], free_mm: Read | None, solid_mm: float) -> list[str]:
    if free_mm is None or not 0.0 < solid_mm < free_mm.value:
        return []
    room = free_mm.value - solid_mm
    pressed, (low, high) = (free_mm.value - lengths) / room, _WORKING
    if np.all((pressed >= low - 0.02) & (pressed <= high + 0.02)):
        return []
    first, last = (mm_in_text(free_mm.value - share * room) for share in _WORKING)
    return [
        f"A rate is best read between {first} and {last}: nearer to its free length the ends "
        "settle, nearer to solid coils touch."
    ]


def _fine(value_mm: float) -> str:
    """A small length, to a tenth of a millimetre."""
    return figure_in_text(value_mm, Kind.LENGTH, decimals=1)
