"""Owns the words for what documents and plans name by key: states, footings, styles, sources.

`label` is the short word, `hint` the sentence for a tooltip, which may carry the trade's other
word; `chance_words` is the one way to speak of a chance. Refuses sentences about a particular plan.
"""

from enum import StrEnum

from PySide6.QtCore import QCoreApplication

from fitplanner.body.inside_leg import Population
from fitplanner.body.reach import Footing
from fitplanner.documents.base import Source
from fitplanner.documents.bench import Stage
from fitplanner.documents.machine import CatalogueState, EngineShape, MachineKind
from fitplanner.documents.preferences import Theme
from fitplanner.documents.rider import Boot, Experience, RidingStyle
from fitplanner.planning.plan import STATE_LABELS, Basis, Severity, WayId
from fitplanner.quantities import UnitSystem, likelihood, of_100

_CONTEXT = "words"
Words = tuple[str, str]


def label(value: StrEnum) -> str:
    """The short word for a value, for example "Balls of both feet"."""
    return _translated(_WORDS[type(value)][value.value][0])


def label_or_key(value: StrEnum) -> str:
    """The short word for a value, or its key in plain letters where it has no word."""
    return label(value) if type(value) in _WORDS else value.value.replace("_", " ")


def hint(value: StrEnum) -> str:
    """What the word means, for a tooltip; "" where the word says it all."""
    return _translated(_WORDS[type(value)][value.value][1])


def wanted_label(value: StrEnum) -> str:
    """The short word for a footing as a wish."""
    return _translated(_NO_WISH[0]) if value is Footing.NONE else label(value)


def wanted_hint(value: StrEnum) -> str:
    """What the wish means, for a tooltip."""
    return _translated(_NO_WISH[1]) if value is Footing.NONE else hint(value)


def state_label(name: str) -> str:
    """The short word for one of the plan's `STATE_NAMES`."""
    return _translated(STATE_LABELS[name])


def state_hint(name: str) -> str:
    """What a state is, with the trade's other word for it."""
    return _translated(_STATE_HINTS[name])


def end_label(end: str) -> str:
    """The word for an end of the machine, "front" or "rear"."""
    return _translated(_ENDS[end])


def stop_label(stop: str) -> str:
    """Words for a `front_stop` or `rear_stop`; "" where the end is free to move."""
    return _translated(_STOPS[stop])


def chance_words(chance: float) -> str:
    """A chance from 0 to 1 in words and cases, for example "likely (87 of 100)"."""
    return QCoreApplication.translate(_CONTEXT, "{word} ({n} of 100)").format(
        word=_translated(likelihood(chance)), n=of_100(chance)
    )


def lower_first(text: str) -> str:
    """Words as they go on in a sentence."""
    return text[:1].lower() + text[1:]


def _translated(text: str) -> str:
    return QCoreApplication.translate(_CONTEXT, text) if text else ""


_STATE_HINTS = {
    "extended": "On a lift, both wheels off the ground (unladen on the stand)",
    "on_wheels": "Upright, no rider (free sag, also called static sag)",
    "rider_up": "Rider seated, feet on the pegs (rider sag, also race sag)",
    "stopped": "Rider seated, feet on the ground carrying a share of the weight (at the lights)",
    "full_bump": "Both ends at the end of their travel (bottomed)",
    "parked": "Leaning on the side-stand, no rider",
}

_NO_WISH: Words = (
    "None wanted",
    "Nothing is lowered for the feet; amounts set by hand still count",
)

_ENDS = {"front": "Front", "rear": "Rear"}

_STOPS = {
    "": "",
    "topped out": "topped out",
    "bottomed": "bottomed",
}

