"""The rear linkage through its travel, and one layout turned into another.

Owns the series that are plotted, the places that are drawn, and how well the leverage of joints
is known that were made up to start from. Refuses anything of the rider.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from fitplanner.documents.base import Figure, Source
from fitplanner.documents.machine import LeverageTable, LinkagePoints, MachineProfile, Rear
from fitplanner.library.linkage import linkage_points
from fitplanner.mechanics import fourbar
from fitplanner.mechanics.reference import resolve
from fitplanner.planning.resolve import UnsolvableError, catalogue_figures

Floats = NDArray[np.float64]
Linkage = LeverageTable | LinkagePoints

LAYOUTS = ("table", "direct", "rocker_on_frame", "rocker_on_arm")
MADE_UP = "joints made up to start from"
"""Origin of the leverage factor while nobody has said that the joints are the machine's."""
_MADE_UP_SPREAD = 0.15
"""Off-road machines lie between about 2.2 and 3.4 on the mean: assumption."""
_ENTERED_SPREAD = 0.02
"""What joints read with a tape leave open: assumption, as in the machines of the library."""
USUAL_LEVERAGE = (1.4, 5.0)
"""Beyond which a leverage, anywhere in the travel, gets a word: common practice, no source."""
_PLACES = 121
_ROW_MM = 25.0
_FEWEST_ROWS = 7


@dataclass(frozen=True, eq=False)
class LinkageMotion:
    """A linkage at equal steps of wheel travel, from hanging to bottomed.

    Attributes:
        rise_mm, shock_mm, leverage: wheel travel, shock travel and their relation, shape (K,).
        wheel_rate_n_mm: of spring and gas at the wheel, the bump rubber left out, shape (K,).
        spring_n: force of the spring at the shock, shape (K,).
        places_mm: moving joints by the field that they are drawn in, and the axle as "axle";
            shape (K, 2) each, from the swing-arm pivot; the axle alone where there is a table.
    """

    rise_mm: Floats
    shock_mm: Floats
    leverage: Floats
    wheel_rate_n_mm: Floats
    spring_n: Floats
    places_mm: Mapping[str, Floats]


def linkage_motion(profile: MachineProfile) -> LinkageMotion:
    """How the rear linkage of the stock machine moves.

    Raises:
        LinkageError: its joints do not go together.
        UnsolvableError: no machine can be built from the profile.
    """
    machine = resolve(catalogue_figures(profile)).machine
    rise = np.linspace(0.0, profile.rear.travel_mm.value, _PLACES)
    shock, ratio, slope = machine.leverage.evaluate(rise)
    unit = replace(machine.shock, bump_rate_n_mm=0.0)
    force, rate = unit.force(shock)
    arm = float(machine.arm_length_mm)
    sine = (float(machine.axle_low_mm) + rise) / arm
    if not np.all(np.abs(sine) < 1.0):
        raise UnsolvableError(
            "rear: the swing-arm is too short for this wheel travel; "
            "check its length, the pivot's height and the travel"
        )
    alpha = np.arcsin(sine)
    axle = np.stack([-arm * np.cos(alpha), arm * sine], axis=-1)
    return LinkageMotion(
        rise_mm=rise,
        shock_mm=shock,
        leverage=1.0 / ratio,
        wheel_rate_n_mm=rate * ratio**2 + force * slope,
        spring_n=np.asarray(unit.rate_n_mm * (shock + unit.preload_mm)),
        places_mm={"axle": axle, **_moving(profile.rear.linkage, alpha)},
    )


def odd_leverage(motion: LinkageMotion) -> str:
    """A sentence where the leverage is none that a rear suspension has; else ""."""
    low, high = float(motion.leverage.min()), float(motion.leverage.max())
    if USUAL_LEVERAGE[0] <= low and high <= USUAL_LEVERAGE[1]:
        return ""
    return (
        f"The leverage runs from {low:.2f} to {high:.2f} through the travel; 2 to 4 is common. "
        "Check where the joints stand."
    )


def _moving(linkage: Linkage, alpha_rad: Floats) -> dict[str, Floats]:
    if isinstance(linkage, LeverageTable):
        return {}
    at = fourbar.joints(linkage_points(linkage, alpha_rad[:1]), alpha_rad)
    places = {"arm_point_mm": at.arm_point_mm}
    if linkage.layout != "direct":
        places |= {"rod_joint_mm": at.rod_joint_mm, "shock_joint_mm": at.shock_joint_mm}
    return places


