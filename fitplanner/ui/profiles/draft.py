"""Owns one profile under edit: a session and its undo on a job whose machine it is.

A profile under edit is complete at every moment: what nobody knows yet is filled in by the rules,
anew after each edit and within the same step. Refuses files and questions.
"""

from collections.abc import Callable, Container

from PySide6.QtCore import QObject

from fitplanner.documents.base import Figure, Source
from fitplanner.documents.job import Job
from fitplanner.documents.machine import EngineShape, LeverageTable, MachineKind, MachineProfile
from fitplanner.library.ids import free_id
from fitplanner.library.rules import Rules
from fitplanner.planning.profile_check import common_job
from fitplanner.session.edits import Edit, replace_at
from fitplanner.session.session import Session
from fitplanner.ui.undo import History

NEW_NAME = "New machine"
"""What a machine is called until somebody names it."""

_TRAVEL = ("machine", "rear", "travel_mm")
_TYPED_LEVERAGE = Figure(
    value=1.0, spread=0.03, source=Source.ESTIMATED, origin="the leverage as entered"
)
"""The leverage's factor once the curve is the user's own; its spread is an assumption."""


class Draft:
    """The profile at hand, and what lies on the shelf of it."""

    def __init__(self, rules: Rules, taken: Callable[[], Container[str]], parent: QObject) -> None:
        """`taken` says which ids other machines have."""
        self.rules = rules
        self._taken = taken
        self.base: MachineProfile | None = None
        """What lies on the shelf; None where the profile was never saved."""
        self._unnamed = True
        """Whether the id still follows the name: until the first save of a new profile."""
        self.session = Session(common_job(self.blank()))
        self.history = _DraftHistory(self, parent)

    @property
    def profile(self) -> MachineProfile:
        """The profile as it stands, under the id that it was saved with."""
        machine = self.session.job.machine
        if self.base is None or machine.id == self.base.id:
            return machine
        # A step of undo from before the first save.
        return machine.replace(id=self.base.id)

    @property
    def unsaved(self) -> bool:
        """Whether it differs from what was opened or saved; an untouched new one does not."""
        return self.session.unsaved

    def blank(self) -> MachineProfile:
        """A profile of which nothing is known: every figure by its rule."""
        return self.rules.new_profile(
            id=free_id(NEW_NAME, self._taken()),
            name=NEW_NAME,
            kind=MachineKind.DUAL_SPORT,
            engine=EngineShape.SINGLE,
        )

    def begin(
        self,
        profile: MachineProfile,
        base: MachineProfile | None,
        *,
        new: bool = False,
        unsaved: bool = False,
    ) -> None:
        """Put another profile on the table; `base` is what the shelf holds of it.

        `new`: nobody knows its id yet, so it follows the name until the first save.
        """
        self.base = base
        self._unnamed = new
        self.session.start(common_job(profile), unsaved=unsaved)
        self.history.clear()

    def saved(self, profile: MachineProfile) -> None:
        """The shelf holds `profile` now, which may have counted up its revision."""
        self.base = profile
        self._unnamed = False
        self.session.start(common_job(profile))

    def settled(self, job: Job, before: MachineProfile) -> Job:
        """The job with all assumed figures of its machine, which was `before`, filled in anew.

        Raises:
            DocumentError: the known figures contradict each other.
        """
        machine = job.machine
        factor = machine.rear.leverage_factor
        if machine.rear.linkage != before.rear.linkage and factor.rule:
            rear = machine.rear.replace(leverage_factor=_TYPED_LEVERAGE)
            machine = machine.replace(rear=rear)
        if machine.kind is not before.kind:
            machine = self._with_usual_offers(machine, before)
        machine = self.rules.fill(machine)
        if self._unnamed:
            machine = machine.replace(id=free_id(machine.name, self._taken()))
        return job if machine == job.machine else job.replace(machine=machine)

    def _with_usual_offers(self, machine: MachineProfile, before: MachineProfile) -> MachineProfile:
        """The offers of the new kind where those of the old kind were never touched."""
        old, new = self.rules.offers[before.kind], self.rules.offers[machine.kind]
        changes: dict[str, object] = {
            key: getattr(new, key)
            for key in ("ways", "springs", "stand_work")
            if getattr(machine, key) == getattr(old, key)
        }
        return machine.replace(**changes)


class _DraftHistory(History):
    """Fills in by the rules after each edit, in the same step."""

    def __init__(self, draft: Draft, parent: QObject) -> None:
        super().__init__(draft.session, parent)
        self._draft = draft

    def trial(self, edit: Edit) -> Job:
        before = self._loosened(edit)
        after = replace_at(before, edit.address, edit.value)
        return self._draft.settled(after, before.machine)

    def change(self, job: Job, words: str) -> None:
        super().change(self._draft.settled(job, self.job.machine), words)

    def _loosened(self, edit: Edit) -> Job:
        """The job so that an assumed leverage table does not hold a longer travel back."""
        job = self.job
        rear = job.machine.rear
        table, travel = rear.linkage, edit.value
        if edit.address != _TRAVEL or not isinstance(travel, Figure):
            return job
        if not rear.leverage_factor.rule or not isinstance(table, LeverageTable):
            return job
        if travel.value <= table.wheel_travel_mm[-1]:
            return job
        longer = LeverageTable(
            wheel_travel_mm=[*table.wheel_travel_mm[:-1], travel.value], leverage=table.leverage
        )
        return replace_at(job, ("machine", "rear", "linkage"), longer)
