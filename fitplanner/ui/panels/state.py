"""Owns the choice of the state in which the catalogue's figures were taken; it may be unsaid."""

from typing import Any

from PySide6.QtCore import QCoreApplication
from PySide6.QtWidgets import QWidget

from fitplanner.documents.job import Job
from fitplanner.documents.machine import Catalogue, CatalogueState
from fitplanner.session.edits import Edit, value_at
from fitplanner.ui import texts
from fitplanner.ui.fields import ChoiceEntry
from fitplanner.ui.undo import History


class StateEntry(ChoiceEntry):
    """One of the states; None: the sheet does not say, so on its wheels with a wider spread."""

    def __init__(self, history: History, words: str, parent: QWidget | None = None) -> None:
        unsaid = QCoreApplication.translate("StateEntry", "Not stated")
        labels: dict[CatalogueState | None, str] = {
            **{one: texts.label(one) for one in CatalogueState},
            None: unsaid,
        }
        super().__init__(history, ("machine", "catalogue"), words, labels, parent)
        hint = QCoreApplication.translate(
            "StateEntry",
            "Planned as on its wheels; the seat height counts as less sure by a tenth of the "
            "wheel travel (assumption)",
        )
        self.set_hint(self.count() - 1, hint)

    def _read_job(self, job: Job) -> Any:
        catalogue: Catalogue = value_at(job, self.address)
        return catalogue.state if catalogue.state_known else None

    def _edit_of(self, value: Any) -> Edit:
        catalogue: Catalogue = value_at(self._history.job, self.address)
        state = CatalogueState.ON_WHEELS if value is None else value
        return Edit(self.address, catalogue.replace(state=state, state_known=value is not None))
