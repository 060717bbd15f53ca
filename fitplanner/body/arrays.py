"""Array habits of the room: owns coercion and the refusal of impossible lengths.

Refuses everything that knows what a length means.
"""

from typing import TypeAlias

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats: TypeAlias = NDArray[np.float64]
Flags: TypeAlias = NDArray[np.bool_]
Codes: TypeAlias = NDArray[np.int8]

ROUNDING_MM = 1e-9
"""Reach that is missing by no more than this is not missing."""


def floats(value: ArrayLike) -> Floats:
    """The value as an array of floats."""
    return np.asarray(value, dtype=np.float64)


def positive(value: ArrayLike, name: str) -> Floats:
    """The value as floats; ValueError unless all are finite and above 0."""
    array = floats(value)
    if not np.all(np.isfinite(array) & (array > 0.0)):
        raise ValueError(f"{name} must be above 0: measure it again")
    return array


def not_negative(value: ArrayLike, name: str) -> Floats:
    """The value as floats; ValueError unless all are finite and at least 0."""
    array = floats(value)
    if not np.all(np.isfinite(array) & (array >= 0.0)):
        raise ValueError(f"{name} cannot be below 0: measure it again")
    return array


def vector(x: ArrayLike, y: ArrayLike, z: ArrayLike) -> Floats:
    """Points (..., 3) from coordinates that broadcast."""
    return np.stack(np.broadcast_arrays(floats(x), floats(y), floats(z)), axis=-1)
