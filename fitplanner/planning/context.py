"""What one evaluation works on: the job resolved once, in one place.

Owns the gathering of machine, rider, loads, windows and what can be bought. Refuses to choose.
"""

from dataclasses import dataclass
from math import pi

from fitplanner.documents.job import Job, SagWindows
from fitplanner.documents.machine import MachineProfile, WayOffer
from fitplanner.library.springs import available_rates
from fitplanner.library.styles import windows_of
from fitplanner.mechanics.machine import Machine
from fitplanner.mechanics.parked import Stand
from fitplanner.planning.loads import Loads, loads
from fitplanner.planning.plan import WayId
from fitplanner.planning.resolve import Overrides, UnsolvableError, Values, reference
from fitplanner.planning.rider import Fitted, fitted
from fitplanner.planning.targets import Market

CHOSEN_WAYS = (
    WayId.FORK_LIMITER,
    WayId.SHOCK_LIMITER,
    WayId.RAISED_STANCHIONS,
    WayId.LOWER_SEAT,
)
"""The ways whose amounts the planner chooses; the others count as set by hand."""


@dataclass(frozen=True)
class Context:
    """One job, resolved."""

    job: Job
    value: Values
    machine: Machine
    rider: Fitted
    carried: Loads
    windows: SagWindows
    front_market: Market
    rear_market: Market

    @property
    def profile(self) -> MachineProfile:
        """The machine's profile."""
        return self.job.machine

    def offer(self, way: WayId) -> WayOffer | None:
        """What this machine accepts of one way."""
        offer: WayOffer | None = getattr(self.profile.ways, way.value)
        return offer

    def by_hand(self, way: WayId) -> float | None:
        """The amount that the user fixed, if any."""
        amount: float | None = getattr(self.job.choices, f"{way.value}_mm")
        return amount


def context(job: Job, carried: Loads | None = None) -> Context:
    """Resolve a job; `carried` where it is known already.

    Raises:
        IncompleteError: the rider is not known well enough.
        UnsolvableError: no machine can be built from the profile.
    """
    profile, choices = job.machine, job.choices
    _refuse_short_arc(profile)
    rider = fitted(job.rider)
    fork, rear = profile.fork, profile.rear
    return Context(
        job=job,
        value=Values(profile, {}),
        machine=reference(profile).machine,
        rider=rider,
        carried=carried or loads(profile, rider, choices),
        windows=windows_of(job),
        front_market=Market(
            rates_n_mm=available_rates("fork", profile.kind, spring_legs=fork.spring_legs),
            stock_rate_n_mm=fork.spring_rate_n_mm.value,
            legs=fork.spring_legs,
            preload_low_mm=fork.preload_min_mm.value,
            preload_high_mm=fork.preload_max_mm.value,
            rate_by_hand=choices.fork_rate_n_mm,
            preload_by_hand=choices.fork_preload_mm,
        ),
        rear_market=Market(
            rates_n_mm=available_rates("shock", profile.kind),
            stock_rate_n_mm=rear.spring_rate_n_mm.value,
            legs=1,
            preload_low_mm=rear.preload_min_mm.value,
            preload_high_mm=rear.preload_max_mm.value,
            rate_by_hand=choices.shock_rate_n_mm,
            preload_by_hand=choices.shock_preload_mm,
        ),
    )


def _refuse_short_arc(profile: MachineProfile) -> None:
    arc, seat = profile.seat.arc_mm, profile.catalogue.seat_height_mm.value
    if arc is not None and arc.value < 2 * seat:
        raise UnsolvableError(
            f"Inside-leg arc: {arc.value:g} mm is less than twice the seat height of {seat:g} mm; "
            "it runs from the ground over the seat to the ground: check both, or leave it empty"
        )


def stand_of(profile: MachineProfile, overrides: Overrides | None = None) -> Stand:
    """The side-stand as the solver wants it; the rear tyre's section gives the crown."""
    value = Values(profile, overrides or {})
    return Stand(
        pivot_x_mm=value("stand", "pivot_x_mm"),
        pivot_y_mm=value("stand", "pivot_y_mm"),
        pivot_z_mm=value("stand", "pivot_z_mm"),
        length_mm=value("stand", "length_mm"),
        angle_rad=value("stand", "angle_deg") * (pi / 180),
        foot_ahead_mm=value("stand", "foot_ahead_mm"),
        crown_radius_mm=value("wheels", "rear_section_mm") / 2,
    )
