"""What tape, angle gauge and measuring glass show on solved machines, in lanes.

Owns the model of every reading: the state that it is taken in, the side on which friction holds
the machine, the mark on fender or tail. Refuses to compare with what was read.

An axle is read straight up to a mark above it. Where that mark sits is not known: its height over
the axle at stock full extension is one unknown for each end, so that a reading with the wheel
hanging fixes the mark and every other one gives a sag.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from fitplanner.documents.bench import MeasuredState, Place, Reading, Settled, When
from fitplanner.documents.job import Job
from fitplanner.mechanics.arrays import Array, Number
from fitplanner.mechanics.equilibrium import equilibrium, hanging
from fitplanner.mechanics.geometry import Pose
from fitplanner.mechanics.machine import Body, pick_lane
from fitplanner.mechanics.parked import park
from fitplanner.planning.context import stand_of
from fitplanner.planning.halt import stop
from fitplanner.planning.measured.basis import unfitted
from fitplanner.planning.plan import Plan
from fitplanner.planning.setup import Setup, bodies, built, with_own_springs
from fitplanner.planning.unknown.account import Address
from fitplanner.planning.unknown.lanes import Case, Lanes, case_of
from fitplanner.planning.ways import Build
from fitplanner.planning.work import ON_WHEELS, RIDER_UP, stock_parked
from fitplanner.quantities import Kind

BUILT = "built"
"""Section of what was built in: fields of `Setup`, and `STAND_LENGTH`."""

MARK = "mark"
"""Section of the marks: height over the axle at stock full extension [mm], by place."""

STAND_LENGTH: Address = (BUILT, "stand_length_mm")
OIL: Address = ("fork", "oil_volume_ml")
AIR: Address = ("fork", "air_volume_bottomed_ml")

CLINGS_ML, CLINGS_SPREAD_ML = 15.0, 10.0
"""Oil of one leg that clings inside when it only drips, and one standard deviation: assumptions."""

Figures = Mapping[Address, Array]
Friction = tuple[float, float]
"""Share of the stiction that holds fork and rear: 1 held up, -1 pulled down."""

_SIDE = {Settled.ANYHOW: 0.0, Settled.PUSHED_DOWN: -1.0, Settled.LIFTED: 1.0}
_LOADED = {MeasuredState.ON_WHEELS: ON_WHEELS, MeasuredState.RIDER_UP: RIDER_UP}


@dataclass(frozen=True)
class Spot:
    """One thing that can be read."""

    when: When
    place: Place
    state: MeasuredState
    settled: Settled = Settled.ANYHOW

    @property
    def kind(self) -> Kind:
        """What the reading measures."""
        if self.place is Place.STAND_LEAN:
            return Kind.ANGLE
        return Kind.VOLUME if self.place is Place.OIL_DRAINED else Kind.LENGTH

    @property
    def side(self) -> Friction:
        """The side on which friction holds both ends."""
        return _SIDE[self.settled], _SIDE[self.settled]

    @property
    def rubs(self) -> bool:
        """Whether friction has a say: not with the wheels hanging."""
        return self.state is not MeasuredState.EXTENDED


def spot_of(reading: Reading) -> Spot:
    """What was read."""
    return Spot(reading.when, reading.place, reading.state, reading.settled)


@dataclass(frozen=True)
class Bench:
    """A job and its plan on the bench: the stock machine before the work, the planned one after.

    `case` rests on the machine before any reading was worked in, `ordered` on the one planned on.
    """

    case: Case
    ordered: Case

    @cached_property
    def new_stand_mm(self) -> float:
        """Length of the side-stand that restores the stock lean, as it was ordered."""
        ctx = self.ordered.ctx
        made = built(ctx.machine, ctx.profile, self.ordered.planned)
        old = stock_parked(ctx.profile, ctx.job.choices)
        parked = park(
            made.machine,
            ctx.carried.on_wheels(made.machine.sprung),
            stand_of(ctx.profile),
            hold_lean_rad=np.array([float(old.lean.lean_rad)]),
        )
        return float(pick_lane(parked.length_mm, (0,)))

    def shown(self, spots: Sequence[Spot], figures: Figures, count: int = 1) -> Array:
        """What each spot shows on each possible machine: shape (count, spots)."""
        return self.held(spots, [spot.side for spot in spots], figures, count)

    def held(
        self, spots: Sequence[Spot], sides: Sequence[Friction], figures: Figures, count: int = 1
    ) -> Array:
        """As `shown`, with friction holding each spot on a side of its own."""
        found = np.empty((count, len(spots)))
        for when in When:
            rows = [row for row, spot in enumerate(spots) if spot.when is when]
            if rows:
                standing = self._standing(when, figures, count, {sides[row] for row in rows})
                # What is read three times is solved once.
                shown = {
                    asked: standing.shows(*asked) for asked in {(spots[r], sides[r]) for r in rows}
                }
                for row in rows:
                    found[:, row] = shown[spots[row], sides[row]]
        return found

    def drops(self, figures: Figures, count: int = 1) -> Array:
        """Drop of the seat on its wheels, rider up and stopped [mm]: shape (count, 3)."""
        heights = []
        for when in When:
            standing = self._standing(when, figures, count, {(0.0, 0.0)})
            lanes, made = standing.lanes, standing.made
            halted = stop(made, lanes.value, self.case.ctx.rider, lanes.carried)
            rows = [standing.seat_mm(standing.loaded((0.0, 0.0), state)) for state in _LOADED]
            heights.append([lanes.full(row) for row in (*rows, halted.bare_seat_mm)])
        before, after = np.array(heights)
        change: Array = (before - after).T
        return change

    def _standing(
        self, when: When, figures: Figures, count: int, sides: set[Friction]
    ) -> "_Standing":
        machine = {a: row for a, row in figures.items() if a[0] not in (BUILT, MARK)}
        if OIL in machine:
            # A leg holds oil and air: what it has less of the one, it has more of the other.
            fork = self.case.ctx.profile.fork
            air = machine.get(AIR, np.array(fork.air_volume_bottomed_ml.value))
            machine[AIR] = air + fork.oil_volume_ml.value - machine[OIL]
        lanes = Lanes(self.case, count, machine)
        setup = with_own_springs(
            self.case.stock if when is When.BEFORE else self.case.planned, lanes.value
        )
        length: Number = lanes.value("stand", "length_mm")
        if when is When.AFTER:
            own = {key: row for (section, key), row in figures.items() if section == BUILT}
            length = own.pop(STAND_LENGTH[1], self.new_stand_mm)
            setup = replace(setup, **own)
        made = built(lanes.machine, self.case.ctx.profile, setup)
        marks = {key: row for (section, key), row in figures.items() if section == MARK}
        return _Standing(lanes, setup, made, length, marks, tuple(sorted(sides)))


def bench_of(job: Job, plan: Plan) -> Bench:
    """The bench of a job and its plan.

    Raises:
        IncompleteError: the rider is not known well enough.
        UnsolvableError: no machine can be built from the profile.
    """
    ordered = case_of(job, plan)
    if job.fitted is None:
        return Bench(ordered, ordered)
    case = case_of(job.replace(machine=unfitted(job)), plan)
    # A spring and a preload that stay are the machine's own, whatever was known of them.
    own = {
        name: getattr(case.stock, name)
        for unit in ("fork", "shock")
        for name in (f"{unit}_rate_n_mm", f"{unit}_preload_mm")
        if getattr(ordered.planned, name) == getattr(ordered.stock, name)
    }
    return Bench(replace(case, planned=replace(case.planned, **own)), ordered)


@dataclass(frozen=True)
class _Standing:
    """One build in all lanes; what is not asked for is not solved."""

    lanes: Lanes
    setup: Setup
    made: Build
    stand_mm: Number
    marks: Mapping[str, Array]
    sides: tuple[Friction, ...]

    def shows(self, spot: Spot, side: Friction) -> Array:
        """The reading in each lane."""
        place, state, value = spot.place, spot.state, self.lanes.value
        if place is Place.STAND_LEAN:
            shown: Number = self._lean_deg(side)
        elif place is Place.STANCHION:
            shown = value("fork", "stanchion_showing_mm") + np.asarray(
                self.setup.raised_stanchions_mm
            )
        elif place is Place.OIL_DRAINED:
            shown = value(*OIL) - CLINGS_ML
        else:
            at = self._hung if state is MeasuredState.EXTENDED else self.loaded(side, state)
            shown = self.seat_mm(at) if place is Place.SEAT else self._to_mark_mm(place, at)
        return self.lanes.full(shown)

    def seat_mm(self, at: Pose) -> Array:
        """The seat's height beside the rider's dent."""
        top = self.lanes.value("catalogue", "seat_height_mm") - np.asarray(self.made.seat_drop_mm)
        return at.height(self.lanes.value("seat", "x_mm"), top)

    def loaded(self, side: Friction, state: MeasuredState) -> Pose:
        """The pose on its wheels or rider up."""
        lane = (_LOADED[state], self.sides.index(side))
        pose: Pose = pick_lane(self._loaded, lane)
        return pose

    @cached_property
    def _loaded(self) -> Pose:
        """On its wheels and rider up, friction at each side: shape (2, sides, lanes)."""
        held = np.array(self.sides)[:, :, None]
        value = self.lanes.value
        machine = self.made.machine.with_fork(
            friction_n=held[:, 0] * value("fork", "stiction_n")
        ).with_shock(friction_n=held[:, 1] * value("rear", "stiction_n"))
        all_three = bodies(machine, self.lanes.carried, self.made.seat_drop_mm)
        two = Body(*(np.asarray(each)[:2] for each in all_three.__dict__.values()))
        return equilibrium(machine, two).pose

    @cached_property
    def _hung(self) -> Pose:
        return hanging(self.made.machine).pose

    def _lean_deg(self, side: Friction) -> Array:
        value = self.lanes.value
        machine = self.made.machine.with_fork(
            friction_n=side[0] * value("fork", "stiction_n")
        ).with_shock(friction_n=side[1] * value("rear", "stiction_n"))
        stand = stand_of(self.lanes.case.ctx.profile, self.lanes.figures)
        parked = park(
            machine,
            self.lanes.carried.on_wheels(machine.sprung),
            replace(stand, length_mm=self.stand_mm),
        )
        # A stand too short to reach the ground leaves the machine lying on it: no lean to compare.
        lean = np.where(parked.lean.touches, parked.lean.lean_rad, np.radians(45.0))
        return np.asarray(np.degrees(lean))

    def _to_mark_mm(self, place: Place, at: Pose) -> Array:
        """From an axle straight up to the mark above where that axle hangs on the stock machine."""
        machine, mark = self.lanes.machine, self.marks[place.value]
        if place is Place.FRONT_AXLE:
            x, z = np.asarray(machine.front_axle_x_mm), np.asarray(machine.front_axle_z_mm)
            axle = at.front_axle_mm
        else:
            arm, low = np.asarray(machine.arm_length_mm), np.asarray(machine.axle_low_mm)
            x, z = machine.pivot_x_mm - np.sqrt(arm**2 - low**2), machine.pivot_z_mm + low
            axle = at.rear_axle_mm
        return at.height(x, z + mark) - at.height(*axle)
