"""What is worth a note though it need be no slip: figures that claim too much,
and a leverage in which a reading was used that does not go with the others."""

from collections.abc import Iterator

from fitplanner.documents.base import Figure, Section, Source
from fitplanner.documents.machine import MachineProfile
from fitplanner.library.slips.finding import Finding

UNFIT = "does not go with the others"
"""What the origin of a leverage says of a reading that was used all the same."""


def notes(profile: MachineProfile) -> Iterator[Finding]:
    """Notes on one profile."""
    yield from _spreads(profile)
    factor = profile.rear.leverage_factor
    if UNFIT in factor.origin:
        yield Finding(
            "rear.leverage_factor",
            "caution",
            f"The leverage was found from {factor.origin}.",
            "Read that row again, or leave it out, in the window of the readings.",
        )
    if profile.masses.running_order_fuel_share.value < 0.5:
        yield Finding(
            "masses.running_order_fuel_share",
            "note",
            "The mass in running order is stated with a tank less than half full.",
            "If the data sheet gives a dry mass, say 0 % here; else running order means 90 %.",
        )


def _spreads(profile: MachineProfile) -> Iterator[Finding]:
    """Readings and estimates that claim to be exact."""
    exact = []
    for name in type(profile).model_fields:
        section = getattr(profile, name)
        if not isinstance(section, Section):
            continue
        for spec in section.specs():
            figure = getattr(section, spec.key)
            if (
                isinstance(figure, Figure)
                and figure.spread == 0
                and figure.value != 0
                and figure.source in (Source.MEASURED, Source.ESTIMATED)
            ):
                exact.append((f"{name}.{spec.key}", spec.label))
    if exact:
        yield Finding(
            exact[0][0],
            "note",
            f"Read or estimated, but without a spread: {', '.join(label for _, label in exact)}.",
            "Say how far three readings differ; without it the plan's band is too narrow.",
        )
