"""The rules that come with the program, and a shop's own instead of single ones.

Owns the reading of `resources/rules/rules.json` and of the shop's file. A rule that cannot be
used is told with its name, its field and the mend, and the shipped one stays in force.
"""

import json
from functools import cache
from pathlib import Path
from typing import Any, Literal, TypeVar

from pydantic import Field, ValidationError

from fitplanner import paths
from fitplanner.documents import codec
from fitplanner.documents.base import Document
from fitplanner.documents.errors import DocumentError, Problem, from_validation, refusal
from fitplanner.documents.machine import MachineKind
from fitplanner.library.rules.document import OTHERS, RULES, Offers, Rule, RuleFile
from fitplanner.library.rules.rules import Rules

D = TypeVar("D", bound=Document)


def load_rules(shop_file: Path | None = None) -> Rules:
    """The shipped rules, single ones replaced by those of `shop_file` where that exists.

    What cannot be used of the shop's file is in `Rules.broken`.
    """
    shipped = _shipped()
    if shop_file is None or not shop_file.exists():
        return Rules(shipped.rules, _by_kind(shipped))
    broken: list[str] = []
    try:
        with shop_file.open("rb") as file:
            text = codec.decode(file.read(codec.MAX_BYTES + 1))
        given = codec.load(_SHOP, text)
    except OSError as error:
        return _only_shipped(shipped, f"{shop_file}: cannot be read: {error.strerror or error}")
    except DocumentError as error:
        return _only_shipped(shipped, f"{shop_file}: {error}")
    rules = {rule.key: rule for rule in shipped.rules}
    offers = _by_kind(shipped)
    for row, raw in enumerate(given.rules):
        try:
            rules = _with(rules, offers, _checked(Rule, raw, ("rules", row)))
        except ValueError as error:
            broken.append(f'{shop_file.name}, rule "{raw.get("key", row + 1)}": {error}')
    for name, raw in given.offers.items():
        try:
            if name not in [kind.value for kind in MachineKind]:
                raise refusal(f'"{name}" is no kind of machine; take it out')
            offers[MachineKind(name)] = _checked(Offers, raw, ("offers", name))
        except ValueError as error:
            broken.append(f'{shop_file.name}, offers of "{name}": {error}')
    return Rules(rules.values(), offers, tuple(broken))


class _ShopFile(Document):
    """A shop's file before its rules are looked at one by one."""

    format: Literal["fitplanner-rules"] = "fitplanner-rules"
    schema_version: Literal[1] = 1
    rules: list[dict[str, Any]] = Field(default=[])
    offers: dict[str, dict[str, Any]] = Field(default={})


_SHOP = codec.Format(RULES.name, RULES.what, _ShopFile)


@cache
def _shipped() -> RuleFile:
    file = paths.resources() / "rules" / "rules.json"
    return codec.load(RULES, codec.decode(file.read_bytes()))


def _only_shipped(shipped: RuleFile, message: str) -> Rules:
    return Rules(shipped.rules, _by_kind(shipped), (message,))


def _by_kind(file: RuleFile) -> dict[MachineKind, Offers]:
    rest = file.offers.get(OTHERS)
    found = {kind: file.offers.get(kind.value, rest) for kind in MachineKind}
    return {kind: offers for kind, offers in found.items() if offers is not None}


def _checked(model: type[D], raw: Any, path: tuple[str | int, ...]) -> D:
    try:
        return model.model_validate_json(json.dumps(raw))
    except ValidationError as error:
        raise from_validation(model, error, prefix=path) from error


def _with(rules: dict[str, Rule], offers: dict[MachineKind, Offers], rule: Rule) -> dict[str, Rule]:
    """The rules with one replaced, where all of them still go together."""
    shipped = rules.get(rule.key)
    if shipped is None:
        raise DocumentError(
            Problem(("key",), "Key", "no rule has this key; `fitplanner rules` prints all keys")
        )
    if shipped.target != rule.target:
        raise DocumentError(
            Problem(("target",), "Target", f"this rule fills in {shipped.target}; enter that")
        )
    replaced = {**rules, rule.key: rule}
    Rules(replaced.values(), offers)
    return replaced
