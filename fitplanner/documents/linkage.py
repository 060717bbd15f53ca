"""The rear linkage of a profile: its leverage in a table, or its joints.

Owns the shape of both; lengths in mm. Refuses any computation: whether joints go together only
the solved machine shows.
"""

from itertools import pairwise
from typing import Annotated, Any, Literal

from pydantic import Field, SerializerFunctionWrapHandler, model_serializer, model_validator

from fitplanner.documents.base import Document


class LeverageTable(Document):
    """Leverage measured or stated at points of wheel travel.

    Where it was found from readings, `read_wheel_mm` and `read_shock_mm` keep what was read, row
    by row as it was read, both counted from hanging.
    """

    layout: Literal["table"] = "table"
    wheel_travel_mm: list[float] = Field(min_length=2, max_length=200)
    leverage: list[float] = Field(min_length=2, max_length=200)
    read_wheel_mm: list[float] = Field(default=[], max_length=200, title="Readings of wheel travel")
    read_shock_mm: list[float] = Field(default=[], max_length=200, title="Readings of shock travel")

    @model_validator(mode="after")
    def _consistent(self) -> "LeverageTable":
        y = self.wheel_travel_mm
        if len(y) != len(self.leverage):
            raise ValueError("leverage: give one leverage for each wheel travel")
        if y[0] != 0 or any(b <= a for a, b in pairwise(y)):
            raise ValueError("leverage: wheel travel starts at 0 and rises from row to row")
        if any(not 0.3 <= r <= 8 for r in self.leverage):
            raise ValueError(
                "leverage: each lies between 0.3 and 8 (wheel travel per shock travel)"
            )
        if len(self.read_wheel_mm) != len(self.read_shock_mm):
            raise ValueError("leverage readings: give one shock travel for each wheel travel")
        return self

    @model_serializer(mode="wrap")
    def _without_empty_readings(self, written: SerializerFunctionWrapHandler) -> dict[str, Any]:
        fields: dict[str, Any] = written(self)
        return {k: v for k, v in fields.items() if v != [] or not k.startswith("read_")}


Point = Annotated[list[float], Field(min_length=2, max_length=2)]


class LinkagePoints(Document):
    """Rear linkage from its joints, as they stand at full extension.

    Each joint is (x forward, z up) from the swing-arm pivot, in mm. `direct` has the shock
    between `frame_eye_mm` and `arm_point_mm`. With a rocker, `rocker_on_frame` pivots at
    `frame_point_mm` and its rod goes to `arm_point_mm`; `rocker_on_arm` the other way round;
    rod and shock meet the rocker at `rod_joint_mm` and `shock_joint_mm`.
    """

    layout: Literal["direct", "rocker_on_frame", "rocker_on_arm"]
    frame_eye_mm: Point = Field(title="Shock's eye on the frame")
    arm_point_mm: Point = Field(title="Linkage joint on the swing-arm")
    frame_point_mm: Point | None = Field(default=None, title="Linkage joint on the frame")
    rod_joint_mm: Point | None = Field(default=None, title="Rod's end on the rocker")
    shock_joint_mm: Point | None = Field(default=None, title="Shock's eye on the rocker")

    @model_validator(mode="after")
    def _complete(self) -> "LinkagePoints":
        rocker = (self.frame_point_mm, self.rod_joint_mm, self.shock_joint_mm)
        if self.layout != "direct" and any(point is None for point in rocker):
            raise ValueError(
                "linkage: a rocker needs its pivot or rod end on the frame, "
                "the rod's joint and the shock's joint"
            )
        return self
