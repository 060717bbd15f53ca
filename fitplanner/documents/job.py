"""The job: one rider, one machine, one decision.

Owns what is chosen by hand (None leaves the choice to the planner) and the sag windows.
"""

from typing import Literal

from pydantic import Field, model_validator

from fitplanner.documents.base import Document, Section, figure
from fitplanner.documents.bench import Quote, Reading, Stage, Tick, When
from fitplanner.documents.machine import MachineProfile
from fitplanner.documents.rider import Rider
from fitplanner.documents.shop_shares import ShopShares
from fitplanner.quantities import Kind

LENGTH = Kind.LENGTH


class Window(Document):
    """A band of wanted values, low to high."""

    low: float
    high: float

    @model_validator(mode="after")
    def _ordered(self) -> "Window":
        if self.low > self.high:
            raise ValueError(f"window: {self.low:g} is above {self.high:g}; swap them")
        return self

    @property
    def middle(self) -> float:
        """Centre of the window."""
        return (self.low + self.high) / 2


class SagWindows(Document):
    """Sag windows as shares of the remaining travel at the wheel (front: along the fork)."""

    rider_front: Window
    rider_rear: Window
    free_front: Window
    free_rear: Window


class Choices(Section):
    """What the user fixed by hand; None leaves it to the planner."""

    fork_limiter_mm: float | None = figure(
        "Extension limiter, fork", LENGTH, 0, 400, "Length of the spacer", default=None
    )
    shock_limiter_mm: float | None = figure(
        "Extension limiter, shock", LENGTH, 0, 200, "Length of the spacer", default=None
    )
    raised_stanchions_mm: float | None = figure(
        "Stanchions raised in the clamps", LENGTH, 0, 200, default=None
    )
    lower_seat_mm: float | None = figure("Lower seat", LENGTH, 0, 200, default=None)
    shorter_shock_mm: float | None = figure(
        "Shorter shock", LENGTH, 0, 60, "Eye to eye", default=None
    )
    longer_rods_mm: float | None = figure("Longer link rods", LENGTH, 0, 40, default=None)
    narrower_seat_mm: float | None = figure(
        "Seat narrowed where the thighs cross", LENGTH, 0, 150, "Of its width", default=None
    )
    smaller_tyres_mm: float | None = figure(
        "Smaller tyres", LENGTH, 0, 40, "Of the radius, both wheels", default=None
    )
    thicker_sole_mm: float | None = figure("Thicker boot sole", LENGTH, 0, 60, default=None)
    fork_rate_n_mm: float | None = figure(
        "Fork spring rate", Kind.SPRING_RATE, 1, 30, "Of one spring", default=None
    )
    fork_preload_mm: float | None = figure("Fork preload", LENGTH, 0, 120, default=None)
    shock_rate_n_mm: float | None = figure(
        "Shock spring rate", Kind.SPRING_RATE, 5, 350, default=None
    )
    shock_preload_mm: float | None = figure("Shock preload", LENGTH, 0, 120, default=None)
    spare_mm: float = figure(
        "Spare to plan for",
        LENGTH,
        0,
        60,
        "How much lower than just enough the seat shall come: a seat that just reaches does so in "
        "half of all cases only",
        default=0.0,
    )
    pitch_wish_deg: float = figure(
        "Wanted pitch change", Kind.ANGLE, -3, 3, "Nose up counts positive", default=0.0
    )
    fuel_share: float = figure("Fuel in the tank", Kind.PERCENT, 0, 1, default=1.0)
    luggage_front_kg: float = figure("Luggage, front", Kind.MASS, 0, 60, default=0.0)
    luggage_rear_kg: float = figure("Luggage, rear", Kind.MASS, 0, 120, default=0.0)
    feet_share: float = figure(
        "Body weight on the feet, stopped",
        Kind.PERCENT,
        0,
        0.9,
        "Both feet down; an assumption",
        default=0.2,
    )


class Fitted(Document):
    """What the job's machine was fitted from: its profile before, and the readings worked in.

    The readings are without the words typed.
    """

    machine: MachineProfile
    readings: list[Reading] = Field(max_length=200)


class Job(Document):
    """One rider, one machine (its profile kept as planned on), one decision, and its work.

    `reference` is the shop's own number or word for the job. `fitted` where the machine is planned
    on as it was measured, `quote` from the day on which the price was agreed, `shop_shares` where
    somebody asked for what the shop's closed jobs say.
    """

    format: Literal["fitplanner-job"] = "fitplanner-job"
    schema_version: Literal[2] = 2
    title: str = Field(default="", max_length=200)
    note: str = ""
    rider: Rider
    machine: MachineProfile
    choices: Choices = Choices()
    windows: SagWindows | None = None
    reference: str = Field(default="", max_length=40)
    stage: Stage = Stage.ASKED
    readings: list[Reading] = Field(default=[], max_length=200)
    ticks: list[Tick] = Field(default=[], max_length=300)
    fitted: Fitted | None = None
    shop_shares: ShopShares | None = None
    quote: Quote | None = None

    @property
    def measured_after(self) -> bool:
        """Whether a reading that counts was taken after the work."""
        return any(each.when is When.AFTER and not each.set_aside for each in self.readings)

    @property
    def closed(self) -> bool:
        """Whether the work is done and the tape has the last word."""
        return self.stage in (Stage.MEASURED, Stage.HANDED_OVER)

    def planned_on(self) -> "Job":
        """What its plan follows from: without names, remarks, and what happens in the shop."""
        return self.with_shop_of(Job(rider=Rider(), machine=self.machine))

    def with_shop_of(self, other: "Job") -> "Job":
        """This job with the names, remarks and work of another: all that no plan follows from."""
        shop = ("title", "note", "reference", "stage", "readings", "ticks", "fitted", "quote")
        return self.replace(
            **{name: getattr(other, name) for name in shop},
            rider=self.rider.replace(name=other.rider.name, phone=other.rider.phone),
        )
