"""Owns how a profile under edit is saved and left: nothing that was typed goes unseen.

Text that a field could not take is work too: before a save, and before the profile is left, it is
said which text is not used. Refuses files; `Shelving` has them.
"""

from PySide6.QtCore import QObject, Signal

from fitplanner.ui.dialogs import Dialogs, Unsaved
from fitplanner.ui.profiles.draft import Draft
from fitplanner.ui.profiles.shelving import Shelving


class Leaving(QObject):
    """Save and leave, for one draft."""

    field_wanted = Signal(object)
    """The user wants to go back to the widget that holds a refused text."""

    def __init__(
        self, draft: Draft, shelving: Shelving, dialogs: Dialogs, parent: QObject | None = None
    ) -> None:
        super().__init__(parent)
        self._draft, self._shelving, self._dialogs = draft, shelving, dialogs
        self._refusals = draft.history.refusals

    @property
    def unsaved(self) -> bool:
        """Whether anything would be lost: a change, or text that is not used."""
        return self._draft.unsaved or self._refusals.next() is not None

    def save(self) -> bool:
        """Put the profile on the shelf; whether it is there now."""
        self._draft.history.end_step()
        refused = self._refusals.next()
        if refused is not None:
            if not self._dialogs.ask_save_without(self._refusals.told()):
                self.field_wanted.emit(refused.typed_in())
                return False
            self._refusals.discard()
        kept = self._shelving.save(self._draft.profile, self._draft.base)
        if kept is None:
            return False
        self._draft.saved(kept)
        return True

    def may_leave(self) -> bool:
        """Whether the profile can be left: saved, or given up by the user."""
        if not self.unsaved:
            return True
        answer = self._dialogs.ask_unsaved(self._draft.profile.name, self._refusals.told())
        if answer is Unsaved.SAVE:
            return self.save()
        return answer is Unsaved.DISCARD
