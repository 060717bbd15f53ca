"""Which input a result's variance comes from.

Owns the variance-based indices of any vectorised model. Refuses to know what the inputs mean.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from fitplanner.mechanics.arrays import Array

Model = Callable[[Array], Array]
"""Points (lanes, inputs) to results (lanes,) or (lanes, results)."""


@dataclass(frozen=True)
class Indices:
    """Shares of the variance, one row for each group of inputs (and one column for each result).

    `first`: what knowing the group alone would take away. `total`: what would be left if all the
    other inputs were known. In a sum of independent parts both are the same. `left_out` counts
    the points for which the model had no answer.
    """

    first: Array
    total: Array
    left_out: int = 0


def sobol_indices(
    model: Model,
    sample: Array,
    other: Array,
    groups: Sequence[Sequence[int]] | None = None,
) -> Indices:
    """Sobol' indices by Jansen's estimators, each over the variance of its own two sets.

    Args:
        sample, other: two independent sets of points of the inputs, shape (points, inputs).
        groups: columns that count as one input; each column by itself where left out.

    The model is asked once, for points x (groups + 2) lanes. A point for which one of its lanes
    has no finite result is left out. Of a result without variance no group has a share.

    Source: A. Saltelli et al., Comput. Phys. Commun. 181 (2010) 259, Table 2, (c) and (f), after
    M. J. W. Jansen, Comput. Phys. Commun. 117 (1999) 35; the variance as in A. Janon et al.,
    ESAIM Probab. Stat. 18 (2014) 342.
    """
    chosen = [[column] for column in range(sample.shape[1])] if groups is None else groups
    mixed = []
    for columns in chosen:
        points = sample.copy()
        points[:, list(columns)] = other[:, list(columns)]
        mixed.append(points)
    results = np.asarray(model(np.concatenate([sample, other, *mixed])), dtype=float)
    each = results.reshape(len(chosen) + 2, len(sample), *results.shape[1:])
    answered = np.isfinite(each).all(axis=(0, *range(2, each.ndim)))
    left_out = int(np.sum(~answered))
    if left_out == len(sample):
        nothing = np.zeros((len(chosen), *results.shape[1:]))
        return Indices(nothing, nothing, left_out)
    each = each[:, answered]
    a, b, swapped = each[0], each[1], each[2:]
    moves = np.ptp(each, axis=(0, 1)) > 0.0
    first = np.where(moves, 1.0 - _apart(b, swapped), 0.0)
    return Indices(first, _apart(a, swapped), left_out)


def _apart(one: Array, other: Array) -> Array:
    """Half the mean square difference of results with one mean, over their variance.

    0 where they are always alike, 1 where they have nothing to do with each other.
    """
    middle = np.mean(one + other, axis=1, keepdims=True) / 2.0
    variance = np.mean((one - middle) ** 2 + (other - middle) ** 2, axis=1) / 2.0
    half = np.mean((one - other) ** 2, axis=1) / 2.0
    apart: Array = np.divide(half, variance, out=np.zeros_like(half), where=variance > 0.0)
    return apart
