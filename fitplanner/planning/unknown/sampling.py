"""Sets of sample points, all from fixed seeds.

Owns the two designs: Latin hypercubes for bands, and Sobol's sequence for variance shares. A
design is an array of ranks (points, inputs): in each column every rank from 0
to points - 1 once. Refuses any meaning of the inputs.
"""

from functools import cache
from statistics import NormalDist

import numpy as np
from numpy.typing import NDArray

from fitplanner.mechanics.arrays import Array

Ranks = NDArray[np.intp]


def latin(points: int, inputs: int, *, seed: int) -> Ranks:
    """A Latin hypercube: every column a permutation of its own."""
    chance = np.random.default_rng(seed)
    rows = np.tile(np.arange(points), (inputs, 1))
    return chance.permuted(rows, axis=1).T


def sobol(bits: int, inputs: int, *, seed: int) -> Ranks:
    """The first 2^bits points of Sobol's sequence, each input shifted by digits of its own.

    At most 32 inputs. The shift keeps every property of the sequence and takes its point at the
    origin away.

    Source: I. M. Sobol', USSR Comput. Math. Math. Phys. 7 (1967) 86, with the direction numbers
    of S. Joe, F. Y. Kuo, SIAM J. Sci. Comput. 30 (2008) 2635.

    Raises:
        ValueError: more inputs than there are direction numbers.
    """
    if inputs > len(_DIRECTIONS) + 1:
        raise ValueError(f"there are direction numbers for {len(_DIRECTIONS) + 1} inputs")
    chance = np.random.default_rng(seed)
    numbers = np.arange(2**bits)
    ranks = np.empty((2**bits, inputs), dtype=np.intp)
    for column in range(inputs):
        ranks[:, column] = chance.integers(2**bits)
        for digit, direction in enumerate(_directions(column, bits)):
            ranks[:, column] ^= np.where(numbers >> digit & 1, direction, 0)
    return ranks


def _directions(column: int, bits: int) -> list[int]:
    """Direction numbers of one input as whole numbers below 2^bits."""
    if column == 0:
        return [1 << (bits - 1 - digit) for digit in range(bits)]
    polynomial, first = _DIRECTIONS[column - 1]
    numbers, degree = list(first), len(first)
    for digit in range(degree, bits):
        number = numbers[digit - degree] ^ (numbers[digit - degree] << degree)
        for power in range(1, degree):
            if polynomial >> (degree - 1 - power) & 1:
                number ^= numbers[digit - power] << power
        numbers.append(number)
    return [numbers[digit] << (bits - 1 - digit) for digit in range(bits)]


_DIRECTIONS = (
    (0, (1,)),
    (1, (1, 3)),
    (1, (1, 3, 1)),
    (2, (1, 1, 1)),
    (1, (1, 1, 3, 3)),
    (4, (1, 3, 5, 13)),
    (2, (1, 1, 5, 5, 17)),
    (4, (1, 1, 5, 5, 5)),
    (7, (1, 1, 7, 11, 19)),
    (11, (1, 1, 5, 1, 1)),
    (13, (1, 1, 1, 3, 11)),
    (14, (1, 3, 5, 5, 31)),
    (1, (1, 3, 3, 9, 7, 49)),
    (13, (1, 1, 1, 15, 21, 21)),
    (16, (1, 3, 1, 13, 27, 49)),
    (19, (1, 1, 1, 15, 7, 5)),
    (22, (1, 3, 1, 15, 13, 25)),
    (25, (1, 1, 5, 5, 19, 61)),
    (1, (1, 3, 7, 11, 23, 15, 103)),
    (4, (1, 3, 7, 13, 13, 15, 69)),
    (7, (1, 1, 3, 13, 7, 35, 63)),
    (8, (1, 3, 5, 9, 1, 25, 53)),
    (14, (1, 3, 1, 13, 9, 35, 107)),
    (19, (1, 3, 1, 5, 27, 61, 31)),
    (21, (1, 1, 5, 11, 19, 41, 61)),
    (28, (1, 3, 5, 3, 3, 13, 69)),
    (31, (1, 1, 7, 13, 1, 19, 1)),
    (32, (1, 3, 7, 5, 13, 19, 59)),
    (37, (1, 1, 3, 9, 25, 29, 41)),
    (41, (1, 3, 5, 13, 23, 1, 55)),
    (42, (1, 3, 7, 3, 13, 59, 17)),
)
"""Coefficients of each primitive polynomial, and its first direction numbers; inputs from 2 on."""


def uniform(ranks: Ranks) -> Array:
    """Points between 0 and 1, each in the middle of its class."""
    points: Array = (ranks + 0.5) / len(ranks)
    return points


def normal(ranks: Ranks) -> Array:
    """Standard normal points, each at its class's middle quantile."""
    return _normal_quantiles(len(ranks))[ranks]


@cache
def _normal_quantiles(count: int) -> Array:
    standard = NormalDist()
    return np.array([standard.inv_cdf((i + 0.5) / count) for i in range(count)])
