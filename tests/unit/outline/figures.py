"""Invented machines for the outline's tests, built from a data sheet's figures."""

import numpy as np

from fitplanner.outline import (
    EngineSort,
    MachineKind,
    MachinePose,
    MachineShape,
    SeatSection,
    StandShape,
)


def machine(
    *,
    kind: MachineKind = "trail",
    engine: EngineSort = "single",
    wheelbase: float = 1440.0,
    rake_deg: float = 27.0,
    trail: float = 107.0,
    front_radius: float = 350.0,
    rear_radius: float = 330.0,
    seat: tuple[float, float] = (560.0, 930.0),
    arm: float = 560.0,
    pivot_z: float = 400.0,
    clearance: float = 330.0,
    travel: tuple[float, float] = (270.0, 290.0),
    sag: tuple[float, float] = (70.0, 100.0),
    tank_l: float = 9.0,
    grip: tuple[float, float] = (985.0, 1150.0),
    k: float = 1.0,
) -> MachineShape:
    """A machine whose chassis frame is its attitude on its wheels, with `sag` at both ends."""
    rake = float(np.radians(rake_deg))
    pivot = (float(np.sqrt(arm**2 - (pivot_z - rear_radius) ** 2)), pivot_z)
    hanging = rear_radius - sag[1]
    rear = pivot[0] - float(np.sqrt(arm**2 - (pivot_z - hanging) ** 2))
    return MachineShape(
        kind=kind,
        engine=engine,
        rake_rad=rake,
        steering_axis=(wheelbase + trail, 0.0),
        fork_offset_mm=float(front_radius * np.sin(rake) - trail * np.cos(rake)),
        fork_travel_mm=travel[0],
        stanchion_diameter_mm=48.0 * k,
        stanchion_showing_mm=5.0,
        front_bump_gap_mm=15.0,
        front_axle_extended=(
            wheelbase + sag[0] * float(np.sin(rake)),
            front_radius - sag[0] * float(np.cos(rake)),
        ),
        arm_pivot=pivot,
        arm_length_mm=arm,
        rear_axle_extended=(rear, hanging),
        rear_travel_mm=travel[1],
        rear_bump_gap_mm=20.0,
        front_radius_mm=front_radius,
        rear_radius_mm=rear_radius,
        front_section_mm=80.0 * k,
        rear_section_mm=110.0 * k,
        seat=seat,
        seat_width_mm=200.0,
        seat_edge_drop_mm=25.0,
        seat_foam_mm=90.0 * k,
        tank_l=tank_l,
        tank=(seat[0] + 290.0 * k, seat[1] - 40.0),
        peg=(seat[0] - 15.0, pivot_z - 5.0),
        grip=grip,
        low_point=(seat[0] + 120.0 * k, clearance),
        headlamp=(grip[0] + 205.0 * k, grip[1] - 165.0 * k),
        plate=(-160.0 * k, seat[1] - 330.0 * k),
        sprocket=(pivot[0] + 68.0 * k, pivot_z + 6.0),
        stand=StandShape(
            pivot=(pivot[0] + 10.0, pivot_z - 60.0 * k),
            length_mm=pivot_z - 60.0 * k,
            angle_rad=0.4,
            foot_ahead_mm=-40.0,
        ),
    )


TRAIL = machine()
CHILD = machine(
    kind="child", wheelbase=1050.0, rake_deg=26.0, trail=70.0, front_radius=230.0,
    rear_radius=205.0, seat=(400.0, 680.0), arm=400.0, pivot_z=270.0, clearance=210.0,
    travel=(150.0, 160.0), sag=(35.0, 45.0), tank_l=3.0, grip=(730.0, 850.0), k=0.68,
)  # fmt: skip
TWIN = machine(
    kind="adventure", engine="twin", wheelbase=1560.0, rake_deg=26.0, trail=105.0,
    front_radius=345.0, rear_radius=325.0, seat=(600.0, 890.0), arm=600.0, clearance=230.0,
    travel=(220.0, 220.0), sag=(70.0, 70.0), tank_l=21.0, grip=(1010.0, 1170.0),
)  # fmt: skip
ENDURO = machine(kind="enduro", engine="two_stroke")
MACHINES = {"trail": TRAIL, "child": CHILD, "twin": TWIN, "enduro": ENDURO}


def pose(
    m: MachineShape, *, front: float, rear: float, seat: float = 0.0, parked: bool = False
) -> MachinePose:
    """A pose by the axles' travel from full extension: along the fork, and upward at the rear."""
    fork = np.array([np.sin(m.rake_rad), -np.cos(m.rake_rad)])
    axle = np.array(m.front_axle_extended) - fork * front
    z = m.rear_axle_extended[1] + rear
    back = np.array([m.arm_pivot[0] - np.sqrt(m.arm_length_mm**2 - (m.arm_pivot[1] - z) ** 2), z])
    way = axle - back
    pitch = np.arcsin((m.front_radius_mm - m.rear_radius_mm) / np.hypot(*way)) - np.arctan2(
        way[1], way[0]
    )
    return MachinePose(
        pitch_rad=float(pitch),
        front_axle=(float(axle[0]), float(axle[1])),
        rear_axle=(float(back[0]), float(back[1])),
        front_loaded_radius_mm=m.front_radius_mm,
        rear_loaded_radius_mm=m.rear_radius_mm,
        seat_lowering_mm=seat,
        parked=parked,
    )


def catalogue_pose(m: MachineShape, **changes: float | bool) -> MachinePose:
    """The attitude of the chassis frame itself."""
    front = (m.front_radius_mm - m.front_axle_extended[1]) / float(np.cos(m.rake_rad))
    return pose(m, front=front, rear=m.rear_radius_mm - m.rear_axle_extended[1], **changes)  # type: ignore[arg-type]


SECTION = SeatSection(
    seat_height_mm=860.0,
    width_mm=220.0,
    edge_drop_mm=30.0,
    foam_mm=90.0,
    tyre_radius_mm=330.0,
    tyre_section_mm=120.0,
    peg_y_mm=245.0,
    peg_z_mm=380.0,
)
