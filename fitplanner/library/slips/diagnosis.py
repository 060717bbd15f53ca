"""From what is odd to the slip that most likely explains it.

Owns the search: of all ways in which the odd signs' figures may have been misread, the one that
leaves least that is odd and is least far-fetched. One slip after the other, so that several
are found. Refuses to change a profile: a mend is handed back as data.
"""

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cache
from typing import Any

from pydantic import ValidationError

from fitplanner.documents.base import Figure, Section
from fitplanner.documents.errors import DocumentError
from fitplanner.documents.machine import MachineProfile
from fitplanner.library.rules import Rules, load_rules
from fitplanner.library.slips.finding import Change, Finding, mended, worst_first
from fitplanner.library.slips.joints import joints
from fitplanner.library.slips.leverage import LINKAGE, leverage
from fitplanner.library.slips.misread import (
    TWO_DIGITS,
    Misreading,
    exchanged_digits,
    misreadings,
    mistyped_digits,
)
from fitplanner.library.slips.relations import relations
from fitplanner.library.slips.sign import SPECS, Plain, Rule, Sign, plain
from fitplanner.library.slips.usual import usual

RULES: tuple[Rule, ...] = (usual, relations, leverage, joints)
_MOST_SLIPS = 12
_RIVAL = 4.0
"""How much less likely, as in `Sign.unlikely`, a reading may be that is still worth a sentence."""

_ALIKE = 0.5
"""How much less likely a reading may be that is as likely: then none is offered as the mend."""
_ELSEWHERE = 0.05
"""A reading that puts nearly the same, as ten for a unit of 9.8, is no rival of a mend."""
_MOST_PAIRS = 2
_ASSUMED_ROOM = 2.0

Signs = Callable[[MachineProfile, Plain], Sequence[Sign]]
"""What shows beyond the bare figures, asked only where those are as usual."""


@dataclass(frozen=True)
class _Look:
    """A profile and its signs, with those of the solved machine where it was `solved`.

    `off` are those out of their range that no finding has told yet.
    """

    profile: MachineProfile
    values: dict[str, Any]
    signs: dict[str, Sign]
    told: frozenset[str]
    solved: bool = False

    @property
    def off(self) -> list[Sign]:
        return [each for each in self.signs.values() if each.off and each.name not in self.told]


_Explained = tuple[int, float, Misreading, _Look]


def diagnosed(profile: MachineProfile, further: Signs | None = None) -> tuple[Finding, ...]:
    """Every doubt about the profile, worst first, each with its likely mend where there is one."""
    findings: list[Finding] = []
    told: frozenset[str] = frozenset()
    for _ in range(_MOST_SLIPS):
        look = _look(profile, told, further)
        if not look.off:
            break
        likely = _likely(look, further)
        if likely is None:
            findings += _unexplained(look)
            told |= {sign.name for sign in look.off}
        else:
            finding, profile = likely
            findings.append(finding)
    return worst_first(_once(findings))


def _once(findings: Iterable[Finding]) -> Iterator[Finding]:
    """One finding for each place, the first: what else is odd there shows once it is mended."""
    seen: set[str] = set()
    for finding in findings:
        if finding.key not in seen:
            seen.add(finding.key)
            yield finding


def _look(profile: MachineProfile, told: frozenset[str], further: Signs | None) -> _Look:
    values, fixed = plain(profile), _by_rule(profile)

    def named(signs: Iterable[Sign]) -> dict[str, Sign]:
        return {
            sign.name: _roomy(sign, fixed) for sign in signs if not fixed.issuperset(_typed(sign))
        }

    signs = named(sign for rule in RULES for sign in rule(values))
    bare = _Look(profile, values, signs, told)
    stopped = any(sign.off and sign.severity == "stop" for sign in signs.values())
    if further is None or bare.off or stopped:
        return bare
    return _Look(profile, values, signs | named(further(profile, values)), told, solved=True)


def _typed(sign: Sign) -> list[str]:
    """The figures, and the table, that a sign hangs on; a choice such as the state is neither."""
    return [key for key in sign.of if key in SPECS or key == LINKAGE]


def _roomy(sign: Sign, fixed: set[str]) -> Sign:
    """The sign with twice its spread where it hangs on a figure that is only assumed."""
    assumed = sign.spread and not fixed.isdisjoint(sign.of)
    return replace(sign, spread=_ASSUMED_ROOM * sign.spread) if assumed else sign


def _by_rule(profile: MachineProfile) -> set[str]:
    """Figures that a rule filled in: nobody typed them, so they are no slip by themselves.

    With the leverage factor the table is a rule's too.
    """
    fixed = {
        f"{name}.{key}"
        for name in type(profile).model_fields
        if isinstance(section := getattr(profile, name), Section)
        for key in type(section).model_fields
        if isinstance(figure := getattr(section, key), Figure) and figure.rule
    }
    return fixed | ({LINKAGE} if "rear.leverage_factor" in fixed else set())


