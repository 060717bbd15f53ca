"""A window for tests, with someone who answers its questions."""

from collections.abc import Callable, Container, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from PySide6.QtCore import QCoreApplication, QPoint, QPointF, Qt
from PySide6.QtGui import QWheelEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QLineEdit, QWidget
from pytestqt.qtbot import QtBot

from fitplanner.documents.customers import Customers
from fitplanner.documents.job import Job
from fitplanner.documents.machine import MachineProfile
from fitplanner.documents.preferences import Preferences, Rates, Theme
from fitplanner.planning.evaluate import evaluate
from fitplanner.planning.plan import Plan
from fitplanner.quantities import UnitSystem
from fitplanner.session.session import Session
from fitplanner.store.shop import Backup, Kept, Row
from fitplanner.ui.dialogs import Again, Dialogs, Unsaved
from fitplanner.ui.main_window import MainWindow
from fitplanner.ui.profiles.place import MachinesPlace
from fitplanner.ui.profiles.replacing import Kept as KeptProfile
from fitplanner.ui.profiles.replacing import Words
from fitplanner.ui.settings import Settings
from fitplanner.ui.shop.conflict import Choice
from fitplanner.ui.shop.desk import Desk
from fitplanner.ui.shop.history import Version
from fitplanner.ui.shop.place import Place
from fitplanner.ui.shop.stage import Fix
from fitplanner.ui.shop.words import Line, lines
from fitplanner.ui.tasks import Planner
from fitplanner.ui.widgets.figures import Figures
from fitplanner.ui.widgets.quantity_field import QuantityField
from tests import factories

ProfileAnswer = Callable[
    [MachineProfile, MachineProfile, MachineProfile], tuple[KeptProfile, MachineProfile]
]
"""What stays of mine, theirs and the one that would get a new name."""


@dataclass
class Answers(Dialogs):
    """Answers every question as set, and remembers what was told and asked."""

    unsaved: Unsaved = Unsaved.DISCARD
    save_without: bool = True
    recover: bool = True
    replace: bool = True
    to_open: Path | None = None
    to_save: Path | None = None
    to_export: Path | None = None
    rates: Rates | None = None
    customers: Customers | None = None
    proposed: list[Path] = field(default_factory=list)
    add_missing: bool = True
    choices: list[Choice] = field(default_factory=list)
    seen: list[Line] = field(default_factory=list)
    revision: int | None = None
    replace_agreed: bool = True
    erase: bool = True
    restore: bool = True
    again: Again = Again.CANCEL
    fix: Fix = Fix.FIX
    backup: Path | None = None
    folder: Path | None = None
    machines_place: MachinesPlace | None = None
    profiles: list[ProfileAnswer | None] = field(default_factory=list)
    save_removed: bool = True
    place: Place | None = None
    failure: str = ""
    told: list[str] = field(default_factory=list)
    asked: list[str] = field(default_factory=list)

    def tell(self, what: str, more: str = "", *, fault: bool = True) -> None:
        self.told.append(f"{what}\n{more}")

    def ask_unsaved(self, name: str, unused: Sequence[str] = ()) -> Unsaved:
        self.asked.append("\n".join([name, *unused]))
        return self.unsaved

    def ask_save_without(self, unused: Sequence[str]) -> bool:
        self.asked.append("\n".join(["without", *unused]))
        return self.save_without

    def ask_recovery(self, name: str, more: str) -> bool:
        self.asked.append(f"{name}\n{more}")
        return self.recover

    def ask_replace(self, path: Path) -> bool:
        self.asked.append(str(path))
        return self.replace

    def ask_rates(self, rates: Rates) -> Rates | None:
        return self.rates

    def ask_customers(self, customers: Customers, system: UnitSystem) -> Customers | None:
        return self.customers

    def ask_add_missing(self) -> bool:
        self.asked.append("missing")
        return self.add_missing

    def ask_again(self, twin: Row) -> Again:
        self.asked.append(f"again {twin.title}")
        return self.again

    def ask_conflict(self, base: Kept, mine: Job, theirs: Kept, figures: Figures) -> Choice:
        self.asked.append(f"conflict with {theirs.who}")
        self.seen = lines(figures, base.job, mine, theirs.job)
        return self.choices.pop(0)

    def show_history(self, name: str, versions: list[Version], figures: Figures) -> int | None:
        self.asked.append(f"{name}: {[one.change.revision for one in versions]}")
        return self.revision

    def ask_erase(self, name: str, jobs: int, others: int) -> bool:
        self.asked.append(f"erase {name} from {jobs}")
        return self.erase

    def ask_change_agreed(self, stage: str) -> bool:
        self.asked.append(f"replace at {stage}")
        return self.replace_agreed

    def ask_restore(self, found: Backup, jobs: int) -> bool:
        self.asked.append(f"restore {found.jobs} over {jobs}")
        return self.restore

    def ask_fix(self, stage: str) -> Fix:
        self.asked.append(f"fix at {stage}")
        return self.fix

    def ask_place(
        self, place: Place, file: str, account: str, take: Callable[[Place], str]
    ) -> None:
        if self.place is not None:
            self.failure = take(self.place)

    def ask_which_profile(
        self,
        mine: MachineProfile,
        theirs: MachineProfile,
        second: MachineProfile,
        words: Words,
        figures: Figures,
        taken: Container[str],
        base: MachineProfile | None = None,
    ) -> tuple[KeptProfile | None, MachineProfile]:
        self.asked.append(f"{words.title}: {mine.revision} or {theirs.revision}")
        answer = self.profiles.pop(0) if self.profiles else None
        return answer(mine, theirs, second) if answer is not None else (None, mine)

    def ask_save_removed(self, name: str) -> bool:
        self.asked.append(f"removed: {name}")
        return self.save_removed

    def ask_machines_place(
        self,
        place: MachinesPlace,
        usual: str,
        trouble: str,
        take: Callable[[MachinesPlace], str],
    ) -> None:
        self.asked.append(f"machines in {place.folder or usual}: {trouble}")
        if self.machines_place is not None:
            self.failure = take(self.machines_place)

    def choose_profile(self, folder: str) -> Path | None:
        return self.to_open

    def choose_profile_to(self, proposal: Path) -> Path | None:
        self.proposed.append(proposal)
        return self.to_export

    def choose_folder(self, folder: str) -> Path | None:
        return self.folder

    def choose_backup(self, folder: str) -> Path | None:
        return self.backup

    def choose_backup_to(self, proposal: Path) -> Path | None:
        return self.backup

    def choose_open(self, folder: str) -> Path | None:
        return self.to_open

    def choose_save(self, proposal: Path) -> Path | None:
        return self.to_save

    def choose_pdf(self, proposal: Path) -> Path | None:
        self.proposed.append(proposal)
        return self.to_export

    def choose_table(self, proposal: Path) -> Path | None:
        self.proposed.append(proposal)
        return self.to_export


