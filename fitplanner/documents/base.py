"""What every document shares: frozen, strict, finite, no unknown keys, one validating `replace`.

Owns the `Figure` (a number with its spread and origin) and the field declaration that carries
label, kind of quantity and believable range, from which forms and messages are built. Refuses
to compute anything from the figures.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import Any, Self, TypeVar

from pydantic import (
    BaseModel,
    ConfigDict,
    Field,
    SerializerFunctionWrapHandler,
    ValidationInfo,
    field_validator,
    model_serializer,
)
from pydantic.fields import FieldInfo

from fitplanner.documents.plain_text import Line, Lines
from fitplanner.quantities import Kind, UnitSystem, format_quantity

T = TypeVar("T")


class Document(BaseModel):
    """Base of every document; change one with `replace`, which validates again."""

    model_config = ConfigDict(
        frozen=True, strict=True, extra="forbid", allow_inf_nan=False, str_max_length=2000
    )

    def replace(self, **changes: object) -> Self:
        """Return a copy with `changes`, validated as if it had been read from a file.

        Raises:
            pydantic.ValidationError: a changed value is not acceptable.
        """
        return type(self).model_validate({**self.__dict__, **changes})


def first_twice(values: Sequence[T]) -> T | None:
    """The first of `values` that stands among them more than once."""
    return next((one for one in values if values.count(one) > 1), None)


class Source(StrEnum):
    """Where a figure came from."""

    MAKER = "maker"
    MEASURED = "measured"
    ESTIMATED = "estimated"
    ASSUMED = "assumed"


class Figure(Document):
    """One number of a profile: its value, its spread (one standard deviation), where it is from.

    `origin` completes the source: the day on which it was measured, what it was estimated from.
    `rule` names the rule by which an assumed figure was filled in and may be filled in anew.
    `typed` is the text that the value was read from, with its unit, such as ``36 1/2 in``.
    """

    value: float
    spread: float = Field(default=0.0, ge=0.0)
    source: Source = Source.ASSUMED
    origin: Line = Field(default="", max_length=200)
    rule: Line = Field(default="", max_length=60)
    typed: Line = Field(default="", max_length=60)
    note: Lines = ""

    @model_serializer(mode="wrap")
    def _without_empty_words(self, written: SerializerFunctionWrapHandler) -> dict[str, Any]:
        fields: dict[str, Any] = written(self)
        return {k: v for k, v in fields.items() if v != "" or k not in _SELDOM}


_PART = 0.05
_SELDOM = ("origin", "rule", "typed")


class Quiet(Document):
    """Writes no flag that stands as it usually does, so that files say only what is special."""

    @model_serializer(mode="wrap")
    def _without_usual_flags(self, written: SerializerFunctionWrapHandler) -> dict[str, Any]:
        fields: dict[str, Any] = written(self)
        usual = {key: field.default for key, field in type(self).model_fields.items()}
        return {k: v for k, v in fields.items() if not (isinstance(v, bool) and v is usual[k])}


@dataclass(frozen=True)
class FigureSpec:
    """How a form and a message speak of one figure."""

    key: str
    label: str
    help: str
    kind: Kind
    low: float
    high: float
    optional: bool


_REQUIRED: Any = ...


def figure(
    label: str, kind: Kind, low: float, high: float, help: str = "", *, default: Any = _REQUIRED
) -> Any:
    """Declare a figure with its label, kind and the range in which it is believable at all."""
    extra: dict[str, Any] = {"kind": kind.value, "low": low, "high": high}
    return Field(default=default, title=label, description=help, json_schema_extra=extra)


def spec_of(key: str, field: FieldInfo) -> FigureSpec | None:
    """The specification declared with `figure`, or None for another sort of field."""
    extra = field.json_schema_extra
    if not isinstance(extra, dict) or "kind" not in extra:
        return None
    return FigureSpec(
        key=key,
        label=field.title or key,
        help=field.description or "",
        kind=Kind(str(extra["kind"])),
        low=float(str(extra["low"])),
        high=float(str(extra["high"])),
        optional=not field.is_required() and field.default is None,
    )


class Section(Document):
    """A group of figures; each is held to the range that it was declared with."""

    @classmethod
    def specs(cls) -> Iterator[FigureSpec]:
        """Specifications of the section's figures, in their order."""
        for key, field in cls.model_fields.items():
            spec = spec_of(key, field)
            if spec is not None:
                yield spec

    @field_validator("*")
    @classmethod
    def _within_declared_range(cls, value: object, info: ValidationInfo) -> object:
        spec = spec_of(info.field_name or "", cls.model_fields[info.field_name or ""])
        number = value.value if isinstance(value, Figure) else value
        if spec is None or not isinstance(number, int | float):
            return value
        if not spec.low <= number <= spec.high:
            low, high = (
                format_quantity(each, spec.kind, UnitSystem.METRIC)
                for each in (spec.low, spec.high)
            )
            # Of what was given as much as it takes to recognise it.
            part = spec.kind is Kind.LENGTH and abs(number - round(number)) >= _PART
            shown = format_quantity(
                number, spec.kind, UnitSystem.METRIC, metric_decimals=1 if part else None
            )
            raise ValueError(f"{shown} lies outside {low} to {high}; check the figure and its unit")
        return value
