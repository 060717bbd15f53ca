"""Owns the question which figures of the job's machine look like slips, beside the planning.

It waits until the figures have rested for a moment, so that the plan comes first, and runs on a
thread of its own. Refuses to show anything.
"""

import logging
from typing import TYPE_CHECKING

from PySide6.QtCore import QCoreApplication, QObject, QTimer, Signal

from fitplanner.documents.job import Job
from fitplanner.documents.machine import MachineProfile
from fitplanner.ui.newest import Newest

if TYPE_CHECKING:
    from fitplanner.library.slips.finding import Finding

log = logging.getLogger(__name__)

REST_MS = 150


def findings_of(profile: object) -> "tuple[Finding, ...]":
    """The findings of a profile; a fault of the program is written to the log and is none."""
    # Imported with the first question, so that the window does not wait for it.
    from fitplanner.planning.profile_check import check_profile

    assert isinstance(profile, MachineProfile)
    try:
        return check_profile(profile)
    except Exception:
        log.exception("the profile could not be checked")
        return ()


def slips_among(findings: "tuple[Finding, ...]") -> set[tuple[str, str]]:
    """Section and figure of what looks like a slip; notes do not, and a table is one figure."""
    keys = [finding.key.split(".") for finding in findings if finding.severity != "note"]
    return {(key[0], key[1] if len(key) > 1 else "") for key in keys}


def slips_line(findings: "tuple[Finding, ...]", *, beside: bool = False) -> str:
    """That figures look like slips; "" for none. `beside`: each is told here, not at its field.

    A mend is promised only where one stands there.
    """
    slips = slips_among(findings)
    if not slips:
        return ""
    if beside:
        if len(slips) == 1:
            return _tr("1 figure looks like a slip:")
        return _tr("{count} figures look like slips:").format(count=len(slips))
    mends = {one.figure for one in findings if one.severity != "note" and one.changes}
    if len(slips) == 1:
        words = _tr("1 figure looks like a slip; below it stands why")
        return words + (_tr(", and its likely mend.") if mends else ".")
    words = _tr("{count} figures look like slips; below each stands why").format(count=len(slips))
    if len(mends) < len(slips):
        return words + (_tr(", and the likely mend where there is one.") if mends else ".")
    return words + _tr(", and its likely mend.")


def _tr(text: str) -> str:
    return QCoreApplication.translate("Slips", text)


class Slips(QObject):
    """Asks for the findings of one machine after the other."""

    found = Signal(object)
    """The findings of the machine shown last, worst first."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.findings: tuple[Finding, ...] = ()
        self._machine: MachineProfile | None = None
        self._newest = Newest(findings_of, "slips", self)
        self._rest = QTimer(self)
        self._rest.setSingleShot(True)
        self._rest.setInterval(REST_MS)
        self._rest.timeout.connect(self._ask)
        self._newest.answered.connect(self._take)

    @property
    def busy(self) -> bool:
        """Whether findings are still to come."""
        return self._rest.isActive() or self._newest.busy

    def show_job(self, job: Job) -> None:
        """Look at the machine of `job`, where it is another one."""
        if job.machine is not self._machine:
            self._machine = job.machine
            self._rest.start()

    def close(self) -> None:
        """End the thread; findings no longer come."""
        self._rest.stop()
        self._newest.close()

    def _ask(self) -> None:
        self._newest.ask(self._machine)

    def _take(self, machine: object, findings: "tuple[Finding, ...]") -> None:
        if machine is self._machine:
            self.findings = findings
            self.found.emit(findings)
