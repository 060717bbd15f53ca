"""Owns the words for what differs between two profiles: which entry, and what stands on each side.

Values are as exact as they can be typed, so that two that differ never look alike. Refuses to
compare: `library.compare_profiles` does.
"""

from PySide6.QtCore import QCoreApplication

from fitplanner.documents.base import Figure, FigureSpec
from fitplanner.documents.machine import (
    LeverageTable,
    LinkagePoints,
    SpringOffer,
    StandOffer,
    WayOffer,
)
from fitplanner.documents.torque import Torque
from fitplanner.library.compare_profiles import VALUE, Entry
from fitplanner.planning.common_figures import CommonFigures
from fitplanner.planning.plan import WayId
from fitplanner.quantities import Kind, display_unit
from fitplanner.ui import texts
from fitplanner.ui.panels.section import section_title
from fitplanner.ui.shop.words import NOTHING, written
from fitplanner.ui.widgets.figures import ARROW, Figures

_RATIO = FigureSpec("", "", "", Kind.RATIO, 0.0, 0.0, optional=False)
_LENGTH = FigureSpec("", "", "", Kind.LENGTH, 0.0, 0.0, optional=False)
_ROWS_SHOWN = 4


def group_words(entry: Entry) -> str:
    """The section that an entry belongs to."""
    return section_title(str(entry.address[0])) if len(entry.address) > 1 else _tr("Machine")


def entry_words(entry: Entry) -> str:
    """What an entry is called within its section."""
    if entry.address[0] == "ways":
        return texts.label(WayId(str(entry.address[1])))
    return _tr(entry.label)


def side_words(entry: Entry, figures: Figures) -> tuple[str, str]:
    """What stands on each side."""
    mine, theirs = (_words(entry, value, figures) for value in (entry.mine, entry.theirs))
    if mine == theirs and entry.differs:
        mine, theirs = (_apart(entry, value, figures) for value in (entry.mine, entry.theirs))
    return mine, theirs


def effect_words(mine: CommonFigures | None, theirs: CommonFigures | None, figures: Figures) -> str:
    """What the difference means to a common rider, in one sentence."""
    if mine is None or theirs is None:
        which = [
            words
            for found, words in ((mine, _tr("the left one")), (theirs, _tr("the right one")))
            if found is None
        ]
        return _tr("No machine can be built from the figures of {which}.").format(
            which=_tr(" and ").join(which)
        )
    rows = (
        (_tr("seat on its wheels"), mine.seat_on_wheels_mm, theirs.seat_on_wheels_mm),
        (_tr("stopped"), mine.seat_stopped_mm, theirs.seat_stopped_mm),
        (_tr("fork sag"), mine.fork_rider_sag_mm, theirs.fork_rider_sag_mm),
        (_tr("rear sag"), mine.rear_rider_sag_mm, theirs.rear_rider_sag_mm),
        (_tr("to come down"), mine.drop_mm, theirs.drop_mm),
    )
    changes = [
        f"{name} {figures.change(one, other)}"
        for name, one, other in rows
        if figures.bare(one) != figures.bare(other)
    ]
    if not changes:
        return _tr("For a common rider nothing changes that a tape would show.")
    return _tr("For a common rider: {changes}.").format(changes="; ".join(changes))


def _words(entry: Entry, value: object, figures: Figures) -> str:
    if isinstance(value, Figure):
        return _figure(entry, value, figures)
    if isinstance(value, WayOffer | SpringOffer | StandOffer):
        said = _offer(value, figures)
        return said + _tr(", assumed") if value.assumed else said
    if isinstance(value, Torque):
        return f"{value.words}, {value.source}"
    if isinstance(value, LeverageTable):
        return _tr("table of {n} rows, {first} {arrow} {last}").format(
            n=len(value.leverage),
            first=_number(value.leverage[0], figures),
            arrow=ARROW,
            last=_number(value.leverage[-1], figures),
        )
    if isinstance(value, LinkagePoints):
        return _tr("joints: {layout}").format(layout=value.layout.replace("_", " "))
    return written(value, entry.spec, figures)


def _offer(value: WayOffer | SpringOffer | StandOffer, figures: Figures) -> str:
    if isinstance(value, WayOffer):
        words = _tr("up to {most} in steps of {step}; {hours} h, parts {parts}").format(
            most=written(value.maximum_mm, _LENGTH, figures),
            step=written(value.step_mm, _LENGTH, figures),
            hours=_number(value.hours, figures),
            parts=_number(value.parts, figures),
        )
        return f"{words}; {value.note}" if value.note else words
    if isinstance(value, SpringOffer):
        return _tr("{hours} h, preload alone {preload} h, parts {parts}").format(
            hours=_number(value.hours, figures),
            preload=_number(value.preload_hours, figures),
            parts=_number(value.parts, figures),
        )
    return _tr("{hours} h, parts {parts}").format(
        hours=_number(value.hours, figures), parts=_number(value.parts, figures)
    )


def _figure(entry: Entry, value: Figure, figures: Figures) -> str:
    """Value, spread and source; of the rest what tells the two apart."""
    words = written(value, entry.spec, figures)
    for part in ("origin", "note"):
        if part in entry.parts and (said := getattr(value, part)):
            words += f"; {said}"
    if "typed" in entry.parts and value.typed and value.typed not in words:
        words += "; " + _tr("typed as {text}").format(text=value.typed)
    return words


def _apart(entry: Entry, value: object, figures: Figures) -> str:
    """Two sides whose short words are the same: what tells them apart."""
    if isinstance(value, Figure):
        if VALUE in entry.parts:
            return f"{written(value, entry.spec, figures)} ({_exact(entry, value, figures)})"
        said = value.typed or value.rule or value.note or value.origin
        return f"{written(value, entry.spec, figures)} ({said or NOTHING})"
    if isinstance(value, LeverageTable):
        other = entry.theirs if value is entry.mine else entry.mine
        return _rows_apart(value, other, figures)
    if isinstance(value, LinkagePoints):
        joints = (getattr(value, key) for key in LinkagePoints.model_fields if key != "layout")
        return "; ".join(
            " / ".join(written(axis, _LENGTH, figures) for axis in joint)
            for joint in joints
            if joint is not None
        )
    return written(value, entry.spec, figures)


def _exact(entry: Entry, value: Figure, figures: Figures) -> str:
    """Every digit, for two that differ by less than anybody types."""
    kind = Kind.RATIO if entry.spec is None else entry.spec.kind
    number = repr(value.value / display_unit(kind, figures.system).factor)
    return f"{number.replace('.', figures.decimal_mark)} {figures.unit(kind)}".strip()


def _rows_apart(table: LeverageTable, other: LeverageTable, figures: Figures) -> str:
    rows = list(zip(table.wheel_travel_mm, table.leverage, strict=True))
    others = set(zip(other.wheel_travel_mm, other.leverage, strict=True))
    apart = [row for row in rows if row not in others]
    shown = [
        f"{written(travel, _LENGTH, figures)}: {_number(leverage, figures)}"
        for travel, leverage in apart[:_ROWS_SHOWN]
    ]
    if len(apart) > _ROWS_SHOWN:
        shown.append(_tr("and {n} rows more").format(n=len(apart) - _ROWS_SHOWN))
    return "; ".join(shown) or NOTHING


def _number(value: float, figures: Figures) -> str:
    return written(value, _RATIO, figures)


def _tr(text: str) -> str:
    return QCoreApplication.translate("ProfileWords", text)
