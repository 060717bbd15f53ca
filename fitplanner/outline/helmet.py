"""An off-road helmet, drawn once.

Owns the helmet's forms about the middle of the head. Refuses to place them.
"""

import numpy as np

from fitplanner.outline.curves import smooth
from fitplanner.outline.shape import Form

HEAD_MM = 100.0


def _helmet() -> tuple[Form, ...]:
    """Off-road helmet about the middle of the head, facing +x, for a head of radius `HEAD_MM`."""
    r = HEAD_MM
    shell = smooth(
        np.array(
            [
                (0.5, 1.16),
                (-0.1, 1.34),
                (-0.78, 1.08),
                (-1.18, 0.4),
                (-1.16, -0.36),
                (-0.92, -0.96),
                (-0.5, -1.18),
                (0.1, -1.14),
                (0.34, -1.22),
                (0.92, -1.2),
                (1.5, -0.98),
                (1.6, -0.62),
                (1.36, -0.34),
                (1.04, -0.16),
                (1.06, 0.5),
            ]
        )
        * r,
        closed=True,
    )
    port = smooth(
        np.array(
            [
                (1.14, 0.44),
                (0.62, 0.56),
                (0.16, 0.4),
                (0.1, 0.02),
                (0.4, -0.36),
                (0.92, -0.44),
                (1.26, -0.28),
                (1.16, 0.06),
            ]
        )
        * r,
        closed=True,
    )
    lens = smooth(
        np.array(
            [
                (1.2, 0.36),
                (0.78, 0.42),
                (0.46, 0.28),
                (0.46, -0.06),
                (0.72, -0.22),
                (1.14, -0.2),
                (1.24, 0.06),
            ]
        )
        * r,
        closed=True,
    )
    peak = smooth(
        np.array(
            [
                (-0.36, 1.3),
                (0.1, 1.42),
                (0.8, 1.4),
                (1.5, 1.2),
                (2.04, 0.88),
                (1.98, 0.8),
                (1.36, 0.98),
                (0.9, 0.88),
                (0.62, 0.84),
                (0.2, 1.12),
            ]
        )
        * r,
        closed=True,
    )
    strap = np.array([(0.36, 0.18), (-0.4, 0.26), (-1.16, 0.14)]) * r
    stripe = smooth(
        np.array(
            [
                (-1.1, -0.1),
                (-0.5, -0.18),
                (0.16, -0.5),
                (0.9, -0.86),
                (1.5, -0.86),
                (1.3, -1.08),
                (0.5, -1.06),
                (-0.2, -0.72),
                (-1.06, -0.5),
            ]
        )
        * r,
        closed=True,
    )
    vents = np.array([(1.12, -0.56), (1.36, -0.7)]) * r
    return (
        Form("helmet", "helmet", "fill", shell, order=94, contour=True),
        Form("helmet_stripe", "plastic", "fill", stripe, order=94),
        Form("goggle_strap", "goggle", "line", smooth(strap), width_mm=0.22 * r, order=94),
        Form("eye_port", "goggle", "fill", port, order=95),
        Form("lens", "glass", "fill", lens, order=95),
        Form("helmet_vents", "shade", "line", vents, width_mm=0.09 * r, order=95),
        Form("peak", "peak", "fill", peak, order=96, contour=True),
    )


HELMET = _helmet()
