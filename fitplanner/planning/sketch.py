"""The pictures of a machine alone, from its figures as they stand.

Owns the attitude: that of the catalogue, so that the chassis frame of the profile is the frame of
the picture and every figure lies where it was measured. Refuses a rider and any load.
"""

import numpy as np

from fitplanner.documents.machine import MachineProfile
from fitplanner.mechanics.reference import Reference
from fitplanner.outline import (
    Front,
    MachinePose,
    Scene,
    SeatSection,
    Side,
    front_scene_from,
    scene_from,
)
from fitplanner.planning.pictures import machine_shape
from fitplanner.planning.resolve import UnsolvableError, reference


def sketch(profile: MachineProfile) -> Scene:
    """The side view, in mm from the rear contact point.

    Raises:
        UnsolvableError: the figures give no machine, or none that can be drawn.
    """
    found = _reference(profile)
    arm, low = profile.rear.arm_length_mm.value, float(found.machine.axle_low_mm)
    if not low**2 < arm**2:
        raise UnsolvableError(
            "rear: the wheel hangs lower than the swing-arm is long; check travel and pivot height"
        )
    front, rear = float(found.front_radius_mm), float(found.rear_radius_mm)
    height = profile.catalogue.seat_height_mm.value
    try:
        pose = MachinePose(
            pitch_rad=0.0,
            front_axle=(profile.catalogue.wheelbase_mm.value, front),
            rear_axle=(0.0, rear),
            front_loaded_radius_mm=front,
            rear_loaded_radius_mm=rear,
        )
        shape = machine_shape(profile)
        return scene_from(after=Side(machine=shape, pose=pose, seat_height_mm=height))
    except ValueError as error:
        raise UnsolvableError(str(error)) from error


def front_sketch(profile: MachineProfile) -> Scene:
    """The front view where the thighs cross the seat, in mm from the middle; raises as `sketch`."""
    found, seat, controls = _reference(profile), profile.seat, profile.controls
    section = SeatSection(
        seat_height_mm=profile.catalogue.seat_height_mm.value,
        width_mm=seat.width_mm.value,
        edge_drop_mm=seat.edge_drop_mm.value,
        foam_mm=seat.foam_mm.value,
        tyre_radius_mm=float(found.rear_radius_mm),
        tyre_section_mm=profile.wheels.rear_section_mm.value,
        peg_y_mm=controls.peg_y_mm.value,
        peg_z_mm=controls.peg_z_mm.value,
    )
    try:
        return front_scene_from(after=Front(section=section))
    except ValueError as error:
        raise UnsolvableError(str(error)) from error


def _reference(profile: MachineProfile) -> Reference:
    with np.errstate(all="ignore"):
        return reference(profile)
