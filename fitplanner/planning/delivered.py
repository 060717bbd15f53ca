"""Nominal is not delivered: where the missing millimetres go.

Owns the account from the sizes on the parts to the tape on wheels: geometry, springs, preload,
each by the exact model with the others held. Refuses the kit's name.
"""

from fitplanner.mechanics.geometry import pose
from fitplanner.planning.plan import Band, Delivered
from fitplanner.planning.states import seat_point
from fitplanner.planning.work import ON_WHEELS, PLANNED, STOCK, Work
from fitplanner.quantities import mm_in_text, rest_in_text


def nominal_mm(work: Work) -> float:
    """Sizes on the parts, weighted as the seat lies between the axles."""
    profile, planned = work.ctx.profile, work.planned
    share = profile.seat.x_mm.value / profile.catalogue.wheelbase_mm.value
    axle = work.limits[PLANNED][2]
    fork = float(planned.fork_limiter_mm + planned.raised_stanchions_mm)
    tyres = float(planned.smaller_tyres_mm)
    return share * fork + (1 - share) * axle + tyres + float(planned.lower_seat_mm)


def delivered(work: Work, half_width: float) -> Delivered:
    """The account. `half_width` is half the 90 % band of the drop on wheels."""
    at = work.lanes.rest.pose
    stock_seat, planned_seat = seat_point(work, STOCK), seat_point(work, PLANNED)
    before = float(at.height(*stock_seat)[ON_WHEELS, STOCK])

    def drop(lane: int) -> float:
        return before - float(at.height(*planned_seat)[ON_WHEELS, lane])

    low_x, _, low_y, _ = work.limits[PLANNED]
    free = work.lanes.sag(ON_WHEELS, STOCK)
    same_sag = pose(
        work.machine,
        low_x + free[0],
        low_y + free[1],
        at.front_radius_mm[ON_WHEELS, STOCK],
        at.rear_radius_mm[ON_WHEELS, STOCK],
    )
    by_geometry = before - float(same_sag.height(*planned_seat))
    nominal, total = nominal_mm(work), drop(PLANNED)
    by_rate = drop(work.same_springs)
    stopped = float(work.halts[STOCK].bare_seat_mm - work.halts[PLANNED].bare_seat_mm)
    account = Delivered(
        nominal_mm=nominal,
        on_wheels_mm=Band(total, total - half_width, total + half_width),
        stopped_mm=stopped,
        geometry_mm=nominal - by_geometry,
        rate_mm=by_geometry - by_rate,
        preload_mm=by_rate - total,
        reason="",
    )
    return Delivered(**{**account.__dict__, "reason": _reason(account, before)})


def _reason(account: Delivered, before_mm: float) -> str:
    """The account in words; the largest share takes what the others leave as they are shown.

    What the tape says is the difference of the seat's heights, `before_mm` and after.
    """
    if abs(account.nominal_mm) < 0.5:
        return "No part with a nominal size is fitted."
    shares = (
        ("geometry (the fork leans, the seat sits between the axles)", account.geometry_mm),
        ("free sag lost or won to the spring rates in the shorter travel", account.rate_mm),
        ("preload", account.preload_mm),
    )
    counted = [(name, share) for name, share in shares if abs(share) >= 0.05]
    after_mm = before_mm - account.on_wheels_mm.value
    largest = max(range(len(counted)), key=lambda row: abs(counted[row][1]), default=0)
    said = []
    for row, (name, share) in enumerate(counted):
        amount = mm_in_text(abs(share))
        if row == largest:
            others = [each for other, (_, each) in enumerate(counted) if other != row]
            whole = (account.nominal_mm, before_mm, -after_mm, *others)
            amount = rest_in_text(*(whole if share > 0 else (-each for each in whole)))
        said.append(f"{name} {'takes' if share > 0 else 'gives'} {amount}")
    return (
        f"The sizes of the parts come to {mm_in_text(account.nominal_mm)}; the tape on wheels will "
        f"show {rest_in_text(before_mm, after_mm)}: {', '.join(said) or 'nothing is lost'}."
    )
