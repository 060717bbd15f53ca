"""A seat height of which nobody knows the state counts as less sure, in bands and requirement."""

from math import hypot

import pytest

from fitplanner.documents.machine import CatalogueState
from fitplanner.library.slips.finding import Change, Finding, mended
from fitplanner.planning.evaluate import evaluate
from fitplanner.planning.plan import Severity
from fitplanner.planning.unknown.heights import seat_heights
from fitplanner.planning.unsaid import UNSAID_SHARE, seat_height, unsaid_spread_mm
from tests import factories

KNOWN = factories.machine_profile()
UNSAID = KNOWN.replace(catalogue=KNOWN.catalogue.replace(state_known=False))


def test_it_is_a_share_of_the_travel_beside_the_figures_own_spread() -> None:
    travel_mm = 0.5 * (KNOWN.fork.travel_mm.value + KNOWN.rear.travel_mm.value)
    assert unsaid_spread_mm(KNOWN) == 0.0 and seat_height(KNOWN) is KNOWN.catalogue.seat_height_mm
    assert unsaid_spread_mm(UNSAID) == pytest.approx(UNSAID_SHARE * travel_mm)
    own = KNOWN.catalogue.seat_height_mm.spread
    assert seat_height(UNSAID).spread == pytest.approx(hypot(own, UNSAID_SHARE * travel_mm))
    assert "does not say" in seat_height(UNSAID).note
    assert seat_height(UNSAID).value == KNOWN.catalogue.seat_height_mm.value


def test_bands_and_the_requirement_widen_and_the_plan_stays() -> None:
    known, unsaid = (factories.job(machine=each) for each in (KNOWN, UNSAID))
    sure, less = seat_heights(known)["rider_up"], seat_heights(unsaid)["rider_up"]
    added = less.high - less.low - (sure.high - sure.low)
    assert added > unsaid_spread_mm(UNSAID)
    plans = evaluate(known), evaluate(unsaid)
    assert plans[0].ways == plans[1].ways
    assert plans[0].requirement != plans[1].requirement


def test_the_mend_of_a_state_says_that_it_is_known_now() -> None:
    change = Change(("catalogue", "state"), CatalogueState.EXTENDED)
    finding = Finding("catalogue.state", Severity.CAUTION, "", "", (change,), "")
    assert mended(UNSAID, finding).catalogue.state_known
