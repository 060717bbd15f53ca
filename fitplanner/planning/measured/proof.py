"""After the work: delivered against predicted.

Owns the proof that closes a job. What was predicted comes from the machine fitted to the readings
before the work; what was delivered from the tape, or from the machine fitted to all readings, in
which the parts may have come out a little other than planned. Refuses to close on its own.
"""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from fitplanner.documents.bench import MeasuredState, Place, Reading, When
from fitplanner.documents.job import Choices, Job
from fitplanner.documents.machine import MachineProfile
from fitplanner.planning.checks.standing import OLD_STAND, needs_new_stand
from fitplanner.planning.evaluate import evaluate
from fitplanner.planning.measured import words
from fitplanner.planning.measured.account import (
    STATES,
    AsBuilt,
    Closed,
    DropProof,
    LeanProof,
    Proof,
    ReadingProof,
    WayResult,
)
from fitplanner.planning.measured.estimate import Estimate, Look, estimate, spreads, surprise_of
from fitplanner.planning.measured.fitting import (
    LABELS,
    STRANGE,
    band,
    drop_look,
    reasons,
    told,
    used_flags,
)
from fitplanner.planning.measured.linear import Flags
from fitplanner.planning.measured.tape import BUILT, STAND_LENGTH, Bench, bench_of, spot_of
from fitplanner.planning.measured.unknowns import built_unknowns, machine_unknowns
from fitplanner.planning.plan import Band, Check, Plan, WayId
from fitplanner.planning.resolve import Values
from fitplanner.planning.rider import NORMAL_90
from fitplanner.planning.setup import with_own_springs

LEANS_AGREE_DEG = 1.0
"""Three readings of a lean lie within this: SAE J1101."""

LEAN_RESTORED_DEG = 2.0
"""Of the lean before, as the check of the old side-stand has it: common practice, no source."""

_UNKNOWN_MM = 40.0
_TOLD_NOTHING = 0.98


def proof(job: Job, plan: Plan) -> Proof:
    """The work of a job against `plan`, the plan of `job` that was carried out.

    Raises:
        IncompleteError: the rider is not known well enough.
        UnsolvableError: no machine can be built from the fitted figures.
    """
    bench = bench_of(job, plan)
    machine = machine_unknowns(bench)
    readings = list(job.readings)
    why = reasons(readings)
    rows = [row for row, each in enumerate(readings) if each.when is When.BEFORE]
    before = estimate(
        bench,
        [readings[row] for row in rows],
        used_flags([why[row] for row in rows]),
        (*machine, *built_unknowns(bench)),
    )
    usable = used_flags(why)
    # Parts that are wrong altogether must not make right readings look wrong.
    loose = _after(before, readings, usable)[1] < STRANGE
    found = estimate(bench, readings, usable, (*machine, *built_unknowns(bench, loose=loose)))
    account = told(found, why)
    parts = _parts(found)
    lean = _lean(plan, readings)
    as_built = evaluate(job_as_built(job, bench, account.profile, parts))
    held = {each.key for each in plan.checks if each.holds}
    # A plan takes what is in for exact; the readings leave parts and machine open together.
    modelled = drop_look(found.bench, found.unknowns, found.at)
    as_built = replace(
        as_built,
        delivered=replace(as_built.delivered, on_wheels_mm=band(modelled, 0, found.covariance)),
        checks=tuple(
            check
            for check in as_built.checks
            # A stand that restores the lean is not the old one any more.
            if not (lean.restored and check.key == OLD_STAND)
            and not (check.key in held and _untold(check, parts))
        ),
    )
    drops = _drops(plan, before, found, modelled)
    compared, surprise = _after(before, readings, found.used)
    wrong = [each.reading for each in account.readings if not each.fits]
    compared = tuple(replace(each, fits=each.reading not in wrong) for each in compared)
    return Proof(
        readings=compared,
        drops=drops,
        lean=lean,
        parts=parts,
        as_built=as_built,
        misfits=account.misfits,
        tell=words.tell(drops, lean, plan, as_built, strange=surprise < STRANGE)
        if any(each.when is When.AFTER and not each.set_aside for each in readings)
        else (words.NOTHING_AFTER,),
        look_at=words.look_at(
            drops,
            [each.label for each in _off(parts)],
            wrong + [each.reading for each in compared if each.inside is False],
        ),
        complete=drops[0].on_tape,
        surprise=surprise,
        fit=account,
    )