def library() -> dict[str, MachineProfile]:
    """Two machines; the second has no lower seat and no raised stanchions."""
    first = factories.machine_profile()
    ways = first.ways.replace(lower_seat=None, raised_stanchions=None)
    second = factories.machine_profile(id="other-bike", name="Other bike of the tests", ways=ways)
    return {one.id: one for one in (first, second)}


def open_window(
    qtbot: QtBot,
    job: Job | None = None,
    *,
    planner: Callable[[Job], Plan] = evaluate,
    profiles: Mapping[str, MachineProfile] | None = None,
    wait: bool = True,
    desk: Desk | None = None,
    preferences: Preferences | None = None,
) -> MainWindow:
    """A window with `job`, shown and planned."""
    settings = Settings(preferences or Preferences(theme=Theme.LIGHT))
    window = MainWindow(
        Session(job or factories.job()),
        library() if profiles is None else profiles,
        settings,
        dialogs=Answers(),
        planner=Planner(planner),
        desk=desk,
    )
    qtbot.addWidget(window, before_close_func=_give_up)
    with qtbot.waitExposed(window):
        window.show()
    window.activateWindow()
    if wait:
        wait_for_plan(qtbot, window)
    return window


def _give_up(window: MainWindow) -> None:
    """Let the window close whatever is unsaved: what stays open is torn down with its threads."""
    answers(window).unsaved = Unsaved.DISCARD


def answers(window: MainWindow) -> Answers:
    """Who answers the questions of `window`."""
    assert isinstance(window.dialogs, Answers)
    return window.dialogs


def wait_for_plan(qtbot: QtBot, window: MainWindow) -> None:
    """Until the newest question is answered."""
    qtbot.waitUntil(lambda: not window.planner.busy, timeout=20_000)


def press(window: MainWindow, command: str) -> None:
    """Choose a command of the menus."""
    window.commands[command].trigger()


def entry(window: MainWindow, *address: str) -> QuantityField:
    """The field of the input panel that is bound to `address`."""
    for each in window.inputs.findChildren(QuantityField):
        if getattr(each, "address", None) == address:
            return each
    raise AssertionError(f"no field for {address}")


def retype(target: QuantityField | QLineEdit, text: str) -> None:
    """Replace the text of a field by keys, without leaving it."""
    line = target.line_edit if isinstance(target, QuantityField) else target
    line.setFocus()
    line.selectAll()
    if text:
        QTest.keyClicks(line, text)
    else:
        QTest.keyClick(line, Qt.Key.Key_Delete)


def turn_wheel(target: QWidget, angle: int, at: QPointF | None = None) -> QWheelEvent:
    """Turn the wheel over a widget; 120 is a notch."""
    at = at or QPointF(5, 5)
    event = QWheelEvent(
        at,
        target.mapToGlobal(at),
        QPoint(),
        QPoint(0, angle),
        Qt.MouseButton.NoButton,
        Qt.KeyboardModifier.NoModifier,
        Qt.ScrollPhase.NoScrollPhase,
        False,
    )
    QCoreApplication.sendEvent(target, event)
    return event
