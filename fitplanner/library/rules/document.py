"""The file of assumption rules: how a figure that nobody knows yet is filled in.

Owns the shape of one rule and what can be said against it by itself. A rule's value is a
constant plus terms, each a coefficient times another figure or a quantity of `derived`; numbers
may differ by kind of machine. Nothing in a file is run or evaluated. Refuses to fill in.
"""

from collections.abc import Iterator
from typing import Annotated, Any, Literal, Self

from pydantic import BeforeValidator, Field, field_validator, model_validator

from fitplanner.documents.base import Document, FigureSpec, Section, first_twice
from fitplanner.documents.codec import Format
from fitplanner.documents.machine import (
    MachineKind,
    MachineProfile,
    SpringOffers,
    StandOffer,
    WayOffers,
)
from fitplanner.library.rules.derived import DERIVED

Address = tuple[str, str]
"""Section and key of a figure, such as ("rear", "travel_mm")."""

OTHERS = "others"
"""The key of a number that holds for all kinds that are not named."""


def figure_specs() -> Iterator[tuple[Address, FigureSpec]]:
    """Every figure of a profile with its declaration, in the profile's order."""
    for name, field in MachineProfile.model_fields.items():
        section = field.annotation
        if isinstance(section, type) and issubclass(section, Section):
            yield from (((name, spec.key), spec) for spec in section.specs())


SPECS: dict[Address, FigureSpec] = dict(figure_specs())
LEVERAGE: Address = ("rear", "leverage_factor")
"""The figure whose rule gives the whole leverage curve too."""
TRAVEL: Address = ("rear", "travel_mm")


def address(text: str) -> Address:
    """The address written as ``section.key``.

    Raises:
        ValueError: a profile has no such figure.
    """
    section, _, key = text.partition(".")
    if (section, key) not in SPECS:
        raise ValueError(
            f'a profile has no figure "{text[:60]}"; write section.key as in a profile, '
            "for example rear.travel_mm"
        )
    return section, key


def _by_kind(value: Any) -> dict[str, Any]:
    """One number for all kinds, or numbers by kind in which none is left out."""
    if isinstance(value, int | float | list):
        return {OTHERS: value}
    if not isinstance(value, dict):
        raise ValueError("must be a number, or numbers by kind of machine in braces")
    kinds = [kind.value for kind in MachineKind]
    stray = next((name for name in value if name not in (*kinds, OTHERS)), None)
    if stray is not None:
        raise ValueError(
            f'"{stray[:40]}" is no kind of machine; choose {", ".join(kinds)} or {OTHERS}'
        )
    missing = [] if OTHERS in value else [kind for kind in kinds if kind not in value]
    if missing:
        raise ValueError(f'nothing is said for {", ".join(missing)}; add it, or "{OTHERS}"')
    return value


Amount = Annotated[
    dict[str, float],
    BeforeValidator(_by_kind, json_schema_input_type=float | dict[str, float]),
]
"""A number, or numbers by kind of machine with ``others`` for the rest."""
Curve = Annotated[
    dict[str, list[float]],
    BeforeValidator(_by_kind, json_schema_input_type=list[float] | dict[str, list[float]]),
]
_NOTHING: dict[str, float] = {OTHERS: 0.0}


class Term(Document):
    """A coefficient times a figure (``section.key``) or a derived quantity with its settings."""

    times: Amount = Field(default={OTHERS: 1.0})
    of: str
    given: dict[str, Amount] = Field(default={})

    @model_validator(mode="after")
    def _known(self) -> Self:
        derived = DERIVED.get(self.of)
        if derived is None:
            if "." not in self.of:
                raise ValueError(
                    f'"{self.of[:40]}" is neither a figure nor one of {", ".join(DERIVED)}'
                )
            if SPECS[address(self.of)].optional:
                raise ValueError(
                    f"{self.of} may be left empty; let the rule rest on another figure"
                )
        settings = derived.settings if derived else ()
        if set(self.given) != set(settings):
            wanted = ", ".join(settings) or "no settings"
            raise ValueError(f"{self.of} takes {wanted}; found {', '.join(self.given) or 'none'}")
        return self

    def needs(self) -> tuple[Address, ...]:
        """The figures that the term rests on."""
        derived = DERIVED.get(self.of)
        return derived.needs if derived else (address(self.of),)