def _likely(
    look: _Look, further: Signs | None, *, two: bool = True
) -> tuple[Finding, MachineProfile] | None:
    """The least far-fetched misreading that explains some of what is odd, and the mended one.

    Where another reading of the same figure is about as likely, its sentence follows. With `two`
    a reading of bare figures may leave what the solved machine shows to a second slip.
    """
    fixed = _by_rule(look.profile)
    explain: list[_Explained] = []
    doubtful: list[_Explained] = []
    for reading in _candidates(look, fixed):
        after = None if fixed & reading.values.keys() else _after(look, reading, further)
        if after is not None:
            unlikely = sum(sign.unlikely for sign in after.signs.values())
            clear = not any(_wrong(sign, look, reading) for sign in after.signs.values())
            (explain if clear else doubtful).append(
                (len(after.off), reading.seldom + unlikely, reading, after)
            )
    if not explain and two and not look.solved:
        doubtful.sort(key=lambda each: each[:2])
        nearest = doubtful[:_MOST_PAIRS]
        explain = [each for each in nearest if _likely(each[3], further, two=False)][:1]
    if not explain:
        return None
    explain.sort(key=lambda each: each[:2])
    left, cost, best, after = explain[0]
    rivals = [
        (other_cost, other)
        for other_left, other_cost, other, _ in explain
        if other.key == best.key
        and _differ(other.values, best.values)
        and other_left == left
        and other_cost < cost + _RIVAL
    ]
    said = [best.mend, *(other.mend for _, other in rivals[:1])]
    alike = any(
        other_cost < cost + _ALIKE and _differ(other.values, best.values, _ELSEWHERE)
        for other_cost, other in rivals
    )
    if best.seldom == TWO_DIGITS and _one_digit_fits_better(look, best, cost, further):
        said.append("One wrong digit would explain it better: read the figure again.")
        alike = True
    still = {sign.name for sign in after.off}
    reading = replace(best, mend=" ".join(said))
    finding = _finding(look, reading, [s for s in look.off if s.name not in still])
    if alike:
        # As likely one as the other: both are said, neither is a button.
        finding = replace(finding, changes=(), action="")
    return finding, after.profile


def _one_digit_fits_better(
    look: _Look, best: Misreading, cost: float, further: Signs | None
) -> bool:
    """Whether a figure with one digit mistyped fits better than with two exchanged."""
    for meant in mistyped_digits(look.values, best.key):
        if _differ({best.key: meant}, best.values):
            after = _after(look, replace(best, values={best.key: meant}), further)
            if after is not None and not any(
                _wrong(sign, look, best) for sign in after.signs.values()
            ):
                unlikely = sum(sign.unlikely for sign in after.signs.values())
                if best.seldom + unlikely < cost:
                    return True
    return False


def _differ(one: Mapping[str, object], two: Mapping[str, object], share: float = 0.01) -> bool:
    """Whether two readings put something else; the same within a `share` is no other."""
    if one.keys() != two.keys():
        return True
    return any(
        abs(here / there - 1) > share
        if isinstance(here, float) and isinstance(there, float) and there
        else here != there
        for here, there in ((one[key], two[key]) for key in one)
    )


def _candidates(look: _Look, fixed: set[str]) -> Iterator[Misreading]:
    keys = dict.fromkeys(key for sign in look.off for key in sign.of)
    first = {sign.key for sign in look.off}
    for key in keys:
        if key not in look.values or key in fixed:
            continue
        yield from misreadings(look.values, key)
        if key in first and key in SPECS:
            yield from exchanged_digits(look.values, key)


def _after(look: _Look, reading: Misreading, further: Signs | None) -> _Look | None:
    """The profile as meant, where that clears all odd figures of these and makes no new ones.

    What shows only when solved is not asked here.
    """
    changed, fixed = look.values | reading.values, _by_rule(look.profile)
    for rule in RULES:
        for sign in rule(changed):
            # What hangs on a rule's figure is asked once that is filled in anew.
            if fixed.isdisjoint(sign.of) and _wrong(sign, look, reading):
                return None
    try:
        profile = mended(look.profile, _finding(look, reading, []))
        profile = _shipped_rules().fill(profile) if fixed else profile
    except (ValidationError, DocumentError):
        return None
    return _look(profile, look.told, further)


@cache
def _shipped_rules() -> Rules:
    return load_rules()


def _wrong(sign: Sign, look: _Look, reading: Misreading) -> bool:
    """Whether a sign speaks against a mend: one to be cleared is not, or it is a new one."""
    before = look.signs.get(sign.name)
    if before is not None and before.off and sign.name not in look.told:
        return sign.outside if not reading.values.keys().isdisjoint(sign.of) else False
    return sign.off and sign.name not in look.told


def _finding(look: _Look, reading: Misreading, explained: list[Sign]) -> Finding:
    told = next((sign for sign in explained if sign.key == reading.key), None)
    sign = told or next(iter(explained), None)
    changes = tuple(
        Change(_address(key), _content(look, key, value, reading), reading.read, reading.typed)
        for key, value in reading.values.items()
    )
    return Finding(
        reading.key,
        "stop" if any(each.severity == "stop" for each in explained) else "caution",
        "" if sign is None else _words(sign.text),
        reading.mend,
        changes,
        reading.action,
    )


def _content(look: _Look, key: str, value: object, reading: Misreading) -> object:
    """What to put at `key`: of two exchanged figures the other one, with its spread and source."""
    if len(reading.values) == 2:
        other = next(each for each in reading.values if each != key)
        section, field = _address(other)
        figure = getattr(getattr(look.profile, section), field)
        if isinstance(figure, Figure):
            return figure
    return value


def _unexplained(look: _Look) -> Iterator[Finding]:
    """What is odd, told once: a sign that hangs on a figure which is told already is left out."""
    keys: set[str] = set()
    for sign in sorted(look.off, key=lambda sign: sign.severity != "stop"):
        if keys.isdisjoint(sign.of):
            keys.add(sign.key)
            yield _bare(sign, look)


def _bare(sign: Sign, look: _Look) -> Finding:
    fixed = _by_rule(look.profile)
    free = next(key for key in _typed(sign) if key not in fixed)
    key = sign.key if sign.key not in fixed else free
    return Finding(key, sign.severity, _words(sign.text), _words(sign.mend))


def _words(text: str | Callable[[], str]) -> str:
    return text if isinstance(text, str) else text()


def _address(key: str) -> tuple[str, str]:
    section, _, field = key.partition(".")
    return section, field
