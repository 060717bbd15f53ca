"""Springs that can be bought: which rates are sold.

Owns the reading of `resources/springs`. The steps are common practice, no source; a maker's
own list decides. Refuses to choose a spring: planning does.
"""

from functools import cache
from typing import Literal

import numpy as np
from numpy.typing import NDArray
from pydantic import Field, model_validator

from fitplanner import paths
from fitplanner.documents import codec
from fitplanner.documents.base import Document
from fitplanner.documents.machine import MachineKind

End = Literal["fork", "shock"]


class SpringRange(Document):
    """Rates from first to last in equal steps, for some kinds of machine."""

    kinds: list[MachineKind] = Field(min_length=1)
    spring_legs: Literal[1, 2] | None = None
    first_n_mm: float = Field(gt=0)
    last_n_mm: float = Field(gt=0, le=1000)
    step_n_mm: float = Field(ge=0.01)

    @model_validator(mode="after")
    def _ordered(self) -> "SpringRange":
        if self.first_n_mm > self.last_n_mm:
            raise ValueError("the first rate is above the last; swap them")
        return self

    def rates_n_mm(self) -> NDArray[np.float64]:
        """The rates of this range, ascending, free of the rounding errors of adding steps."""
        steps = int((self.last_n_mm - self.first_n_mm) / self.step_n_mm + 1e-6)
        return np.round(self.first_n_mm + self.step_n_mm * np.arange(steps + 1), 6)


class SpringCatalogue(Document):
    """What is sold for one end of the machine."""

    format: Literal["fitplanner-springs"] = "fitplanner-springs"
    schema_version: Literal[1] = 1
    end: End
    source: str = Field(min_length=1)
    ranges: list[SpringRange] = Field(min_length=1)


SPRINGS = codec.Format("fitplanner-springs", "list of springs", SpringCatalogue)


def available_rates(
    end: End, kind: MachineKind, *, spring_legs: Literal[1, 2] = 2
) -> NDArray[np.float64]:
    """Rates of one spring in N/mm that can be bought, ascending, read-only.

    Args:
        end: the fork or the shock.
        kind: the sort of machine.
        spring_legs: how many fork legs hold a spring; no matter for a shock.

    Validity: common practice, no source; a rate in the list may still be out of stock.
    """
    return _rates(end, kind, spring_legs)


@cache
def _rates(end: End, kind: MachineKind, spring_legs: int) -> NDArray[np.float64]:
    fitting = [
        one.rates_n_mm()
        for one in _catalogue(end).ranges
        if kind in one.kinds and one.spring_legs in (None, spring_legs)
    ]
    rates = np.unique(np.concatenate([np.empty(0), *fitting]))
    rates.flags.writeable = False
    return rates


@cache
def _catalogue(end: End) -> SpringCatalogue:
    file = paths.resources() / "springs" / f"{end}.json"
    return codec.load(SPRINGS, codec.decode(file.read_bytes()))
