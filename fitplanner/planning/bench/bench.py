"""What the steps of one job stand on: which work is done, and figures looked up in the plan.

Owns the answers to "is this end opened" and "what does the plan say of". Refuses wording.
"""

from dataclasses import dataclass

from fitplanner.documents.job import Job
from fitplanner.documents.machine import MachineProfile
from fitplanner.documents.torque import Fastener
from fitplanner.planning.account import new_stand
from fitplanner.planning.bench.step import Quantity, TorqueLine
from fitplanner.planning.plan import Consequence, End, Plan, SpringPlan, WayId
from fitplanner.quantities import Kind

LEAST_MM = 0.05
"""An amount or a preload that differs by no more is left as it is."""

_SAME_RATE_N_MM = 1e-6
_SAME_PLAY_MM = 0.5

FASTENERS = {
    Fastener.FRONT_AXLE: "front axle",
    Fastener.AXLE_PINCH: "axle pinch bolts",
    Fastener.CALIPER: "brake caliper",
    Fastener.FORK_CAP: "fork cap",
    Fastener.DAMPER_ROD_NUT: "lock nut on the damper rod",
    Fastener.UPPER_CLAMP: "upper clamp",
    Fastener.LOWER_CLAMP: "lower clamp",
    Fastener.SHOCK_TOP: "shock, upper bolt",
    Fastener.SHOCK_BOTTOM: "shock, lower bolt",
    Fastener.SHOCK_COLLAR: "lock of the spring collar",
    Fastener.LINK: "link bolts",
    Fastener.REAR_AXLE: "rear axle",
    Fastener.STAND_PIVOT: "side-stand pivot",
    Fastener.SEAT: "seat bolts",
}
"""What is tightened, in a mechanic's words."""


@dataclass(frozen=True)
class Bench:
    """One job with its plan, as the bench asks for it."""

    job: Job
    plan: Plan

    @property
    def profile(self) -> MachineProfile:
        """The machine."""
        return self.job.machine

    def amount_mm(self, way: WayId) -> float:
        """The amount of a way; 0 where it is not used."""
        found = next(each.amount_mm for each in self.plan.ways if each.way is way)
        return found if abs(found) >= LEAST_MM else 0.0

    def spring(self, end: End) -> SpringPlan:
        """Spring and preload at one end."""
        return self.plan.springs[end]

    def new_spring(self, end: End) -> bool:
        """Whether another spring goes in."""
        spring = self.spring(end)
        return abs(spring.rate_n_mm - spring.stock_rate_n_mm) > _SAME_RATE_N_MM

    def new_preload(self, end: End) -> bool:
        """Whether the preload is set anew."""
        spring = self.spring(end)
        return abs(spring.preload_mm - spring.stock_preload_mm) > LEAST_MM

    @property
    def opens_fork(self) -> bool:
        """Whether the fork's legs come apart."""
        limited = self.amount_mm(WayId.FORK_LIMITER) > 0
        return limited or self.new_spring("front") or self.new_preload("front")

    @property
    def opens_shock(self) -> bool:
        """Whether the shock itself is opened or exchanged: a specialist's work."""
        ways = (WayId.SHOCK_LIMITER, WayId.SHORTER_SHOCK)
        return any(self.amount_mm(way) > 0 for way in ways)

    @property
    def new_stand(self) -> bool:
        """Whether the plan's own check says that the old side-stand does not do."""
        return new_stand(self.plan)

    @property
    def chain_changes(self) -> bool:
        """Whether the chain's free play is set anew."""
        play = self.consequence("Free play to set")
        return abs((play.planned or 0.0) - (play.stock or 0.0)) > _SAME_PLAY_MM

    def consequence(self, start: str) -> Consequence:
        """The consequence whose label begins so.

        Raises:
            LookupError: the plan has none; what asks for it is out of step with `consequences`.
        """
        for row in self.plan.consequences:
            if row.label.startswith(start):
                return row
        raise LookupError(f"the plan tells nothing of {start!r}")

    def told(self, start: str, label: str = "", decimals: int | None = None) -> Quantity:
        """The planned value of a consequence, under its own label where none is given."""
        row = self.consequence(start)
        value = float("nan") if row.planned is None else row.planned
        digits = row.decimals if decimals is None else decimals
        return Quantity(label or row.label, value, row.kind, digits)

    def change(self, start: str, label: str, decimals: int | None = None) -> Quantity:
        """How much more the planned machine has of a consequence."""
        row = self.consequence(start)
        if row.planned is None or row.stock is None:
            raise LookupError(f"the plan tells no change of {start!r}")
        return Quantity(label, row.planned - row.stock, row.kind, decimals)

    def torque(self, *fasteners: Fastener) -> tuple[TorqueLine, ...]:
        """Lines for torques: quoted where the profile has them, empty otherwise."""
        quoted = {each.fastener: each for each in self.profile.torques}
        return tuple(
            TorqueLine(each, FASTENERS[each], quoted[each].words, quoted[each].source)
            if each in quoted
            else TorqueLine(each, FASTENERS[each])
            for each in fasteners
        )


def fine(label: str, value_mm: float) -> Quantity:
    """A length to a tenth of a millimetre."""
    return Quantity(label, value_mm, Kind.LENGTH, 1)
