"""Owns one profile under edit: a session and its undo on a job whose machine it is.

A profile under edit is complete at every moment: what nobody knows yet is filled in by the rules,
anew after each edit and within the same step. Refuses files and questions.
"""

from collections.abc import Callable, Container

from PySide6.QtCore import QObject

from fitplanner.documents.job import Job
from fitplanner.documents.machine import EngineShape, MachineKind, MachineProfile
from fitplanner.library.ids import free_id
from fitplanner.library.rules import Rules
from fitplanner.planning.profile_check import common_job
from fitplanner.session.session import Session
from fitplanner.ui.undo import History

NEW_NAME = "New machine"
"""What a machine is called until somebody names it."""


class Draft:
    """The profile at hand, and what lies on the shelf of it."""

    def __init__(self, rules: Rules, taken: Callable[[], Container[str]], parent: QObject) -> None:
        """`taken` says which ids other machines have."""
        self.rules = rules
        self._taken = taken
        self.base: MachineProfile | None = None
        """What lies on the shelf; None where the profile was never saved."""
        self.session = Session(common_job(self.blank()))
        self.history = History(self.session, parent, settle=self._settled)

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
        self, profile: MachineProfile, base: MachineProfile | None, *, unsaved: bool = False
    ) -> None:
        """Put another profile on the table; `base` is what the shelf holds of it."""
        self.base = base
        self.session.start(common_job(profile), unsaved=unsaved)
        self.history.clear()

    def copy_of(self, profile: MachineProfile, name: str) -> MachineProfile:
        """A profile of the shop's own with the same figures."""
        return profile.replace(id=free_id(name, self._taken()), name=name[:120], revision=1)

    def saved(self, profile: MachineProfile) -> None:
        """The shelf holds `profile` now, which may have counted up its revision."""
        self.base = profile
        self.session.start(common_job(profile))

    def _settled(self, job: Job) -> Job:
        machine = self.rules.fill(job.machine)
        if self.base is None:
            # Until it is saved for the first time, the id follows the name.
            machine = machine.replace(id=free_id(machine.name, self._taken()))
        return job if machine == job.machine else job.replace(machine=machine)
