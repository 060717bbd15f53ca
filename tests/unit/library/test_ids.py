"""An id made from a machine's name is one that a profile accepts, and no other machine's."""

from hypothesis import given
from hypothesis import strategies as st

from fitplanner.library.ids import DEVICES, free_id
from tests import factories


def test_names_become_ids() -> None:
    assert free_id("Plover 300 (ABS)", ()) == "plover-300-abs"
    assert free_id("Plöver Ç", ()) == "plover-c"
    assert free_id("鳥", ()) == "machine"
    assert free_id("COM1", ()) == "com1-machine"
    assert free_id("Plover", {"plover", "plover-2"}) == "plover-3"


@given(name=st.text(max_size=130), taken=st.integers(0, 12))
def test_any_name_makes_an_acceptable_id_that_is_free(name: str, taken: int) -> None:
    others: set[str] = set()
    for _ in range(taken):
        others.add(free_id(name, others))
    assert len(others) == taken
    id = free_id(name, others)
    assert id not in others and id not in DEVICES
    assert factories.machine_profile(id=id).id == id
