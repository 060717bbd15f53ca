"""The pictures of a machine alone, where the tape goes on them, and its heights as it stands."""

from math import hypot

import numpy as np
import pytest

from fitplanner.documents.base import Figure
from fitplanner.documents.machine import CatalogueState, EngineShape, MachineKind, MachineProfile
from fitplanner.library.loader import load_library
from fitplanner.library.rules import load_rules
from fitplanner.planning.evaluate import evaluate
from fitplanner.planning.profile_check import common_job
from fitplanner.planning.resolve import UnsolvableError
from fitplanner.planning.sizing import _SIZES, size_of
from fitplanner.planning.sketch import front_sketch, sketch
from fitplanner.planning.unknown.engine import unknown
from fitplanner.planning.unknown.heights import seat_heights
from tests import factories

PROFILES = load_library().profiles


def blank(kind: MachineKind) -> MachineProfile:
    return load_rules().new_profile(id="blank", name="Blank", kind=kind, engine=EngineShape.SINGLE)


@pytest.mark.parametrize("kind", MachineKind)
def test_a_machine_of_which_nothing_is_known_can_be_drawn(kind: MachineKind) -> None:
    profile = blank(kind)
    side, front = sketch(profile), front_sketch(profile)
    seat = profile.catalogue.seat_height_mm.value
    assert side.heights[0].point == pytest.approx((profile.seat.x_mm.value, seat))
    assert side.heights[0].value_mm == front.heights[0].value_mm == seat
    assert side.before == front.before == ()


@pytest.mark.parametrize("name", PROFILES)
def test_the_wheels_stand_on_the_ground_the_wheelbase_apart(name: str) -> None:
    profile = PROFILES[name]
    shapes = sketch(profile).after
    tyres = [
        next(shape for shape in shapes if shape.part == f"{end}_tyre") for end in ("rear", "front")
    ]
    for tyre, x in zip(tyres, (0.0, profile.catalogue.wheelbase_mm.value), strict=True):
        assert tyre.place.x0 == pytest.approx(x)
        assert float(np.nanmin(tyre.points[:, 1])) == pytest.approx(0.0, abs=1.0)


@pytest.mark.parametrize("name", PROFILES)
@pytest.mark.parametrize("address", _SIZES)
def test_the_tape_is_as_long_as_the_figure_that_it_tells(
    name: str, address: tuple[str, str]
) -> None:
    profile = PROFILES[name]
    size = size_of(profile, address)
    assert size is not None
    told = getattr(getattr(profile, address[0]), address[1])
    if told is None:
        return
    value = told.value
    (x, z), (u, w) = size.start, size.end
    long = hypot(u - x, w - z)
    if address[1] in ("front_radius_mm", "rear_radius_mm"):
        # The whole height, to be halved; a loaded tyre stands a little lower.
        assert 2 * value - 40 < long <= 2 * value
    elif address[1] == "wheelbase_mm":
        # From axle to axle, of which one may lie a little higher.
        assert u - x == pytest.approx(value)
    else:
        assert long == pytest.approx(abs(value))


def test_where_no_tape_tells_a_figure_there_is_none() -> None:
    assert size_of(factories.machine_profile(), ("fork", "spring_rate_n_mm")) is None


def test_figures_that_give_no_machine_are_refused_in_words() -> None:
    profile = factories.machine_profile()
    rear = profile.rear.replace(
        arm_length_mm=Figure(value=250.0), pivot_height_mm=Figure(value=700.0)
    )
    bad = profile.replace(rear=rear)
    with pytest.raises(UnsolvableError, match="pivot height"):
        sketch(bad)
    with pytest.raises(UnsolvableError, match="pivot height"):
        seat_heights(common_job(bad))


@pytest.mark.parametrize("state", CatalogueState)
def test_heights_in_the_state_of_the_sheet_are_those_of_the_sheet(state: CatalogueState) -> None:
    profile = PROFILES["wexcombe-125"]
    profile = profile.replace(catalogue=profile.catalogue.replace(state=state))
    job = common_job(profile)
    bands = seat_heights(job)
    if state is CatalogueState.ON_WHEELS:
        assert bands["on_wheels"].value == pytest.approx(profile.catalogue.seat_height_mm.value)
    for band in bands.values():
        assert band.low < band.value < band.high
    assert bands["rider_up"].value < bands["on_wheels"].value


def test_heights_and_bands_agree_with_those_of_the_plan() -> None:
    """The plan's account samples the same machine with its planned one beside it."""
    job = common_job(PROFILES["merebrook-400"])
    plan = evaluate(job)
    bands, known = seat_heights(job), unknown(job, plan)
    for state, band in bands.items():
        assert band.value == pytest.approx(getattr(plan.states.stock, state).seat_height_mm)
        stock = known.band(f"seat_{state}").stock
        assert stock is not None
        assert band.high - band.low == pytest.approx(stock.high - stock.low, rel=0.12)
