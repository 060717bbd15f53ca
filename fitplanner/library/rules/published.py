"""Rules held to machines of the literature, so that a window can say how far a rule is off.

Owns `resources/rules/published.json`: figures of published machines by their sources, numbers
only. Most are road machines; a set says so. Refuses to correct a rule.
"""

from dataclasses import dataclass
from functools import cache
from typing import Literal

from pydantic import Field, field_validator

from fitplanner import paths
from fitplanner.documents import codec
from fitplanner.documents.base import Document
from fitplanner.documents.machine import (
    CatalogueState,
    LeverageTable,
    LinkagePoints,
    MachineKind,
)
from fitplanner.library.rules.document import Rule, address
from fitplanner.library.rules.value import value_of


class PublishedSet(Document):
    """Figures of one published machine, or means of several, with the nearest kind of machine.

    `given` are figures that rules may rest on but that no rule is held to: a road machine's mass
    says nothing of what is usual among off-road ones.
    """

    citation: str = Field(min_length=1)
    read: str = Field(min_length=1)
    machines: int = Field(default=1, ge=1)
    kind: MachineKind
    given: dict[str, float] = Field(default={})
    figures: dict[str, float] = Field(min_length=1)

    @field_validator("given", "figures")
    @classmethod
    def _of_a_profile(cls, figures: dict[str, float]) -> dict[str, float]:
        for name in figures:
            address(name)
        return figures

    @property
    def state(self) -> CatalogueState:
        """As stated: on its wheels."""
        return CatalogueState.ON_WHEELS

    @property
    def spring_legs(self) -> int:
        """Both."""
        return 2

    @property
    def linkage(self) -> LeverageTable | LinkagePoints:
        """Never published with these sets."""
        raise KeyError("linkage")

    def __call__(self, section: str, key: str) -> float:
        """One figure; `KeyError` where the source has none."""
        return {**self.given, **self.figures}[f"{section}.{key}"]


class PublishedFile(Document):
    """All sets."""

    format: Literal["fitplanner-published"] = "fitplanner-published"
    schema_version: Literal[1] = 1
    sets: list[PublishedSet]


PUBLISHED = codec.Format("fitplanner-published", "file of published machines", PublishedFile)


@dataclass(frozen=True)
class Comparison:
    """What a source has and what the rule gives from the source's other figures."""

    citation: str
    read: str
    machines: int
    published: float
    told: float

    @property
    def off(self) -> float:
        """The rule's value less the published one, in the figure's unit."""
        return self.told - self.published


@dataclass(frozen=True)
class PublishedError:
    """A rule against the literature: the number of machines and how far it is off."""

    comparisons: tuple[Comparison, ...]

    @property
    def machines(self) -> int:
        """How many machines stand behind the comparisons."""
        return sum(each.machines for each in self.comparisons)

    @property
    def mean_off(self) -> float:
        """Mean of rule less published over the machines; the figure's unit."""
        return sum(each.off * each.machines for each in self.comparisons) / self.machines

    @property
    def worst_off(self) -> float:
        """The comparison that is farthest off."""
        return max((each.off for each in self.comparisons), key=abs)


def published_error(rule: Rule) -> PublishedError | None:
    """How far `rule` is off the literature; None where no source has what it takes."""
    found = tuple(
        Comparison(
            each.citation,
            each.read,
            each.machines,
            each.figures[rule.target],
            value_of(rule, each.kind, each),
        )
        for each in _sets()
        if rule.target in each.figures
        and all(".".join(name) in {**each.given, **each.figures} for name in rule.needs())
    )
    return PublishedError(found) if found else None


@cache
def _sets() -> tuple[PublishedSet, ...]:
    file = paths.resources() / "rules" / "published.json"
    return tuple(codec.load(PUBLISHED, codec.decode(file.read_bytes())).sets)
