"""Profiles of which only the first sittings are known, as a shop has them when it begins."""

from collections.abc import Iterable, Iterator, Sequence

import numpy as np

from fitplanner.documents.base import Figure
from fitplanner.documents.job import Job
from fitplanner.documents.machine import MachineProfile
from fitplanner.library.loader import load_library
from fitplanner.library.rules import Rules
from fitplanner.library.rules.document import LEVERAGE, SPECS
from fitplanner.library.stages import Stage
from fitplanner.planning.evaluate import evaluate
from fitplanner.planning.unknown.bands import rows
from fitplanner.planning.unknown.engine import points_of
from fitplanner.planning.unknown.lanes import case_of
from tests.hidden import Hidden, delivered, moved, true_leg_mm


def forget(rules: Rules, full: MachineProfile, known: Iterable[Stage]) -> MachineProfile:
    """`full` with all but the figures of `known` stages filled in by rules.

    Kind, engine, the state of the catalogue and the number of spring legs stay: they are seen.
    """
    keep = {address for stage in known for address in stage.figures}
    profile = rules.new_profile(id=full.id, name=full.name, kind=full.kind, engine=full.engine)
    sections: dict[str, dict[str, object]] = {
        "catalogue": {"state": full.catalogue.state},
        "fork": {"spring_legs": full.fork.spring_legs},
    }
    for section, key in keep:
        figure = getattr(getattr(full, section), key)
        if isinstance(figure, Figure):
            sections.setdefault(section, {})[key] = figure
    if LEVERAGE in keep:
        sections["rear"]["linkage"] = full.rear.linkage
    for section, key in SPECS:
        if getattr(getattr(full, section), key) is None:
            sections.setdefault(section, {})[key] = None
    changed = {name: getattr(profile, name).replace(**new) for name, new in sections.items()}
    return rules.fill(profile.replace(**changed, ways=full.ways))


def plans_with_little_known(
    rules: Rules, known: Sequence[Stage], count: int, *, seed: int, samples: int = 1000
) -> Iterator[Hidden]:
    """Plans made when only `known` stages are, and what they deliver on the whole machine.

    The machines are the library's, in turn; what is known of them is read with its own spread.
    """
    chance = np.random.default_rng(seed)
    library = load_library()
    machines = list(library.profiles.values())
    riders = [each for each in library.riders.values() if each.inside_leg_mm is not None]
    for number in range(count):
        full = machines[number % len(machines)]
        poor = forget(rules, moved(full, chance), known)
        job = Job(rider=riders[int(chance.integers(len(riders)))], machine=poor)
        case = case_of(job, evaluate(job))
        told = rows(case.lanes(points_of(case, samples)))
        bands = {row.key: row.banded().planned for row in told} | {
            f"stock {row.key}": row.banded().stock for row in told if row.stock is not None
        }
        truth = delivered(job, case.planned, full, true_leg_mm(job, chance))
        yield Hidden({key: band for key, band in bands.items() if band is not None}, truth)
