"""Owns the way from the window to paper: the window of the papers and the plan's table.

Refuses what stands on them.
"""

from typing import TYPE_CHECKING

from PySide6.QtCore import QCoreApplication
from PySide6.QtWidgets import QWidget

from fitplanner.documents.job import Job
from fitplanner.documents.preferences import Preferences
from fitplanner.planning.plan import Plan
from fitplanner.ui.actions import Actions
from fitplanner.ui.dialogs import Dialogs
from fitplanner.ui.job_files import JobFiles

if TYPE_CHECKING:
    from fitplanner.report.papers import Proved
    from fitplanner.ui.printing.papers import Prover, Sheet
    from fitplanner.ui.printing.window import PaperWindow


def _prove(job: Job, plan: Plan) -> "Proved":
    # Loaded with the first proof, as most jobs never need it.
    from fitplanner.planning.measured.proof import proof

    return proof(job, plan)


class PaperDesk:
    """Papers and table of the job at hand; they follow its plan."""

    prove: "Prover | None" = staticmethod(_prove)
    """Holds the work of a job against its plan; without it no proof is offered."""

    def __init__(
        self, commands: Actions, files: JobFiles, dialogs: Dialogs, parent: QWidget
    ) -> None:
        self._commands, self._files, self._dialogs = commands, files, dialogs
        self._parent = parent
        self._preferences = Preferences()
        self._planned: tuple[Plan, Job] | None = None
        self._window: PaperWindow | None = None
        for name, slot in {
            "paper_fit": self._show_fit,
            "paper_bench": self.show_bench,
            "paper_order": self._show_order,
            "paper_parts": self._show_parts,
            "paper_proof": self._show_proof,
            "table": self.export_table,
        }.items():
            commands[name].triggered.connect(slot)

    @property
    def window(self) -> "PaperWindow | None":
        """The window of the papers, once it was opened."""
        return self._window

    def follow(self, plan: Plan | None, job: Job | None) -> None:
        """Take the plan shown and the job that it belongs to, or that there is none."""
        self._planned = None if plan is None or job is None else (plan, job)
        measured = job is not None and job.measured_after
        self._commands["paper_proof"].setVisible(measured and self.prove is not None)
        if self._window is not None:
            self._window.show_plan(self._planned)

    def set_preferences(self, preferences: Preferences) -> None:
        """Take units, rate and currency."""
        self._preferences = preferences
        if self._window is not None:
            self._window.set_preferences(preferences)

    def shut(self) -> None:
        """End the threads, once everything is written."""
        if self._window is not None:
            self._window.shut()

    def show(self, sheet: "Sheet") -> None:
        """Open the window of the papers at one of them."""
        # Loaded when it is first wanted, as most jobs never need it.
        from fitplanner.ui.printing.window import PaperWindow

        if self._window is None:
            self._window = PaperWindow(self._files, self._dialogs, self._parent, self.prove)
            self._window.addActions([self._commands["undo"], self._commands["redo"]])
            self._window.set_preferences(self._preferences)
            self._window.show_plan(self._planned)
        self._window.choose(sheet)
        self._window.show()
        self._window.raise_()
        self._window.activateWindow()

    def export_table(self) -> None:
        """Write all figures of the plan to a table for spreadsheets."""
        from fitplanner.report.sheet_csv import plan_csv
        from fitplanner.ui.exports import CSV, export_table

        if self._planned is None:
            words = "There is no plan yet that could be exported."
            self._dialogs.tell(QCoreApplication.translate("Printing", words))
            return
        plan, job = self._planned
        table = plan_csv(plan, job, self._preferences.unit_system)
        proposal = self._files.proposal(job.title or job.reference, CSV)
        path = export_table(self._dialogs, proposal, table)
        if path is not None:
            self._files.folder = str(path.parent)

    def show_bench(self) -> None:
        """Open the bench sheet."""
        from fitplanner.ui.printing.papers import Sheet

        self.show(Sheet.BENCH)

    def _show_fit(self) -> None:
        from fitplanner.ui.printing.papers import Sheet

        self.show(Sheet.FIT)

    def _show_order(self) -> None:
        from fitplanner.ui.printing.papers import Sheet

        self.show(Sheet.ORDER)

    def _show_parts(self) -> None:
        from fitplanner.ui.printing.papers import Sheet

        self.show(Sheet.PARTS)

    def _show_proof(self) -> None:
        from fitplanner.ui.printing.papers import Sheet

        self.show(Sheet.PROOF)
