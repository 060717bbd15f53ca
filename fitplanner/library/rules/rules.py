"""Filling in what nobody knows yet: every figure with a rule, from the figures that are known.

Owns the order in which rules rest on each other and the spread of what they give: the rule's
own and that of the figures it rests on, as independent parts to first order. Pure. Refuses files.
"""

from collections.abc import Iterable, Mapping
from graphlib import CycleError, TopologicalSorter
from math import hypot

from pydantic import ValidationError

from fitplanner.documents.base import Document, Figure, FigureSpec, Section, Source
from fitplanner.documents.errors import DocumentError, from_validation, refusal
from fitplanner.documents.machine import (
    CatalogueState,
    EngineShape,
    LeverageTable,
    LinkagePoints,
    MachineKind,
    MachineProfile,
)
from fitplanner.library.rules.document import (
    LEVERAGE,
    SPECS,
    TRAVEL,
    Address,
    Offers,
    Rule,
    for_kind,
)
from fitplanner.library.rules.value import value_of


class Rules:
    """One rule for each figure that can be assumed, and usual offers by kind of machine.

    Raises:
        ValueError: two rules for one figure, a figure of every profile without a rule, or rules
            that rest on each other in a circle.
    """

    def __init__(
        self,
        rules: Iterable[Rule],
        offers: Mapping[MachineKind, Offers],
        broken: tuple[str, ...] = (),
    ) -> None:
        self._by_address: dict[Address, Rule] = {}
        for rule in rules:
            if rule.address in self._by_address:
                raise ValueError(f"two rules fill in {rule.target}; leave one")
            self._by_address[rule.address] = rule
        bare = [f"{s}.{k}" for (s, k), spec in SPECS.items() if not self._has(s, k, spec)]
        if bare:
            raise ValueError(f"no rule fills in {', '.join(bare)}; add one for each")
        without = [kind.value for kind in MachineKind if kind not in offers]
        if without:
            raise ValueError(f"no usual offers for {', '.join(without)}; add them")
        self._offers = {kind: each.as_assumed() for kind, each in offers.items()}
        self._order = _in_order(self._by_address)
        self.broken = broken
        """What was wrong in a shop's own file, ready to be shown; those rules are as shipped."""

    def _has(self, section: str, key: str, spec: FigureSpec) -> bool:
        return spec.optional or (section, key) in self._by_address

    @property
    def rules(self) -> tuple[Rule, ...]:
        """All rules in the order of a profile's figures."""
        return tuple(self._by_address[each] for each in SPECS if each in self._by_address)

    @property
    def offers(self) -> Mapping[MachineKind, Offers]:
        """Usual ways, springs and stand work."""
        return self._offers

    def for_(self, address: Address) -> Rule | None:
        """The rule that fills in a figure; None for an optional one that has none."""
        return self._by_address.get(address)

    def fill(self, profile: MachineProfile) -> MachineProfile:
        """The profile with every figure that carries a rule computed anew from the others.

        Known figures, and optional ones left empty, stay as they are. Where the leverage factor
        carries a rule, the leverage table is the rule's too. Idempotent.

        Raises:
            DocumentError: the known figures contradict each other; the message names them.
        """
        draft = _Draft(profile)
        for address in self._order:
            standing = draft.figures.get(address)
            if standing is not None and standing.rule:
                draft.put(address, self._by_address[address])
        return draft.finished()

    def assumed(self, profile: MachineProfile, address: Address) -> Figure | None:
        """What stands at `address` if it is not known; None for an optional figure without a rule.

        For the leverage factor its spread goes with the rule's table, which `fill` puts in.
        """
        rule = self._by_address.get(address)
        if rule is None:
            return None
        draft = _Draft(profile)
        draft.put(address, rule)
        return draft.figures[address]

    def new_profile(
        self, *, id: str, name: str, kind: MachineKind, engine: EngineShape
    ) -> MachineProfile:
        """A complete profile of a kind in which every figure is assumed.

        Raises:
            DocumentError: the id or the name is not acceptable.
        """
        sections: dict[str, dict[str, object]] = {}
        for (section, key), spec in SPECS.items():
            rule = self._by_address.get((section, key))
            # A first value within range; the rules replace it in their order.
            first = rule and Figure(value=(spec.low + spec.high) / 2, rule=rule.key)
            sections.setdefault(section, {})[key] = first
        sections["rear"]["linkage"] = LeverageTable(
            wheel_travel_mm=[0.0, SPECS["rear", "travel_mm"].high], leverage=[3.0, 2.5]
        )
        offers = self._offers[kind]
        fields = {
            **sections,
            "ways": offers.ways,
            "springs": offers.springs,
            "stand_work": offers.stand_work,
        }
        try:
            profile = MachineProfile.model_validate(
                {"id": id, "name": name, "kind": kind, "engine": engine, **fields}
            )
        except ValidationError as error:
            raise from_validation(MachineProfile, error) from error
        return self.fill(profile)