def closed(job: Job, proved: Proof) -> Closed:
    """A proved job in plain figures, for what the shop learns."""
    drop = proved.drop("on_wheels")
    return Closed(
        reference=job.reference,
        kind=job.machine.kind,
        predicted_mm=drop.predicted.value,
        delivered_mm=drop.delivered.value,
        ways=tuple(
            WayResult(
                part.way, part.planned, part.free / part.planned, part.free_spread / part.planned
            )
            for part in proved.parts
            if part.way is not None and part.free is not None and part.free_spread is not None
        ),
    )


def _parts(found: Estimate) -> tuple[AsBuilt, ...]:
    rows = []
    for row, each in enumerate(found.unknowns):
        if each.address[0] != BUILT or each.address == STAND_LENGTH:
            continue
        left, at = float(found.covariance[row, row]), float(found.at[row])
        value, half = each.value + at * each.spread, NORMAL_90 * np.sqrt(left) * each.spread
        free = free_spread = None
        if left < _TOLD_NOTHING:
            # What is known less what was assumed beforehand: precisions take away.
            alone = 1.0 / left - 1.0
            free = each.value + each.spread * at / left / alone
            free_spread = float(each.spread / np.sqrt(alone))
        key = each.address[1].removesuffix("_mm")
        rows.append(
            AsBuilt(
                address=each.address,
                label=each.label,
                kind=each.kind,
                planned=each.value,
                band=Band(value, float(value - half), float(value + half)),
                free=free,
                free_spread=free_spread,
                way=WayId(key) if key in set(WayId) else None,
            )
        )
    return tuple(rows)


def _off(parts: Sequence[AsBuilt]) -> list[AsBuilt]:
    """Parts of which the readings alone say that they are not as planned, the farthest first."""

    def far(part: AsBuilt) -> float:
        if part.free is None or not part.free_spread:
            return 0.0
        return abs(part.free - part.planned) / part.free_spread

    return sorted((each for each in parts if far(each) > NORMAL_90), key=far, reverse=True)


def _untold(check: Check, parts: Sequence[AsBuilt]) -> bool:
    """Whether a check of a part's own size fails by no more than the readings leave open.

    A part that was planned within what the machine accepts, and by the tape may still be, counts
    as such; its size elsewhere stays what the readings say.
    """
    for part in parts:
        name = part.address[1].removesuffix("_mm").replace("_preload", "-preload")
        if check.key in (name, f"{name}-offered"):
            return not check.holds and part.band.low <= check.limit <= part.band.high
    return False


def job_as_built(job: Job, bench: Bench, profile: MachineProfile, parts: Sequence[AsBuilt]) -> Job:
    """The job on the fitted machine, every amount, rate and preload fixed by hand as it is in."""
    own = {
        (section, key): np.array(getattr(getattr(profile, section), key).value)
        for section in ("fork", "rear")
        for key in ("spring_rate_n_mm", "preload_mm")
    }
    setup = with_own_springs(bench.case.planned, Values(job.machine, own))
    amounts = {name: float(value) for name, value in setup.__dict__.items()}
    amounts |= {part.address[1]: part.band.value for part in parts}
    for spec in Choices.specs():
        if spec.key in amounts:
            amounts[spec.key] = float(np.clip(amounts[spec.key], spec.low, spec.high))
    return job.replace(machine=profile, choices=job.choices.replace(**amounts), shop_shares=None)


def _after(
    before: Estimate, readings: Sequence[Reading], counted: Flags
) -> tuple[tuple[ReadingProof, ...], float]:
    """Every reading after the work against its band from what was known before it.

    And the chance of counted readings as far from the middle of their bands, all together.
    """
    chosen = [
        row
        for row, each in enumerate(readings)
        if each.when is When.AFTER and each.place is not Place.OIL_DRAINED
    ]
    if not chosen:
        return (), 1.0
    kept = [readings[row] for row in chosen]
    spots = [spot_of(each) for each in kept]
    seen = before.look(spots)
    together = seen.slope @ before.covariance @ seen.slope.T
    known = np.diag(together) < _UNKNOWN_MM**2
    together += np.diag(spreads(before.bench, kept) ** 2)
    half = NORMAL_90 * np.sqrt(np.diag(together))
    off = np.array([each.value for each in kept]) - seen.value
    rows = tuple(
        ReadingProof(
            reading=each,
            name=name,
            kind=spot.kind,
            predicted=Band(middle, middle - out, middle + out) if told_of else None,
            delivered=each.value,
            inside=abs(each.value - middle) <= out if told_of else None,
        )
        for each, name, spot, middle, out, told_of in zip(
            kept,
            words.titles(kept),
            spots,
            seen.value.tolist(),
            half.tolist(),
            known.tolist(),
            strict=True,
        )
    )
    counts = known & counted[chosen]
    return rows, surprise_of(off[counts], together[np.ix_(counts, counts)])


