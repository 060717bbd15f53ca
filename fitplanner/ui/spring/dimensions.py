"""Owns the page on which a spring's dimensions are typed as a calliper shows them."""

from PySide6.QtWidgets import QWidget

from fitplanner.mechanics.spring_readings import Across
from fitplanner.mechanics.springs import EndType, WireMaterial
from fitplanner.planning.spring_found import SpringFound, by_dimensions
from fitplanner.quantities import Kind
from fitplanner.ui.spring.entries import ReadingForm

_WIRE = ((0.5, 30.0), (0.03, 1.0))
_DIAMETER = ((5.0, 200.0), (0.3, 5.0))
_COILS = ((1.0, 150.0), (0.25, 5.0))
_FREE = ((20.0, 900.0), (1.0, 20.0))


class DimensionsPage(ReadingForm):
    """Wire, diameter, coils, ends, steel and free length."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        tr = self.tr
        self.wire = self.add_reading(
            tr("Wire"), Kind.LENGTH, *_WIRE, optional=True, help=tr("On bare steel, paint off")
        )
        self.diameter = self.add_reading(
            tr("Coil's diameter"), Kind.LENGTH, *_DIAMETER, optional=True
        )
        self.across = self.add_choice(
            tr("Where the diameter was read"),
            {
                Across.OUTSIDE: tr("outside"),
                Across.INSIDE: tr("inside"),
                Across.MIDDLE: tr("middle of the wire"),
            },
            beside=self.diameter.value,
        )
        self.coils = self.add_reading(
            tr("Coils"), Kind.RATIO, *_COILS, optional=True, help=tr("Quarter turns count")
        )
        self.counted = self.add_choice(
            tr("Which coils were counted"),
            {True: tr("all, tip to tip"), False: tr("active ones only")},
            beside=self.coils.value,
        )
        self.ends = self.add_choice(
            tr("Ends"),
            {
                EndType.SQUARED_GROUND: tr("closed and ground flat"),
                EndType.SQUARED: tr("closed, not ground"),
                EndType.PLAIN_GROUND: tr("open, ground flat"),
                EndType.PLAIN: tr("open, as cut"),
            },
        )
        self.material = self.add_choice(
            tr("Steel"),
            {
                WireMaterial.CHROME_SILICON: tr("chrome-silicon"),
                WireMaterial.CHROME_VANADIUM: tr("chrome-vanadium"),
                WireMaterial.OIL_TEMPERED: tr("oil-tempered"),
                WireMaterial.MUSIC: tr("music wire"),
                WireMaterial.HARD_DRAWN: tr("hard-drawn"),
                "": tr("steel not known"),
            },
        )
        self.free = self.add_reading(tr("Free length, if read"), Kind.LENGTH, *_FREE, optional=True)

    def answer(self) -> SpringFound | None:
        """What the dimensions say, or None while some are missing.

        Raises:
            ReadingsError: no spring has these dimensions.
        """
        wire, diameter, coils = self.wire.read(), self.diameter.read(), self.coils.read()
        if wire is None or diameter is None or coils is None:
            return None
        return by_dimensions(
            wire_mm=wire,
            diameter_mm=diameter,
            across=Across(self.across.currentData()),
            coils=coils,
            counted_all=bool(self.counted.currentData()),
            ends=EndType(self.ends.currentData()),
            material=WireMaterial(steel) if (steel := self.material.currentData()) else None,
            free_mm=self.free.read(),
        )

    def wanted(self) -> str:
        """What has to be read."""
        return self.tr("Wire, coil's diameter and coils give the rate and the solid length.")

    def origin(self) -> str:
        """What was read, in the words and units in which it was typed."""
        return self.tr("wire {wire}, {diameter} {across}, {coils} coils {counted}, {steel}").format(
            wire=self.typed(self.wire.value),
            diameter=self.typed(self.diameter.value),
            across=self.across.currentText(),
            coils=self.typed(self.coils.value),
            counted=self.counted.currentText(),
            steel=self.material.currentText(),
        )
