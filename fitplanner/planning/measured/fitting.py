"""From a job with readings to its fitted machine: the account that a page shows.

Owns `fit`. Refuses to change the job: the corrected profile is handed back to plan on.
"""

from collections.abc import Sequence, Set
from dataclasses import replace

import numpy as np

from fitplanner.documents.base import Figure
from fitplanner.documents.bench import MeasuredState, Place, Reading, Settled, When
from fitplanner.documents.job import Job
from fitplanner.mechanics.arrays import Array
from fitplanner.planning.measured import words
from fitplanner.planning.measured.account import (
    STATES,
    Correction,
    DropChange,
    Fit,
    NextReading,
    ReadingTold,
)
from fitplanner.planning.measured.basis import on_measured
from fitplanner.planning.measured.estimate import (
    Estimate,
    Look,
    estimate,
    look_at,
)
from fitplanner.planning.measured.linear import Flags
from fitplanner.planning.measured.series import STEPS
from fitplanner.planning.measured.tape import Bench, Spot, bench_of, spot_of
from fitplanner.planning.measured.unknowns import (
    corrected,
    machine_unknowns,
)
from fitplanner.planning.plan import STATE_LABELS, Band, Plan
from fitplanner.planning.rider import NORMAL_90
from fitplanner.planning.unknown.figures import Unsure
from fitplanner.planning.unknown.measuring import READINGS

LABELS = tuple(STATE_LABELS[state] for state in STATES)
STRANGE = 0.01
"""Chance below which readings are said to be too far off."""

_AFTER = {Place.OIL_DRAINED: words.OIL_AFTER, Place.STAND_LEAN: words.LEAN_AFTER}
_LEAST_WORTH = 0.02
_STATE_OF = {
    "seat_on_wheels": (Place.SEAT, MeasuredState.ON_WHEELS),
    "free_sag_front": (Place.FRONT_AXLE, MeasuredState.ON_WHEELS),
    "free_sag_rear": (Place.REAR_AXLE, MeasuredState.ON_WHEELS),
    "rider_sag_front": (Place.FRONT_AXLE, MeasuredState.RIDER_UP),
    "rider_sag_rear": (Place.REAR_AXLE, MeasuredState.RIDER_UP),
}
"""Which reading each act of measuring is: of a sag, less the one with the wheel hanging."""


def fit(job: Job, plan: Plan) -> Fit:
    """Fit the machine of a job to the readings taken before the work.

    A measured machine is fitted from what it was before, so its readings count once.
    `plan` is the plan of `job`; its setup is held for the drops.

    Raises:
        IncompleteError: the rider is not known well enough.
        UnsolvableError: figures near the profile's do not go together to a machine.
    """
    bench = bench_of(job, plan)
    readings = [each for each in job.readings if each.when is When.BEFORE]
    why = reasons(readings)
    return told(estimate(bench, readings, used_flags(why), machine_unknowns(bench)), why)


def planned_on(job: Job, found: Fit) -> Job:
    """The job on the machine of `found`, the fit of these very readings; those that do not
    fit are set aside.
    """
    rows = [row for row, each in enumerate(job.readings) if each.when is When.BEFORE]
    wrong = {row for row, each in zip(rows, found.readings, strict=True) if not each.fits}
    return on_measured(job, found.profile, wrong)


def reasons(readings: Sequence[Reading]) -> list[str]:
    """Why each reading is not used; "" where it is."""
    return [
        words.SET_ASIDE
        if each.set_aside
        else _AFTER.get(each.place, "")
        if each.when is When.AFTER
        else ""
        for each in readings
    ]


def told(found: Estimate, why: Sequence[str]) -> Fit:
    """A fit as a page shows it."""
    profile, changes = corrected(
        found.bench.case.ctx.profile,
        found.unknowns,
        found.at,
        found.covariance,
        int(np.count_nonzero(found.used)),
    )
    labels = {each.address: (each.label, each.kind) for each in found.bench.case.figures}
    rows = _readings(found, why)
    start = drop_look(found.bench, found.unknowns, np.zeros(len(found.at)))
    now = drop_look(found.bench, found.unknowns, found.at)
    prior = np.eye(len(found.at))
    return Fit(
        readings=rows,
        corrections=tuple(
            Correction(address, *labels[address], before, after, _band_of(before), _band_of(after))
            for address, (before, after) in changes.items()
        ),
        profile=profile,
        drops=tuple(
            DropChange(state, label, band(start, row, prior), band(now, row, found.covariance))
            for row, (state, label) in enumerate(zip(STATES, LABELS, strict=True))
        ),
        misfits=misfits(found, rows),
        aside=words.set_aside(found.readings),
        told=_told(found, rows),
        next_readings=_next(found, now),
        surprise=found.surprise,
    )


def drop_look(bench: Bench, unknowns: Sequence[Unsure], at: Array) -> Look:
    """Drops in the three states at a point with their slopes."""
    return look_at(unknowns, at, bench.drops)


def band(at: Look, row: int, covariance: Array) -> Band:
    """The 90 % band of one value."""
    half = NORMAL_90 * float(np.sqrt(at.slope[row] @ covariance @ at.slope[row]))
    value = float(at.value[row])
    return Band(value, value - half, value + half)


