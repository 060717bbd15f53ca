"""The one word for what a lane field may hold: a float, or an array of lanes."""

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Number = float | Array
