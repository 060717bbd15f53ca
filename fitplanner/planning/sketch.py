"""The picture of a machine alone, from its figures as they stand.

Owns the attitude: that of the catalogue, so that the chassis frame of the profile is the frame of
the picture and every figure lies where it was measured. Refuses a rider and any load.
"""

from fitplanner.documents.machine import MachineProfile
from fitplanner.outline import MachinePose, Scene, Side, scene_from
from fitplanner.planning.pictures import machine_shape
from fitplanner.planning.resolve import UnsolvableError, reference


def sketch(profile: MachineProfile) -> Scene:
    """The side view, in mm from the rear contact point.

    Raises:
        UnsolvableError: the figures give no machine, or none that can be drawn.
    """
    found = reference(profile)
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