def _in_order(rules: Mapping[Address, Rule]) -> tuple[Address, ...]:
    graph = {address: set(rule.needs()) & rules.keys() for address, rule in rules.items()}
    try:
        return tuple(TopologicalSorter(graph).static_order())
    except CycleError as error:
        circle = " from ".join(".".join(each) for each in error.args[1])
        raise ValueError(
            f"rules rest on each other in a circle: {circle}; let one of them rest on others"
        ) from error


class _Draft:
    """A profile's figures, some replaced; reads as the figures that a derived quantity knows."""

    def __init__(self, profile: MachineProfile) -> None:
        self.profile = profile
        self.figures: dict[Address, Figure] = {}
        for section, key in SPECS:
            figure = getattr(getattr(profile, section), key)
            if isinstance(figure, Figure):
                self.figures[section, key] = figure
        self.linkage: LeverageTable | LinkagePoints = profile.rear.linkage
        self._moved: dict[Address, float] = {}

    @property
    def state(self) -> CatalogueState:
        return self.profile.catalogue.state

    @property
    def spring_legs(self) -> int:
        return self.profile.fork.spring_legs

    def __call__(self, section: str, key: str) -> float:
        if (section, key) in self._moved:
            return self._moved[section, key]
        figure = self.figures.get((section, key))
        return float("inf") if figure is None else figure.value

    def put(self, address: Address, rule: Rule) -> None:
        """Set the figure at `address` to what `rule` gives."""
        kind, spec = self.profile.kind, SPECS[address]
        if rule.curve is not None:
            self.linkage = _table(for_kind(rule.curve, kind), self("rear", "travel_mm"))
        value = self._value(rule)
        own = hypot(for_kind(rule.spread, kind), for_kind(rule.share, kind) * value)
        others = [self._effect(rule, each, value) for each in rule.needs()]
        spread = min(hypot(own, *others), spec.high - spec.low)
        # No more digits than a rule has; filling in again starts from the rounded figures.
        self.figures[address] = Figure(
            value=min(max(_rounded(value, 4), spec.low), self._most(address)),
            spread=_rounded(spread, 2),
            source=Source.ASSUMED,
            rule=rule.key,
            note=f"rule: {rule.says}",
        )

    def _most(self, address: Address) -> float:
        """The declared range's end; a travel ends where a known leverage table does."""
        table, known = self.linkage, not self.figures[LEVERAGE].rule
        if address == TRAVEL and known and isinstance(table, LeverageTable):
            return min(table.wheel_travel_mm[-1], SPECS[address].high)
        return SPECS[address].high

    def _value(self, rule: Rule) -> float:
        try:
            return value_of(rule, self.profile.kind, self)
        except ValueError as error:
            raise refusal(str(error), label=SPECS[rule.address].label, path=rule.address) from error

    def _effect(self, rule: Rule, address: Address, value: float) -> float:
        """How far the value moves with one standard deviation of a figure that it rests on."""
        figure = self.figures.get(address)
        if figure is None or figure.spread == 0:
            return 0.0
        self._moved = {address: min(figure.value + figure.spread, SPECS[address].high)}
        try:
            return self._value(rule) - value
        except DocumentError:  # a linkage that does not go together there; its own value stands
            return 0.0
        finally:
            self._moved = {}

    def finished(self) -> MachineProfile:
        """The profile with all figures in place."""
        changed: dict[str, Document] = {}
        try:
            for name in {section for section, _ in self.figures}:
                part: Section = getattr(self.profile, name)
                new: dict[str, object] = {
                    key: figure
                    for (section, key), figure in self.figures.items()
                    if section == name
                }
                if name == LEVERAGE[0]:
                    new["linkage"] = self.linkage
                changed[name] = part.replace(**new)
            return self.profile.replace(**changed)
        except ValidationError as error:
            raise from_validation(MachineProfile, error) from error


def _rounded(value: float, digits: int) -> float:
    """To so many significant digits."""
    return float(f"{value:.{digits}g}")


def _table(leverage: list[float], travel_mm: float) -> LeverageTable:
    steps = len(leverage) - 1
    rows = [round(travel_mm * row / steps, 1) for row in range(steps)]
    return LeverageTable(wheel_travel_mm=[*rows, travel_mm], leverage=leverage)
