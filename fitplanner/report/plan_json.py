"""The plan as a JSON document for other programs.

Owns the published shape: states, then requirement, split, ways, springs, delivered, consequences
and checks. Units stand in every key. `VERSION` rises whenever a key changes its name or meaning.
"""

import json
import math
from dataclasses import asdict
from enum import Enum
from typing import Any

from fitplanner.documents.job import Job
from fitplanner.planning.plan import STATE_NAMES, Band, Plan, SpringPlan, States
from fitplanner.quantities import UnitSystem, fill

VERSION = 1


def plan_document(plan: Plan, job: Job) -> dict[str, Any]:
    """The plan as plain dicts, lists, numbers and text; sentences in metric units."""
    return {
        "format": "fitplanner-plan",
        "version": VERSION,
        "job": {
            "title": job.title,
            "rider": job.rider.name,
            "machine": job.machine.id,
            "machine_revision": job.machine.revision,
        },
        "states": {
            "stock": _states(plan.states.stock),
            "planned": _states(plan.states.planned),
        },
        "requirement": {
            "wanted_footing": plan.requirement.wanted.value,
            "reached": plan.requirement.reached,
            "chance": plan.requirement.chance,
            "drop_mm": _band(plan.requirement.drop_mm),
            "need_here_mm": plan.requirement.need_here_mm,
            "spare_mm": _band(plan.requirement.spare_mm),
            "planned_drop_mm": _band(plan.requirement.planned_drop_mm),
            "inside_leg_mm": _band(plan.requirement.inside_leg_mm),
            "inside_leg_estimated": plan.requirement.inside_leg_estimated,
            "stock": _plain(asdict(plan.requirement.stock)),
            "planned": _plain(asdict(plan.requirement.planned)),
            "share_of_the_band": [
                {"figure": label, "share": share} for label, share in plan.requirement.widest
            ],
        },
        "split": _plain(asdict(plan.split)),
        "ways": [_plain(asdict(way)) for way in plan.ways],
        "springs": {end: _spring(spring) for end, spring in plan.springs.items()},
        "delivered": _plain(asdict(plan.delivered)),
        "by_shop": None if plan.by_shop is None else _plain(asdict(plan.by_shop)),
        "consequences": [
            {**_plain(asdict(row)), "unit": _unit(row.kind.value)} for row in plan.consequences
        ],
        "checks": [{**_plain(asdict(row)), "unit": _unit(row.kind.value)} for row in plan.checks],
        "cautions": [asdict(caution) for caution in plan.cautions],
        "assumptions": [fill(text, UnitSystem.METRIC) for text in plan.assumptions],
        "summary": fill(plan.summary, UnitSystem.METRIC),
    }


def plan_text_json(plan: Plan, job: Job) -> str:
    """The document as indented JSON text."""
    return json.dumps(plan_document(plan, job), indent=2, ensure_ascii=False, allow_nan=False)


_UNITS = {
    "length": "mm",
    "area": "mm2",
    "volume": "mL",
    "capacity": "L",
    "mass": "kg",
    "force": "N",
    "spring rate": "N/mm",
    "pressure": "kPa",
    "angle": "deg",
    "percentage": "1",
    "ratio": "1",
}


def _unit(kind: str) -> str:
    return _UNITS[kind]


def _spring(spring: SpringPlan) -> dict[str, Any]:
    """One end; the ideal rate and preload each under a key with its unit, null where none is."""
    fields: dict[str, Any] = _plain(asdict(spring))
    rate, preload = fields.pop("ideal") or (None, None)
    return {**fields, "ideal_rate_n_mm": rate, "ideal_preload_mm": preload}


def _band(band: Band) -> dict[str, float]:
    return {"value": band.value, "low_90": band.low, "high_90": band.high}


def _states(states: States) -> dict[str, Any]:
    found: dict[str, Any] = {}
    for name in STATE_NAMES:
        figures = asdict(getattr(states, name))
        if name != "parked":
            del figures["lean_deg"]
        found[name] = figures
    return found


def _plain(value: Any) -> Any:
    """Enums as their values, sentences filled in, no number that JSON does not know."""
    if isinstance(value, dict):
        return {key: _plain(each) for key, each in value.items()}
    if isinstance(value, list | tuple):
        return [_plain(each) for each in value]
    if isinstance(value, Enum):
        return value.value
    if isinstance(value, str):
        return fill(value, UnitSystem.METRIC)
    if isinstance(value, float) and not math.isfinite(value):
        return None
    return value