_WORDS: dict[type[StrEnum], dict[str, Words]] = {
    Footing: {
        Footing.BOTH_FLAT: ("Both feet flat", "Both heels on the ground, machine upright"),
        Footing.BOTH_BALLS: (
            "Balls of both feet",
            "Both feet down, heels lifted, as far as the boot bends",
        ),
        Footing.BOTH_TOES: ("Toes of both feet", "Only the toes touch on both sides"),
        Footing.ONE_FOOT_FLAT: (
            "One foot flat",
            "Machine leaned and hips shifted to one side, other foot on its peg",
        ),
        Footing.NONE: ("No foot safely down", "The ground is out of reach even with the toes"),
    },
    RidingStyle: {
        RidingStyle.TRAIL: ("Trail", "Paths and rough ground without haste"),
        RidingStyle.ENDURO: ("Enduro", "Fast off-road riding over long stages"),
        RidingStyle.MOTOCROSS: ("Motocross", "Closed course with jumps"),
        RidingStyle.DUAL_SPORT: ("Dual sport", "Road and track on one machine"),
        RidingStyle.TRAVEL: ("Travel", "Long distances, often with luggage"),
    },
    Experience: {
        Experience.NEW: ("New to it", "First season off the road"),
        Experience.SOME: ("Some seasons", "Rides off the road now and then"),
        Experience.SEASONED: ("Seasoned", "At home off the road, sure on one foot"),
    },
    Stage: {
        Stage.ASKED: ("Asked", "The rider came in or called; nothing is promised yet"),
        Stage.PLANNED: ("Planned", "The plan stands and can be shown to the rider"),
        Stage.AGREED: ("Agreed", "The rider wants it done like this, at this price"),
        Stage.ORDERED: ("Parts ordered", "What must be bought is on its way"),
        Stage.IN_WORK: ("In the workshop", "The machine is here and being worked on"),
        Stage.MEASURED: ("Measured", "The tape was put to the machine after the work"),
        Stage.HANDED_OVER: ("Handed over", "The rider has the machine back"),
    },
    Boot: {
        Boot.STIFF: ("Stiff off-road boot", "Lets the heel rise about 20° (assumption)"),
        Boot.WALKING: ("Walking boot", "Lets the heel rise about 30° (assumption)"),
    },
    Population: {
        Population.MEN: ("Men", ""),
        Population.WOMEN: ("Women", ""),
        Population.BOTH: ("Men and women", "Estimates use the survey of both together"),
    },
    Source: {
        Source.MAKER: ("Maker's sheet", "Stated by the maker of the machine"),
        Source.MEASURED: ("Measured", "Read off the machine"),
        Source.ESTIMATED: ("Estimated", "Worked out from other figures"),
        Source.ASSUMED: ("Assumed", "Filled in by habit: worth measuring"),
    },
    Severity: {
        Severity.STOP: ("Stop", "Do not build it like this"),
        Severity.CAUTION: ("Caution", "Can be built, but look at this first and tell the rider"),
        Severity.NOTE: ("Note", "Good to know; no hazard by itself"),
    },
    Basis: {
        Basis.STANDARD: (
            "Standard or rule",
            "The limit comes from a published standard or regulation",
        ),
        Basis.MAKER: ("Maker", "The limit comes from the maker of the machine or part"),
        Basis.PRACTICE: ("Common practice", "Usual in workshops; no published source"),
        Basis.ASSUMPTION: ("Assumption", "Chosen by this program until somebody knows better"),
    },
    WayId: {
        WayId.FORK_LIMITER: (
            "Extension limiter, fork",
            "A spacer that stops the fork extending as far",
        ),
        WayId.SHOCK_LIMITER: (
            "Extension limiter, shock",
            "A spacer that stops the shock extending as far",
        ),
        WayId.RAISED_STANCHIONS: (
            "Stanchions raised in the clamps",
            "The fork tubes stand higher in the triple clamps",
        ),
        WayId.LOWER_SEAT: ("Lower seat", "Less foam, or a seat of another shape"),
        WayId.SHORTER_SHOCK: (
            "Shorter shock",
            "A shock body shorter between its eyes; specialist work",
        ),
        WayId.LONGER_RODS: (
            "Longer link rods",
            "They let the rear down and change the leverage",
        ),
        WayId.NARROWER_SEAT: (
            "Narrower seat",
            "Cut where the thighs cross, so that the legs hang straighter",
        ),
        WayId.SMALLER_TYRES: ("Smaller tyres", "Both wheels stand lower"),
        WayId.THICKER_SOLE: ("Thicker boot sole", "The rider's boots, not the machine"),
    },
    CatalogueState: {state: (STATE_LABELS[state], _STATE_HINTS[state]) for state in CatalogueState},
    MachineKind: {
        MachineKind.TRAIL: ("Trail", ""),
        MachineKind.ENDURO: ("Enduro", ""),
        MachineKind.MOTOCROSS: ("Motocross", ""),
        MachineKind.DUAL_SPORT: ("Dual sport", ""),
        MachineKind.ADVENTURE: ("Adventure", ""),
        MachineKind.CHILD: ("Children's machine", ""),
    },
    EngineShape: {
        EngineShape.TWO_STROKE: ("Two-stroke single", ""),
        EngineShape.SINGLE: ("Four-stroke single", ""),
        EngineShape.TWIN: ("Twin", ""),
    },
    UnitSystem: {
        UnitSystem.METRIC: ("mm, kg, N/mm", "Metric, spring rates in N/mm"),
        UnitSystem.METRIC_KGF: ("mm, kg, kgf/mm", "Metric, spring rates in kgf/mm (sold as kg/mm)"),
        UnitSystem.INCH: ("in, lb, lbf/in", "Inch, spring rates in lbf/in (sold as lb/in)"),
    },
    Theme: {
        Theme.LIGHT: ("Light", ""),
        Theme.DARK: ("Dark", ""),
        Theme.SYSTEM: ("As the system", ""),
    },
}
