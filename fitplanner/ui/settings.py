"""Owns the preferences at hand and writes each change down."""

import getpass
import logging
from typing import Any

from fitplanner.documents.preferences import Preferences
from fitplanner.store.files import StoreError
from fitplanner.store.preferences import load_preferences, save_preferences

log = logging.getLogger(__name__)


class Settings:
    """The user's preferences; a disk that refuses them costs the settings, never the work."""

    def __init__(self, preferences: Preferences | None = None, *, kept: bool = True) -> None:
        """Start with `preferences`, or those on the disk; `kept` says whether to write changes."""
        self.message = ""
        self._kept = kept
        if preferences is None:
            try:
                preferences, self.message = load_preferences()
            except StoreError as error:
                preferences, self.message = Preferences(), str(error)
        self.preferences = preferences

    @property
    def who(self) -> str:
        """The name that stands with what the user saves in the shop."""
        return self.preferences.user_name.strip() or self.account

    @property
    def account(self) -> str:
        """The name of the user's account; "" where it has none."""
        try:
            return getpass.getuser()
        except (OSError, KeyError, ImportError):
            # An account without a name, as in some containers.
            return ""

    def change(self, **changes: Any) -> None:
        """Set fields of the preferences; on the disk all others stay as they are there."""
        changed = self.preferences.replace(**changes)
        if changed == self.preferences:
            return
        self.preferences = changed
        if self._kept:
            try:
                present, _ = load_preferences()
                save_preferences(present.replace(**changes))
            except StoreError as error:
                log.warning("preferences not kept: %s", error)
