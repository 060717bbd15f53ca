"""Owns what the user sets once for all jobs: units, appearance, prices, customers.

Refuses to show any of it: whoever shows follows `changed`.
"""

from PySide6.QtCore import QCoreApplication, QObject, Signal
from PySide6.QtWidgets import QApplication

from fitplanner.documents.preferences import Theme
from fitplanner.quantities import UnitSystem
from fitplanner.ui.cautions import about, cautions
from fitplanner.ui.dialogs import Dialogs
from fitplanner.ui.settings import Settings
from fitplanner.ui.theme import apply_theme


class Wishes(QObject):
    """Asks for them and keeps them."""

    changed = Signal(object)
    """The preferences as they are now."""

    def __init__(self, settings: Settings, dialogs: Dialogs, parent: QObject) -> None:
        super().__init__(parent)
        self._settings = settings
        self._dialogs = dialogs

    def set_system(self, system: UnitSystem) -> None:
        """Show all quantities in another unit system."""
        self._change(unit_system=system)

    def set_theme(self, theme: Theme) -> None:
        """Give the program another appearance."""
        app = QApplication.instance()
        if isinstance(app, QApplication):
            apply_theme(app, theme)
        self._change(theme=theme)

    def ask_rates(self) -> None:
        """Ask for the shop's hourly rate and currency."""
        rates = self._dialogs.ask_rates(self._settings.preferences.rates)
        if rates is not None:
            self._change(rates=rates)

    def ask_customers(self) -> None:
        """Ask for the shop's own figures of its customers."""
        preferences = self._settings.preferences
        customers = self._dialogs.ask_customers(preferences.customers, preferences.unit_system)
        if customers is not None:
            self._change(customers=customers)

    def show_cautions(self) -> None:
        """Say what has to be known before anybody begins."""
        self._dialogs.tell(self.tr("Before you begin"), cautions(), fault=False)

    def show_about(self) -> None:
        """Say what this program is."""
        name = QCoreApplication.applicationName()
        self._dialogs.tell(name, f"{about()}\n\n{cautions()}", fault=False)

    def _change(self, **changes: object) -> None:
        self._settings.change(**changes)
        self.changed.emit(self._settings.preferences)
