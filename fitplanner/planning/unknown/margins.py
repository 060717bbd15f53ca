"""The plan's checks on every possible machine: by how much each holds, lane by lane.

Owns the same limits as `planning.checks`, over lanes; a test holds the two together. Refuses
checks whose value no uncertain figure moves (those are certain) or that need the machine parked,
the chain, the oil or the rider's joints.
"""

from math import atan

import numpy as np

from fitplanner.body.reach import Footing
from fitplanner.mechanics.arrays import Array
from fitplanner.mechanics.lamps import (
    HEADLAMP_UN,
    HEADLAMP_US,
    REAR_PLATE_EU,
    inclination_change_percent,
)
from fitplanner.planning.checks.carrying import LEAST_BUMP_SHARE, LEAST_FRONT_LOAD_SHARE
from fitplanner.planning.checks.rider import MOST_FOOT_SHARE
from fitplanner.planning.checks.riding import (
    LEAST_BUMP_GAP_MM,
    LEAST_CLEARANCE_MM,
    LEAST_FOAM_MM,
    LEAST_RESERVE_SHARE,
    MOST_AIM_CHANGE,
    MOST_RAKE_CHANGE_DEG,
    MOST_TRAIL_CHANGE_MM,
)
from fitplanner.planning.checks.units import LEAST_BIND_ROOM_MM, LEAST_REMAINING_TRAVEL
from fitplanner.planning.plan import ENDS
from fitplanner.planning.springs_plan import reserve_mm
from fitplanner.planning.unknown.lanes import Lanes

_SLACK_MM = 0.05


def margins(lanes: Lanes) -> dict[str, Array]:
    """Margin of each check that can be followed, by its key; positive where it holds."""
    found = {**_carrying(lanes), **_units(lanes), **_riding(lanes), **_lamps(lanes)}
    wanted = lanes.case.ctx.rider.document.footing
    if wanted is not Footing.NONE:
        found["footing"] = lanes.planned.spare_mm
    one = lanes.planned.stopped.one
    if one is not None:
        spare = found["footing"]
        found["footing"] = np.where(one.reached, np.maximum(spare, 0.0), spare)
        found["one-foot"] = MOST_FOOT_SHARE - one.weight_share
    return found


def _carrying(lanes: Lanes) -> dict[str, Array]:
    ctx, plan, value = lanes.case.ctx, lanes.planned, lanes.value
    choices, windows = ctx.job.choices, ctx.windows
    carried = ctx.rider.total_kg + choices.luggage_front_kg + choices.luggage_rear_kg
    up = plan.rider_up
    load = up.front_load_n / (up.front_load_n + up.rear_load_n)
    found = {
        "payload": value("masses", "payload_kg") - np.array(carried),
        "front-load": load - LEAST_FRONT_LOAD_SHARE,
    }
    low_x, high_x, low_y, high_y = plan.machine.limits
    for name, full, free, rider, free_window, rider_window in (
        ("fork", high_x - low_x, plan.sag_mm(plan.on_wheels)[0], plan.sag_mm(up)[0],
         windows.free_front, windows.rider_front),
        ("rear", high_y - low_y, plan.sag_mm(plan.on_wheels)[1], plan.sag_mm(up)[1],
         windows.free_rear, windows.rider_rear),
    ):  # fmt: skip
        found[f"{name}-carries"] = full - rider - LEAST_BUMP_SHARE * full
        found[f"{name}-free"] = free - 1.0
        for word, sag, window in (
            ("free-sag", free, free_window),
            ("rider-sag", rider, rider_window),
        ):
            found[f"{name}-{word}"] = _SLACK_MM + np.minimum(
                sag - window.low * full, window.high * full - sag
            )
    return found


