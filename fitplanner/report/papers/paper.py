"""What a paper consists of: finished words in blocks, for any page size.

Owns the shapes that every paper shares. Refuses to lay out and to look anything up.
"""

from dataclasses import dataclass
from typing import Literal

Tone = Literal["plain", "strong", "quiet", "caution"]


@dataclass(frozen=True)
class Fact:
    """A label with its finished value."""

    label: str
    value: str


@dataclass(frozen=True)
class Line:
    """A ruled line to write on; `value` where it is known already, `unit` behind it."""

    label: str
    value: str = ""
    unit: str = ""


@dataclass(frozen=True)
class Heading:
    """Begins a part; never stands alone at the bottom of a page."""

    text: str


@dataclass(frozen=True)
class Words:
    """A paragraph."""

    text: str
    tone: Tone = "plain"


@dataclass(frozen=True)
class Task:
    """A box to tick with what belongs to it; never cut by the end of a page."""

    text: str
    ticked: bool = False
    number: str = ""
    mark: str = ""
    facts: tuple[Fact, ...] = ()
    lines: tuple[Line, ...] = ()
    torques: tuple[Line, ...] = ()
    torques_from: str = ""
    cautions: tuple[str, ...] = ()
    tools: str = ""
    noted: str = ""


@dataclass(frozen=True)
class Grid:
    """A table. `right`: columns of figures; the last row is a sum where `total` says so.

    A row is never cut by the end of a page; the heads stand again on the next one.
    """

    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    right: tuple[bool, ...]
    widths: tuple[float, ...]
    total: bool = False


@dataclass(frozen=True)
class Facts:
    """Facts and lines to write on, in two columns."""

    facts: tuple[Fact, ...] = ()
    lines: tuple[Line, ...] = ()


@dataclass(frozen=True)
class Ruled:
    """Room for notes."""

    label: str
    lines: int


@dataclass(frozen=True)
class Picture:
    """The room of the picture before and after; it takes what the page has left."""

    caption: str


Block = Heading | Words | Task | Grid | Facts | Ruled | Picture


@dataclass(frozen=True)
class Paper:
    """One paper. `name` says what it is; `foot` stands at the bottom of every page.

    `one_page`: text gets smaller until all stands on one page.
    """

    name: str
    title: str
    reference: str
    head: tuple[Fact, ...]
    blocks: tuple[Block, ...]
    foot: str = ""
    remark: str = ""
    one_page: bool = False
