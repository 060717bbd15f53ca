"""The four sags of a machine against the windows of a riding style."""

from fitplanner.documents.job import SagWindows
from fitplanner.mechanics.equilibrium import Rest
from fitplanner.mechanics.machine import Machine
from fitplanner.planning.setup import Stands

ON_WHEELS, RIDER_UP = Stands.ON_WHEELS, Stands.RIDER_UP


def assert_sags_lie_inside(windows: SagWindows, machine: Machine, rest: Rest) -> None:
    """As shares of the travel that is left, front along the fork and rear at the wheel."""
    low_x, high_x, low_y, high_y = machine.limits
    front = (rest.pose.fork_compression_mm - low_x) / (high_x - low_x)
    rear = (rest.pose.rear_compression_mm - low_y) / (high_y - low_y)
    assert windows.rider_front.low <= front[RIDER_UP] <= windows.rider_front.high
    assert windows.rider_rear.low <= rear[RIDER_UP] <= windows.rider_rear.high
    assert windows.free_front.low <= front[ON_WHEELS] <= windows.free_front.high
    assert windows.free_rear.low <= rear[ON_WHEELS] <= windows.free_rear.high