def _band_of(figure: Figure) -> Band:
    half = NORMAL_90 * figure.spread
    return Band(figure.value, figure.value - half, figure.value + half)


def _readings(found: Estimate, why: Sequence[str]) -> tuple[ReadingTold, ...]:
    named = words.names(found.readings)
    out = {group[0] for group in found.misfits}
    rows = []
    for row, (reading, name) in enumerate(zip(found.readings, named, strict=True)):
        spread, checked = float(found.spread[row]), bool(found.checked[row])
        known = checked or bool(found.used[row])
        shown = float(found.shown[row])
        row_told = ReadingTold(
            reading=reading,
            name=name,
            kind=spot_of(reading).kind,
            spread=spread,
            predicted=shown if known else None,
            residual=reading.value - shown if known else None,
            others=None,
            apart=None,
            standardised=None,
            used=bool(found.used[row]),
            fits=row not in out,
            why=words.LEFT_OUT if row in out else why[row],
        )
        if checked:
            apart, sd = float(found.apart[row]) * spread, float(found.apart_spread[row]) * spread
            middle, half = reading.value - apart, NORMAL_90 * sd
            row_told = replace(
                row_told,
                others=Band(middle, middle - half, middle + half),
                apart=apart,
                standardised=apart / sd,
            )
        rows.append(row_told)
    return tuple(rows)


def misfits(found: Estimate, rows: Sequence[ReadingTold]) -> tuple[str, ...]:
    """One sentence for each reading that does not fit."""
    others = int(np.count_nonzero(found.used))
    return tuple(
        words.misfit(
            rows[group[0]].name,
            float(found.apart[group[0]] * found.spread[group[0]]),
            spot_of(found.readings[group[0]]),
            others,
            [rows[row].name for row in group[1:]],
        )
        for group in found.misfits
    )


def _told(found: Estimate, rows: Sequence[ReadingTold]) -> tuple[str, ...]:
    used = [each for each in rows if each.used]
    said = []
    if not used:
        said.append("There is no reading to fit the machine to: the profile stands as it is.")
    for end, place in (("front", Place.FRONT_AXLE), ("rear", Place.REAR_AXLE)):
        states = {each.reading.state for each in used if each.reading.place is place}
        if len(states) == 1:
            missing = (
                "on its wheels" if MeasuredState.EXTENDED in states else "with the wheel hanging"
            )
            said.append(
                f"One state alone says nothing of the {end} sag: read the {end} axle {missing} too."
            )
    loose = [
        each.name for each in used if each.others is None and each.reading.place in _SAG_PLACES
    ]
    if len(loose) > 0 and len(used) > len(loose):
        said.append(words.unchecked(loose))
    if found.surprise < STRANGE or len(found.misfits) > 1:
        said.append(
            "Together the readings are farther from the profile than spreads allow: look whether "
            "springs, preload or ride height were changed before."
        )
    return tuple(said)


_SAG_PLACES = (Place.SEAT, Place.STAND_LEAN)


def _next(found: Estimate, drops: Look) -> tuple[NextReading, ...]:
    """Acts of measuring not done yet that narrow the drop's band, the most useful first."""
    done = {
        (each.place, each.state)
        for each, used in zip(found.readings, found.used, strict=True)
        if used
    }
    spots, keys = [], []
    for key, (place, state) in _STATE_OF.items():
        hung = (place, MeasuredState.EXTENDED)
        if (place, state) in done and (place is Place.SEAT or hung in done):
            continue
        keys.append(key)
        spots.append(Spot(When.BEFORE, place, state))
        spots.append(
            spots[-1]
            if place is Place.SEAT
            else Spot(When.BEFORE, place, MeasuredState.EXTENDED, Settled.ANYHOW)
        )
    if not keys:
        return ()
    slope = found.look(spots).slope
    stopped, covariance = drops.slope[STATES.index("stopped")], found.covariance
    variance = float(stopped @ covariance @ stopped)
    rows = []
    for row, key in enumerate(keys):
        label, act = READINGS[key]
        single = spots[2 * row] == spots[2 * row + 1]
        along = slope[2 * row] - (0.0 if single else slope[2 * row + 1])
        told_of = float(stopped @ covariance @ along) ** 2
        left = variance - told_of / (act.careful**2 + float(along @ covariance @ along))
        half, after = (NORMAL_90 * float(np.sqrt(max(v, 0.0))) for v in (variance, left))
        if after < half * (1.0 - _LEAST_WORTH):
            place, state = _first(_STATE_OF[key], done)
            rows.append(NextReading(key, label, act.text, place, state, half, after))
    return tuple(sorted(rows, key=lambda each: each.left_mm))


def _first(
    wanted: tuple[Place, MeasuredState], done: Set[tuple[Place, MeasuredState]]
) -> tuple[Place, MeasuredState]:
    """Of a reading and the one with the wheel hanging, what comes first in the series."""
    pair = (wanted, (wanted[0], MeasuredState.EXTENDED))
    return next(
        (step.place, step.state)
        for step in STEPS
        if (step.place, step.state) in pair and (step.place, step.state) not in done
    )


def used_flags(why: Sequence[str]) -> Flags:
    """Readings without a reason against them."""
    return np.array([not each for each in why], dtype=bool)
