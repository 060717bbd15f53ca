"""Owns the words of the ranked library: groups, footings, what is fitted, and why not.

Refuses to compute any figure.
"""

from PySide6.QtCore import QCoreApplication, QLocale

from fitplanner.documents.machine import INVENTED
from fitplanner.documents.preferences import Rates
from fitplanner.documents.rider import Rider
from fitplanner.planning.fleet import Doing, FleetRow
from fitplanner.planning.plan import WayId
from fitplanner.quantities import Kind
from fitplanner.ui import texts
from fitplanner.ui.widgets.figures import ARROW, Figures
from fitplanner.ui.widgets.money import money_text

_LEAST_MM = 0.5


def tr(text: str) -> str:
    """Words of this window in the user's language."""
    return QCoreApplication.translate("Fleet", text)


def group_title(doing: Doing) -> str:
    """The heading of a group."""
    return {
        Doing.NOTHING: tr("Fits without lowering"),
        Doing.SEAT: tr("Lowered by seat or boots alone"),
        Doing.SUSPENSION: tr("Lowered in the suspension"),
        Doing.IMPOSSIBLE: tr("Not with what is tried here"),
    }[doing]


def rider_line(rider: Rider, figures: Figures) -> str:
    """The rider's data in one line."""
    parts = [rider.name] if rider.name else []
    if rider.inside_leg_mm is not None:
        leg = figures.text(rider.inside_leg_mm)
        parts.append(tr("inside leg {length}").format(length=leg))
    elif rider.stature_mm is not None:
        parts.append(tr("inside leg estimated from the stature"))
    if rider.stature_mm is not None:
        parts.append(tr("stature {length}").format(length=figures.text(rider.stature_mm)))
    if rider.mass_kg is not None:
        body = figures.text(rider.mass_kg, Kind.MASS)
        gear = figures.text(rider.gear_mass_kg, Kind.MASS)
        parts.append(tr("{body} and {gear} of gear").format(body=body, gear=gear))
    parts.append(texts.label(rider.riding_style))
    parts.append(tr("wants: {footing}").format(footing=texts.label(rider.footing)))
    return "  ·  ".join(parts)


def drop(row: FleetRow, figures: Figures) -> str:
    """How far the seat has to come down."""
    return figures.bare(row.drop_mm) if row.drop_mm >= _LEAST_MM else "–"


def footing(row: FleetRow) -> str:
    """What reaches the ground, before and after, and how likely the wish is reached."""
    before, after = texts.label(row.before), texts.label(row.after)
    feet = after if before == after else f"{before} {ARROW} {after}"
    return feet if row.chance is None else f"{feet}\n{chance(row)}"


def chance(row: FleetRow) -> str:
    """How likely the wanted footing is reached; "" while that is not known."""
    if row.chance is None:
        return ""
    return tr("as wanted: {chance}").format(chance=texts.chance_words(row.chance))


def fitted(row: FleetRow, figures: Figures) -> str:
    """Everything that is fitted, in a few words; why not, where it is not possible."""
    if row.doing is Doing.IMPOSSIBLE:
        return figures.sentence(row.reason)
    parts = _amounts(row, figures)
    if row.new_stand:
        parts.append(tr("side-stand shortened"))
    done = ", ".join(parts)
    suited = _suited(row)
    if suited:
        springs = tr("to suit the weight: {springs}").format(springs=", ".join(suited))
        done = f"{done}; {springs}" if done else springs
    told = _first_upper(done) or tr("Nothing, springs included")
    return tr("Built for a child. {work}").format(work=told) if row.for_a_child else told


def _suited(row: FleetRow) -> list[str]:
    """What is done at the springs for the rider's weight and the travel that is left."""
    ends = (
        (tr("fork springs"), tr("fork preload")),
        (tr("shock spring"), tr("shock preload")),
    )
    return [
        spring if changed else preload
        for (spring, preload), changed, turned in zip(ends, row.springs, row.preloads, strict=True)
        if changed or turned
    ]


def details(row: FleetRow, figures: Figures, locale: QLocale, rates: Rates) -> str:
    """Sentences on the row that is chosen."""
    if row.doing is Doing.IMPOSSIBLE:
        lines = [figures.sentence(row.reason) + "."]
        if row.amounts:
            parts = ", ".join(_amounts(row, figures))
            lines.append(tr("Nearest: {parts}.").format(parts=parts))
    else:
        lines = [fitted(row, figures) + "."]
        lines.append(
            tr("{hours} of work at {rate} an hour, and parts for {parts}.").format(
                hours=hours(row, locale) + "\N{NO-BREAK SPACE}h",
                rate=money(rates.hourly, locale, rates),
                parts=money(row.parts, locale, rates),
            )
        )
    if row.chance is not None:
        wanted = tr("The wanted footing is reached: {chance}.")
        lines.append(wanted.format(chance=texts.chance_words(row.chance)))
    if row.doing is not Doing.NOTHING and row.drop_mm < _LEAST_MM and not row.stop:
        lines.append(
            tr("It reaches as it stands; springs for this weight bring the seat up again.")
        )
    if row.profile.note:
        lines.append(row.profile.note)
    if row.profile.invented:
        lines.append(INVENTED)
    return " ".join(lines)


def hours(row: FleetRow, locale: QLocale) -> str:
    """Hours of work."""
    return f"{row.hours:.1f}".replace(".", locale.decimalPoint())


def money(amount: float, locale: QLocale, rates: Rates) -> str:
    """An amount in the shop's currency."""
    return money_text(amount, locale, rates.currency)


def _amounts(row: FleetRow, figures: Figures) -> list[str]:
    """Amounts in the words of the counter, shorter than those of the bench."""
    short = {
        WayId.FORK_LIMITER: tr("fork limiter {length}"),
        WayId.SHOCK_LIMITER: tr("shock limiter {length}"),
        WayId.RAISED_STANCHIONS: tr("stanchions up {length}"),
        WayId.LOWER_SEAT: tr("lower seat {length}"),
        WayId.NARROWER_SEAT: tr("seat narrower {length}"),
        WayId.THICKER_SOLE: tr("thicker sole {length}"),
    }
    return [
        short[way].format(length=figures.text(amount, decimals=1 if amount % 1 else 0))
        for way, amount in row.amounts
    ]


def _first_upper(text: str) -> str:
    return text[:1].upper() + text[1:]