def in_layout(profile: MachineProfile, layout: str) -> Linkage:
    """The machine's linkage in another layout, to go on from.

    A table takes the leverage of the joints over. Joints are those of an invented machine, for
    nothing of a table says where they stand, scaled to this swing-arm.

    Raises:
        UnsolvableError: the joints go together at no size, or the present ones do not.
    """
    if profile.rear.linkage.layout == layout:
        return profile.rear.linkage
    if layout == "table":
        motion = linkage_motion(profile)
        rows = np.linspace(0.0, motion.rise_mm[-1], row_count(float(motion.rise_mm[-1])))
        return LeverageTable(
            wheel_travel_mm=[*(round(float(each), 1) for each in rows[:-1]), float(rows[-1])],
            leverage=[
                round(float(each), 4) for each in np.interp(rows, motion.rise_mm, motion.leverage)
            ],
        )
    for size in np.array([1.0, 1.15, 0.87, 1.3, 0.75]) * profile.rear.arm_length_mm.value / 590.0:
        drawn = _scaled(_STARTS[layout], float(size))
        tried = profile.replace(rear=profile.rear.replace(linkage=drawn))
        try:
            linkage_motion(tried)
        except UnsolvableError:
            continue
        return drawn
    raise UnsolvableError(
        "rear linkage: no joints to start from go through this wheel travel; "
        "check travel, swing-arm length and pivot height first"
    )


def rear_in_layout(profile: MachineProfile, layout: str) -> Rear:
    """The machine's rear end with its linkage in another layout, see `in_layout`.

    Joints that were made up say so by the leverage factor: assumed, with a wide spread. A table
    made of joints is known as well as they are.

    Raises:
        UnsolvableError: as `in_layout`.
    """
    rear, new = profile.rear, in_layout(profile, layout)
    if new is rear.linkage:
        return rear
    if isinstance(new, LeverageTable):
        # The factor is in the rows of the table now.
        return rear.replace(
            linkage=new, leverage_factor=rear.leverage_factor.replace(value=1.0, typed="")
        )
    factor = Figure(
        value=1.0,
        spread=_MADE_UP_SPREAD,
        source=Source.ASSUMED,
        origin=MADE_UP,
        note="the leverage of made-up joints; it is not known until they are entered",
    )
    return rear.replace(linkage=new, leverage_factor=factor)


def made_up(rear: Rear) -> bool:
    """Whether the leverage is that of joints that were made up to start from."""
    return rear.leverage_factor.origin == MADE_UP


def entered(rear: Rear) -> Rear:
    """The rear end with joints of which somebody says that they are the machine's own."""
    factor = Figure(
        value=1.0, spread=_ENTERED_SPREAD, source=Source.MEASURED, origin="joints entered"
    )
    return rear.replace(leverage_factor=factor)


def row_count(travel_mm: float) -> int:
    """How many rows a table of leverage over `travel_mm` is given."""
    return max(_FEWEST_ROWS, round(travel_mm / _ROW_MM) + 1)


def _scaled(drawn: LinkagePoints, size: float) -> LinkagePoints:
    places = {
        key: [round(each * size, 1) for each in place]
        for key, place in drawn
        if key != "layout" and place is not None
    }
    return drawn.replace(**places)


# Invented, for a swing-arm of 590 mm.
_STARTS = {
    "direct": LinkagePoints(
        layout="direct", frame_eye_mm=[-6.4, 390.0], arm_point_mm=[-231.3, -6.0]
    ),
    "rocker_on_frame": LinkagePoints(
        layout="rocker_on_frame",
        frame_eye_mm=[17.0, 260.0],
        arm_point_mm=[-155.8, -56.9],
        frame_point_mm=[10.0, -107.1],
        rod_joint_mm=[-60.0, -160.4],
        shock_joint_mm=[-105.0, -125.0],
    ),
    "rocker_on_arm": LinkagePoints(
        layout="rocker_on_arm",
        frame_eye_mm=[13.1, 332.1],
        arm_point_mm=[-154.5, -81.1],
        frame_point_mm=[-24.7, -52.1],
        rod_joint_mm=[-157.1, -108.8],
        shock_joint_mm=[-65.5, -69.9],
    ),
}