class Rule(Document):
    """How one figure is assumed.

    Value: `constant` plus the sum of `terms`, held between `least` and `most`. One standard
    deviation: `spread` and `share` of the value together, as independent parts. `curve` is the
    leverage at equal steps of the rear wheel's travel, for the leverage alone.
    """

    key: str = Field(pattern=r"^[a-z0-9][a-z0-9-]{0,59}$")
    target: str
    says: str = Field(min_length=1, max_length=300)
    source: str = Field(min_length=1, max_length=400)
    constant: Amount = _NOTHING
    terms: list[Term] = Field(default=[], max_length=8)
    least: Amount | None = None
    most: Amount | None = None
    spread: Amount = _NOTHING
    share: Amount = _NOTHING
    curve: Curve | None = None

    @field_validator("target")
    @classmethod
    def _a_figure(cls, target: str) -> str:
        address(target)
        return target

    @field_validator("spread", "share")
    @classmethod
    def _not_negative(cls, value: dict[str, float]) -> dict[str, float]:
        if any(each < 0 for each in value.values()):
            raise ValueError("a spread is never negative; enter 0 or more")
        return value

    @model_validator(mode="after")
    def _whole(self) -> Self:
        if (self.curve is not None) != (self.address == LEVERAGE):
            raise ValueError("curve: belongs to the leverage's rule, and that rule needs one")
        for ratios in (self.curve or {}).values():
            if len(ratios) < 2 or any(not 0.3 <= each <= 8 for each in ratios):
                raise ValueError("curve: give two leverages or more, each between 0.3 and 8")
        if self.address in self.needs():
            raise ValueError(f"the rule rests on its own figure {self.target}; take it out")
        return self

    @property
    def address(self) -> Address:
        """The figure that the rule fills in."""
        return address(self.target)

    def needs(self) -> tuple[Address, ...]:
        """The figures that it rests on, each once."""
        travel = [TRAVEL] if self.curve is not None else []
        return tuple(dict.fromkeys([*travel, *(n for term in self.terms for n in term.needs())]))


class Offers(Document):
    """Usual offers of one kind of machine: ways, springs and the stand's work."""

    ways: WayOffers
    springs: SpringOffers
    stand_work: StandOffer

    def as_assumed(self) -> Self:
        """The same, each saying that it is assumed."""
        ways = {
            key: offer.replace(assumed=True)
            for key in WayOffers.model_fields
            if (offer := getattr(self.ways, key)) is not None
        }
        springs = {
            end: getattr(self.springs, end).replace(assumed=True)
            for end in SpringOffers.model_fields
        }
        return self.replace(
            ways=self.ways.replace(**ways),
            springs=self.springs.replace(**springs),
            stand_work=self.stand_work.replace(assumed=True),
        )


class RuleFile(Document):
    """Rules by their keys, and usual offers by kind of machine."""

    format: Literal["fitplanner-rules"] = "fitplanner-rules"
    schema_version: Literal[1] = 1
    rules: list[Rule] = Field(default=[], max_length=300)
    offers: dict[str, Offers] = Field(default={})

    @field_validator("rules")
    @classmethod
    def _each_once(cls, rules: list[Rule]) -> list[Rule]:
        twice = first_twice([rule.key for rule in rules])
        if twice is not None:
            raise ValueError(f'two rules are called "{twice}"; leave the one that holds')
        return rules


RULES = Format("fitplanner-rules", "file of rules", RuleFile)


def for_kind(amount: dict[str, Any], kind: MachineKind) -> Any:
    """What is said for a kind of machine."""
    return amount[kind.value] if kind.value in amount else amount[OTHERS]
