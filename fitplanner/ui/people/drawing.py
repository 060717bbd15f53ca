"""Owns the step from an answer to what the chart draws: letters, pieces of lines, the rider.

Refuses to paint.
"""

from collections.abc import Collection
from math import isfinite

import numpy as np
from PySide6.QtCore import QCoreApplication

from fitplanner.body.inside_leg import estimate_inside_leg
from fitplanner.body.survey import Population
from fitplanner.documents.rider import Rider
from fitplanner.planning.people.crowd import GROUPS, bodies_of
from fitplanner.planning.people.setups import Sort
from fitplanner.planning.people.shares import LINE_MM, Found, Row
from fitplanner.planning.rider import NORMAL_90
from fitplanner.ui.people.chart import Chart, Group, Person, Reach
from fitplanner.ui.widgets.figures import Figures

OUTLINES = (0.5, 0.9)
"""Shares of a group within its lines, from the inner to the outer."""

FINE_MM = np.linspace(LINE_MM[0], LINE_MM[-1], 301)


def tr(text: str) -> str:
    """Words of this window in the user's language."""
    return QCoreApplication.translate("People", text)


def letters(found: Found) -> dict[str, str]:
    """A letter for each setup by its key, in the order of the rows."""
    return {row.candidate.key: chr(ord("A") + at) for at, row in enumerate(found.rows)}


def chart_of(
    found: Found, ticked: Collection[str], picked: str, rider: Rider, figures: Figures
) -> Chart:
    """The chart of an answer; `ticked` and `picked` are keys of setups."""
    names = letters(found)
    customers = found.question.customers
    groups = []
    for group in GROUPS:
        bodies = bodies_of(customers, group)
        words = tr("women") if group is Population.WOMEN else tr("men")
        outlines = [bodies.outline(share) for share in OUTLINES]
        groups.append(Group(group.value, words, bodies.middle[:2], outlines))
    rows = [row for row in found.rows if row.candidate.key in {*ticked, picked}]
    lines = [
        Reach(
            letter=names[row.candidate.key],
            pieces=_pieces(found, row),
            stock=row.candidate.sort is Sort.STOCK,
            picked=row.candidate.key == picked,
            half_mm=NORMAL_90 * row.spread_mm,
        )
        for row in rows
    ]
    return Chart(
        groups=groups,
        lines=lines,
        person=_person(rider, next((row for row in rows if row.candidate.key == picked), None)),
        x=figures.headed(tr("Stature, barefoot")),
        y=figures.headed(tr("Inside leg, barefoot")),
        above=tr("Who lies above a line reaches"),
    )


def _pieces(found: Found, row: Row) -> list[tuple[np.ndarray, np.ndarray]]:
    """The line of each group where statures are nearer to its middle than to the other's."""
    middles = [bodies_of(found.question.customers, group).middle[0] for group in GROUPS]
    nearest = np.argmin(np.abs(FINE_MM[:, None] - middles), axis=1)
    pieces = []
    for at, group in enumerate(GROUPS):
        here = FINE_MM[nearest == at]
        pieces.append((here, np.interp(here, LINE_MM, row.line_mm[group])))
    return pieces


def _person(rider: Rider, picked: Row | None) -> Person | None:
    """The rider of the job, where both figures are known; the leg may be estimated."""
    if rider.stature_mm is None:
        return None
    leg, spread = rider.inside_leg_mm, rider.inside_leg_spread_mm
    if leg is None:
        estimate = estimate_inside_leg(rider.stature_mm, rider.population)
        leg, spread = float(estimate.value_mm), float(estimate.standard_error_mm)
    half = NORMAL_90 * spread
    own = None if picked is None else picked.own
    needed = own.leg_mm if own is not None and isfinite(own.leg_mm) else None
    words = "" if needed is None else tr("the rider needs")
    return Person(tr("rider"), rider.stature_mm, leg, leg - half, leg + half, needed, words)
