"""What the shop's closed jobs say of parts' sizes, as it stood when somebody asked for it.

Owns the shape in which a job keeps it, so that a plan stays the same while the record grows.
Refuses to learn (`planning.measured.shop`) and to apply (`planning.by_shop`).
"""

from pydantic import Field, field_validator, model_validator

from fitplanner.documents.base import Document, first_twice
from fitplanner.documents.machine import MachineKind, WayOffers

_LEAST, _MOST = 0.05, 3.0


class DeliveredShare(Document):
    """How much a way delivered of what physics predicts of it, with its 90 % band.

    1 is as predicted; it is no share of the nominal amount. From `count` jobs.
    """

    way: str
    share: float = Field(ge=_LEAST, le=_MOST)
    low: float = Field(ge=-_MOST, le=_MOST)
    high: float = Field(ge=_LEAST, le=2 * _MOST)
    count: int = Field(ge=1)

    @field_validator("way")
    @classmethod
    def _known(cls, way: str) -> str:
        if way not in WayOffers.model_fields:
            raise ValueError(f"{way!r} is no way to lower; take the row out")
        return way

    @model_validator(mode="after")
    def _ordered(self) -> "DeliveredShare":
        if not self.low <= self.share <= self.high:
            raise ValueError(f"share: {self.share:g} lies outside its own band; ask the shop anew")
        return self


class ShopShares(Document):
    """The shares learned from `jobs` closed jobs on one kind of machine.

    `planned_for`: amounts are chosen so that the seat comes down enough also as those jobs came
    out; else what they say only stands beside the plan.
    """

    kind: MachineKind
    jobs: int = Field(ge=1)
    shares: list[DeliveredShare] = Field(max_length=20)
    planned_for: bool = False

    @field_validator("shares")
    @classmethod
    def _each_way_once(cls, shares: list[DeliveredShare]) -> list[DeliveredShare]:
        twice = first_twice([each.way for each in shares])
        if twice is not None:
            raise ValueError(f"two shares for {twice}; leave one")
        return shares
