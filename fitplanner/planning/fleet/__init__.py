"""Which machines of a library could be made to fit one rider, and what each would take."""

from fitplanner.planning.fleet.chances import with_chances
from fitplanner.planning.fleet.rank import Doing, FleetRow, rank

__all__ = ["Doing", "FleetRow", "rank", "with_chances"]