def _units(lanes: Lanes) -> dict[str, Array]:
    value, plan = lanes.value, lanes.planned
    setup, shock = plan.setup, plan.machine.shock
    low_x, high_x, _, _ = plan.machine.limits
    fork_preload = np.asarray(plan.machine.fork.preload_mm)
    shock_preload = np.asarray(shock.preload_mm)
    room = np.asarray(value("fork", "spring_free_mm")) - value("fork", "spring_solid_mm")
    shock_room = np.asarray(value("rear", "spring_free_mm")) - value("rear", "spring_solid_mm")
    found: dict[str, Array] = {
        "fork-bind": room - (high_x - low_x + fork_preload) - LEAST_BIND_ROOM_MM,
        "shock-bind": shock_room
        - (np.asarray(shock.stroke_mm) - shock.cut_mm + shock_preload)
        - LEAST_BIND_ROOM_MM,
    }
    for key, cut, travel in (
        ("fork-limiter", setup.fork_limiter_mm, value("fork", "travel_mm")),
        ("shock-limiter", setup.shock_limiter_mm, shock.stroke_mm),
    ):
        if np.any(cut):
            found[f"{key}-travel"] = 1.0 - np.asarray(cut) / travel - LEAST_REMAINING_TRAVEL
    if np.any(setup.raised_stanchions_mm):
        showing = np.asarray(value("fork", "stanchion_showing_mm")) + setup.raised_stanchions_mm
        found["raised_stanchions-bar"] = 25.0 - showing
    return found


def _riding(lanes: Lanes) -> dict[str, Array]:
    ctx, value, stock, plan = lanes.case.ctx, lanes.value, lanes.stock, lanes.planned
    found: dict[str, Array] = {}
    for end in ENDS:
        before, after = (
            reserve_mm(
                each.machine,
                end,
                each.rider_up.front_load_n if end == "front" else each.rider_up.rear_load_n,
            )
            for each in (stock, plan)
        )
        found[f"{end}-reserve"] = after - LEAST_RESERVE_SHARE * np.maximum(before, 0.0)
    for key, section, change in (
        ("front-gap", "fork", plan.made.front_gap_mm),
        ("rear-gap", "rear", plan.made.rear_gap_mm),
    ):
        if np.any(change):
            found[key] = value(section, "bump_gap_mm") + np.asarray(change) - LEAST_BUMP_GAP_MM
    at = plan.on_wheels.pose
    low = value("controls", "low_point_x_mm"), value("catalogue", "ground_clearance_mm")
    found["clearance"] = at.height(*low) - LEAST_CLEARANCE_MM[ctx.profile.kind]
    drop = plan.setup.lower_seat_mm
    seat = np.asarray(value("catalogue", "seat_height_mm")) - drop
    found["seat-over-wheel"] = seat - 2.0 * np.asarray(value("wheels", "rear_radius_mm"))
    if np.any(drop):
        found["foam"] = np.asarray(value("seat", "foam_mm")) - drop - LEAST_FOAM_MM
    before_up, after_up = stock.rider_up.pose, plan.rider_up.pose
    found["trail"] = MOST_TRAIL_CHANGE_MM - np.abs(after_up.trail_mm - before_up.trail_mm)
    turned = np.degrees(after_up.rake_rad - before_up.rake_rad)
    found["rake"] = MOST_RAKE_CHANGE_DEG - np.abs(turned)
    return found


def _lamps(lanes: Lanes) -> dict[str, Array]:
    value, plan = lanes.value, lanes.planned
    beam = atan(lanes.case.ctx.profile.lamps.dip_percent.value)
    turn = plan.rider_up.pose.pitch_rad - lanes.stock.rider_up.pose.pitch_rad
    aim = inclination_change_percent(beam_rad=beam, pitch_change_rad=turn)
    at = plan.on_wheels.pose
    lamp = at.height(value("lamps", "headlamp_x_mm"), value("lamps", "headlamp_z_mm"))
    plate = at.height(value("lamps", "plate_x_mm"), value("lamps", "plate_z_mm"))
    found: dict[str, Array] = {
        "lamp-aim": MOST_AIM_CHANGE - np.abs(aim) / 100.0,
        "plate-height": plate - REAR_PLATE_EU.lowest_mm,
    }
    for key, window in (("un", HEADLAMP_UN), ("us", HEADLAMP_US)):
        found[f"lamp-height-{key}"] = np.minimum(lamp - window.lowest_mm, window.highest_mm - lamp)
    return found
