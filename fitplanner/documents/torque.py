"""Tightening torques that a profile quotes from the maker's book.

Owns what is tightened and the quotation with its source. Refuses to convert or to compute: a
torque is read off paper as the maker wrote it.
"""

import re
from enum import StrEnum

from pydantic import Field, field_validator

from fitplanner.documents.base import Document
from fitplanner.documents.plain_text import Line


class Fastener(StrEnum):
    """What is tightened in the course of lowering a machine."""

    FRONT_AXLE = "front_axle"
    AXLE_PINCH = "axle_pinch"
    CALIPER = "caliper"
    FORK_CAP = "fork_cap"
    DAMPER_ROD_NUT = "damper_rod_nut"
    UPPER_CLAMP = "upper_clamp"
    LOWER_CLAMP = "lower_clamp"
    SHOCK_TOP = "shock_top"
    SHOCK_BOTTOM = "shock_bottom"
    SHOCK_COLLAR = "shock_collar"
    LINK = "link"
    REAR_AXLE = "rear_axle"
    STAND_PIVOT = "stand_pivot"
    SEAT = "seat"


class Torque(Document):
    """One tightening torque, quoted as the maker's book writes it; nothing computes with it."""

    fastener: Fastener
    words: Line = Field(max_length=40, title="Torque", description="With its unit")
    source: Line = Field(min_length=1, max_length=200, title="Where it stands: book and page")

    @field_validator("words")
    @classmethod
    def _figure_with_unit(cls, words: str) -> str:
        if not re.match(r"\s*\d.*[A-Za-z]", words):
            raise ValueError("give the figure with its unit as the book has it, such as 60 N·m")
        return words
