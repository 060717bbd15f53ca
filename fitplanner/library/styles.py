"""Sag windows by riding style, as shares of the remaining travel.

Common practice, no source: on 300 mm of travel the trail windows are a rider sag of 90 to 105
mm at the rear and 66 to 81 mm at the fork, and a free sag of 15 to 50 mm at the rear. The free
sag of the fork and the differences between styles are from memory. A job may hold its own.
"""

from fitplanner.documents.job import Job, SagWindows, Window
from fitplanner.documents.rider import RidingStyle


def sag_windows(style: RidingStyle) -> SagWindows:
    """The windows of a riding style; shares of the remaining travel, front along the fork."""
    return _WINDOWS[style]


def windows_of(job: Job) -> SagWindows:
    """The job's own windows, or those of its rider's style."""
    return job.windows or sag_windows(job.rider.riding_style)


def _windows(
    rider_rear: tuple[float, float],
    rider_front: tuple[float, float],
    free_rear: tuple[float, float],
    free_front: tuple[float, float],
) -> SagWindows:
    rr, rf, fr, ff = (
        Window(low=low, high=high) for low, high in (rider_rear, rider_front, free_rear, free_front)
    )
    return SagWindows(rider_rear=rr, rider_front=rf, free_rear=fr, free_front=ff)


_FREE_REAR = (15.0 / 300.0, 50.0 / 300.0)

_WINDOWS = {
    RidingStyle.TRAIL: _windows((0.30, 0.35), (0.22, 0.27), _FREE_REAR, (0.05, 0.13)),
    RidingStyle.ENDURO: _windows((0.30, 0.35), (0.22, 0.27), _FREE_REAR, (0.05, 0.13)),
    RidingStyle.MOTOCROSS: _windows((0.29, 0.34), (0.20, 0.25), (0.05, 0.15), (0.05, 0.12)),
    RidingStyle.DUAL_SPORT: _windows((0.30, 0.36), (0.23, 0.29), _FREE_REAR, (0.05, 0.15)),
    RidingStyle.TRAVEL: _windows((0.30, 0.37), (0.25, 0.32), (0.05, 0.18), (0.06, 0.16)),
}
