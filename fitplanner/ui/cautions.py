"""Owns the words that stand before all work: what the program is for and what it cannot know."""

from PySide6.QtCore import QCoreApplication

from fitplanner import __version__


def cautions() -> str:
    """The usual cautions, one paragraph each."""
    return "\n\n".join(
        (
            _tr(
                "Fork and shock springs are under load and the shock holds gas under pressure: "
                "they can throw parts. Use the maker's tools and follow the maker's book. "
                "Gas work is for a workshop that is equipped for it."
            ),
            _tr(
                "Secure the machine against tipping and rolling before a wheel or a damper comes "
                "out. Torques, oil and adjustment limits are the maker's."
            ),
            _tr(
                "A lowered machine has less ground clearance, stands differently on its "
                "side-stand and steers differently. Check tyre, mudguard, chain, hoses and cables "
                "through the whole travel before the first ride, and ride off carefully."
            ),
            _tr(
                "Changes of the suspension may need approval, and may touch guarantee and "
                "insurance. Local rules and the maker's word go before anything shown here."
            ),
            _tr(
                "The figures follow from what was entered. Measure the rider and the machine; "
                "what is assumed is marked, and widens the band."
            ),
        )
    )


def about() -> str:
    """What the program is, with its version."""
    what = _tr(
        "Plans how an off-road motorcycle is lowered to fit its rider: how far, at which end, "
        "with which parts, and what changes with it."
    )
    return f"{_tr('Version')} {__version__}\n\n{what}"


def _tr(text: str) -> str:
    return QCoreApplication.translate("Cautions", text)