def _drops(plan: Plan, before: Estimate, found: Estimate, last: Look) -> tuple[DropProof, ...]:
    first = drop_look(before.bench, before.unknowns, before.at)
    after = any(
        used and each.when is When.AFTER
        for each, used in zip(found.readings, found.used, strict=True)
    )
    rows = []
    for row, (state, label) in enumerate(zip(STATES, LABELS, strict=True)):
        predicted = band(first, row, before.covariance)
        sd = (predicted.high - predicted.value) / NORMAL_90
        tape = _on_tape(found, state)
        if tape is None:
            delivered = band(last, row, found.covariance)
            left = (delivered.high - delivered.value) / NORMAL_90
            # Knowing more moves a figure by what its variance loses.
            apart = np.sqrt(max(sd**2 - left**2, 0.0))
            if after:
                half = NORMAL_90 * float(np.hypot(left, _held(found, state)))
                delivered = Band(delivered.value, delivered.value - half, delivered.value + half)
        else:
            value, own = tape
            half = NORMAL_90 * own
            delivered = Band(value, value - half, value + half)
            apart = np.hypot(sd, own)
        stock, planned = (getattr(each, state) for each in (plan.states.stock, plan.states.planned))
        off = abs(delivered.value - predicted.value)
        rows.append(
            DropProof(
                state=state,
                label=label,
                planned_mm=stock.seat_height_mm - planned.seat_height_mm,
                predicted=predicted,
                delivered=delivered,
                inside=bool(off <= NORMAL_90 * apart + 1e-9) if after else None,
                on_tape=tape is not None,
            )
        )
    return tuple(rows)


def _on_tape(found: Estimate, state: str) -> tuple[float, float] | None:
    """Drop and its spread from seat readings, each after against one before of the same side."""
    if state not in set(MeasuredState):
        return None
    pairs = []
    groups: dict[tuple[object, When], list[tuple[float, float]]] = {}
    for row, each in enumerate(found.readings):
        if each.place is Place.SEAT and each.state == state and found.used[row]:
            own = (each.value, float(found.spread[row]))
            groups.setdefault((each.settled, each.when), []).append(own)
    for settled in {side for side, _ in groups}:
        both = [groups.get((settled, when)) for when in When]
        if both[0] and both[1]:
            (high, sd_high), (low, sd_low) = _mean(both[0]), _mean(both[1])
            pairs.append((high - low, float(np.hypot(sd_high, sd_low))))
    return _mean(pairs) if pairs else None


def _held(found: Estimate, state: str) -> float:
    """Spread [mm] by which two readings of the seat differ, one before and one after the work.

    A drop that nobody read is told as a tape would show it, or it would seem to be known better
    than one that was read. Stopped, friction is taken to hold the machine as with the rider up.
    """
    at = MeasuredState.ON_WHEELS if state == "on_wheels" else MeasuredState.RIDER_UP
    pair = [Reading(when=when, place=Place.SEAT, state=at, value=0.0) for when in When]
    return float(np.linalg.norm(spreads(found.bench, pair)))


def _mean(values: Sequence[tuple[float, float]]) -> tuple[float, float]:
    """Mean of values weighted by their spreads, and its own spread."""
    weights = np.array([1.0 / spread**2 for _, spread in values])
    mean = float(weights @ np.array([value for value, _ in values]) / weights.sum())
    return mean, float(1.0 / np.sqrt(weights.sum()))


def _lean(plan: Plan, readings: Sequence[Reading]) -> LeanProof:
    leans = [each for each in readings if each.place is Place.STAND_LEAN and not each.set_aside]
    first = [each.value for each in leans if each.when is When.BEFORE]
    last = [each.value for each in leans if each.when is When.AFTER]
    before = float(np.mean(first)) if first else float(plan.states.stock.parked.lean_deg or 0.0)
    wanted = needs_new_stand(plan.checks)
    if not last:
        return LeanProof(before, None, None, agree=True, before_read=bool(first), wanted=wanted)
    after = float(np.mean(last))
    return LeanProof(
        before,
        after,
        restored=abs(after - before) <= LEAN_RESTORED_DEG,
        agree=max(last) - min(last) <= LEANS_AGREE_DEG,
        before_read=bool(first),
        wanted=wanted,
    )
