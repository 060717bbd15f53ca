"""Owns the row of choices from which the question is made: machine, footing, springs, options.

Refuses to ask.
"""

from collections.abc import Mapping

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QComboBox, QHBoxLayout, QLabel, QWidget

from fitplanner.body.reach import Footing
from fitplanner.documents.customers import Customers
from fitplanner.documents.job import Choices, Job
from fitplanner.documents.machine import MachineProfile
from fitplanner.documents.preferences import Rates
from fitplanner.planning.people.shares import ASKED_SHARES, Question
from fitplanner.quantities import of_100
from fitplanner.report.people import SPRINGS
from fitplanner.ui import texts
from fitplanner.ui.widgets.text import tip
from fitplanner.ui.widgets.wheel import scrolls_past

FOOTINGS = tuple(each for each in Footing if each is not Footing.NONE)
_USUAL = FOOTINGS.index(Footing.BOTH_BALLS)
_TIP = Qt.ItemDataRole.ToolTipRole


class Asked(QWidget):
    """Four choices; the machine is the job's own or one of the library."""

    changed = Signal()
    """The user chose otherwise."""

    def __init__(self, profiles: Mapping[str, MachineProfile], parent: QWidget) -> None:
        super().__init__(parent)
        self._profiles = profiles
        self._wish: Footing | None = None
        self.machine, self.footing, self.springs, self.wanted = (QComboBox(self) for _ in range(4))
        for footing in FOOTINGS:
            self.footing.addItem(texts.label(footing))
            self.footing.setItemData(self.footing.count() - 1, tip(texts.hint(footing)), _TIP)
        for label, hint in SPRINGS.values():
            self.springs.addItem(label)
            self.springs.setItemData(self.springs.count() - 1, tip(hint), _TIP)
        for share in ASKED_SHARES:
            self.wanted.addItem(self.tr("{count} of 100 women").format(count=of_100(share)))
        self.footing.setCurrentIndex(_USUAL)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(8)
        for words, box in (
            (self.tr("&Machine"), self.machine),
            (self.tr("&Footing"), self.footing),
            (self.tr("Sp&rings"), self.springs),
            (self.tr("&Options for"), self.wanted),
        ):
            name = QLabel(words, self)
            name.setBuddy(box)
            box.setAccessibleName(words.replace("&", ""))
            box.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
            scrolls_past(box)
            box.activated.connect(self.changed)
            row.addWidget(name)
            row.addWidget(box)
            row.addSpacing(6)
        row.addStretch(1)

    def show_job(self, job: Job) -> None:
        """Put the job's machine first; the choice stays where it can, the rider's wish is new."""
        kept = self.machine.currentData()
        self.machine.clear()
        self.machine.addItem(self.tr("{name} (this job)").format(name=job.machine.name), "")
        for key, profile in sorted(self._profiles.items(), key=lambda each: each[1].name):
            if profile != job.machine:
                self.machine.addItem(profile.name, key)
        self.machine.setCurrentIndex(max(self.machine.findData(kept), 0))
        wish = job.rider.footing
        if wish is not self._wish:
            self._wish = wish
            self.footing.setCurrentIndex(FOOTINGS.index(wish) if wish in FOOTINGS else _USUAL)

    def question(self, job: Job, customers: Customers, rates: Rates) -> Question:
        """The question as it is chosen now, with the boots, gear and load of a job."""
        key = self.machine.currentData()
        choices = job.choices
        rider = job.rider.replace(name="", phone="", footing=FOOTINGS[self.footing.currentIndex()])
        return Question(
            machine=self._profiles[key] if key else job.machine,
            pattern=rider.replace(stature_mm=None, inside_leg_mm=None, mass_kg=None),
            load=Choices(
                fuel_share=choices.fuel_share,
                luggage_front_kg=choices.luggage_front_kg,
                luggage_rear_kg=choices.luggage_rear_kg,
                feet_share=choices.feet_share,
                pitch_wish_deg=choices.pitch_wish_deg,
            ),
            customers=customers,
            springs=list(SPRINGS)[self.springs.currentIndex()],
            wanted=ASKED_SHARES[self.wanted.currentIndex()],
            rates=rates,
            job=None if key else job.planned_on(),
            rider=rider,
        )
