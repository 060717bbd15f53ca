"""The hazards of the work, at the step where each stands.

Owns the wording of cautions and when each applies. Defers to the maker, to local rules and to
licensed practice. Refuses torque values: those are the maker's.
"""

from fitplanner.library.acts import GAS, LIFT, SPRING
from fitplanner.planning.plan import Caution, WayAmount, WayId

_ALWAYS_BEFORE = (Caution("Lifting", LIFT),)
_FORK = (
    Caution("Fork", SPRING),
    Caution(
        "Fork",
        "A thread-locked nut may need heat. Never a flame where a polymer limiter sits: a heat "
        "gun, and the record must tell the next mechanic.",
    ),
)
_FORK_CARE = Caution(
    "Fork",
    "Air under pressure or a shut rebound adjuster can blow oil out of a cap that is cracked "
    "loose: open the adjusters and bleed the air before; set both again after.",
)
_SHOCK = (Caution("Shock", GAS),)
_CLAMPS = (
    Caution("Clamps", "Turn the bar lock to lock: hoses, cables and stanchions must stay clear."),
)
_STAND = (
    Caution(
        "Side-stand",
        "Measure the stand on the lowered machine, cut long first, and see that it still folds.",
    ),
    Caution(
        "Side-stand",
        "A stand that breaks drops the machine: cut and welded off the machine by someone who "
        "welds for a living, tank away, battery unhooked, or replaced by a stand made shorter.",
    ),
    Caution(
        "Side-stand",
        "A lowered machine on its old stand can stand upright or fall to the far side.",
    ),
)
_ALWAYS_AFTER = (
    Caution(
        "Test ride",
        "First push both ends through with the springs out: tyre clear of mudguard and pipe. Then "
        "wheels hanging, lock to lock: hoses and cables slack, chain clear of its slider.",
    ),
    Caution("Tightening", "Every torque comes from the maker's manual for this machine."),
    Caution(
        "Rules",
        "Lamps, plate, stand and suspension may need approval: local rules decide, ask first.",
    ),
    Caution("Test ride", "Ride slowly first: brakes, steering and full bump, then measure again."),
)


def cautions(
    ways: tuple[WayAmount, ...], springs_change: tuple[bool, bool], *, new_stand: bool
) -> tuple[Caution, ...]:
    """Cautions for the ways in use; `springs_change` tells front and rear."""
    used = {way.way for way in ways if way.amount_mm > 0}
    found = list(_ALWAYS_BEFORE)
    if WayId.FORK_LIMITER in used or springs_change[0]:
        found += [*_FORK, _FORK_CARE]
    if WayId.SHOCK_LIMITER in used or springs_change[1]:
        found += _SHOCK
    if WayId.RAISED_STANCHIONS in used:
        found += _CLAMPS
    if new_stand:
        found += _STAND
    return (*found, *_ALWAYS_AFTER)
