"""Owns the commands of the window: their words, keys, menus and the toolbar."""

from dataclasses import dataclass

from PySide6.QtCore import QEvent, QObject, Qt, Signal
from PySide6.QtGui import QAction, QActionGroup, QKeySequence
from PySide6.QtWidgets import QComboBox, QLabel, QMainWindow, QMenu, QSizePolicy, QToolBar, QWidget

from fitplanner.documents.preferences import Theme
from fitplanner.quantities import UnitSystem
from fitplanner.store.recent import RecentJob
from fitplanner.ui import texts
from fitplanner.ui.icons import icon
from fitplanner.ui.widgets.text import tip

_Keys = QKeySequence.StandardKey


@dataclass(frozen=True)
class _Command:
    name: str
    text: str
    keys: QKeySequence.StandardKey | str | None = None
    picture: str = ""


class Actions(QObject):
    """All commands; the window connects them."""

    WHOLE_SHOP = ("back_up", "restore", "place")
    """Commands about all jobs of the shop."""

    system_chosen = Signal(object)
    theme_chosen = Signal(object)
    recent_chosen = Signal(str)

    def __init__(self, window: QMainWindow) -> None:
        super().__init__(window)
        self._window = window
        self._all: dict[str, QAction] = {}
        self._pictures: dict[QAction, str] = {}
        for command in self._commands():
            self._add(command)
        self.recent_menu = QMenu(self.tr("Open &recent"), window)
        self._systems = self._choices(UnitSystem)
        self._themes = self._choices(Theme)
        self._unit_box = _ChoiceBox(self.tr("Units"), [texts.label(one) for one in UnitSystem])
        self._theme_box = _ChoiceBox(self.tr("Appearance"), [texts.label(one) for one in Theme])
        self._make_menus()
        self._make_toolbar()
        self.repaint()
        self.recent_menu.triggered.connect(self._recent_triggered)
        self._systems.triggered.connect(self._system_triggered)
        self._themes.triggered.connect(self._theme_triggered)
        self._unit_box.activated.connect(self._unit_activated)
        self._theme_box.activated.connect(self._theme_activated)
        window.installEventFilter(self)

    def __getitem__(self, name: str) -> QAction:
        return self._all[name]

    def show_recent(self, jobs: list[RecentJob]) -> None:
        """List the jobs opened last; those that are gone are marked and closed."""
        self.recent_menu.clear()
        for job in jobs:
            name = f"{job.path.name} – {job.path.parent}"
            if job.missing:
                name = self.tr("{name} (missing)").format(name=name)
            action = self.recent_menu.addAction(name.replace("&", "&&"))
            action.setData(str(job.path))
            action.setEnabled(not job.missing)
        self.recent_menu.setEnabled(bool(jobs))

    def show_system(self, system: UnitSystem) -> None:
        """Show which units are in use."""
        index = list(UnitSystem).index(system)
        self._systems.actions()[index].setChecked(True)
        self._unit_box.setCurrentIndex(index)

    def show_theme(self, theme: Theme) -> None:
        """Show which appearance is in use."""
        index = list(Theme).index(theme)
        self._themes.actions()[index].setChecked(True)
        self._theme_box.setCurrentIndex(index)

    def show_undo(self, words: str, *, possible: bool) -> None:
        """Say what undo would take back."""
        self._show_step("undo", self.tr("&Undo"), words, possible)

    def show_redo(self, words: str, *, possible: bool) -> None:
        """Say what redo would bring back."""
        self._show_step("redo", self.tr("&Redo"), words, possible)

    def repaint(self) -> None:
        """Draw the pictures anew in the colours of the window."""
        for action, picture in self._pictures.items():
            action.setIcon(icon(picture, self._window.palette()))

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """A change of colours is seen at the window."""
        if event.type() == QEvent.Type.PaletteChange:
            self.repaint()
        return super().eventFilter(watched, event)

    def _commands(self) -> tuple[_Command, ...]:
        return (
            _Command("new", self.tr("&New job"), _Keys.New, "new"),
            _Command("open", self.tr("&Open file…"), _Keys.Open, "open"),
            _Command("save", self.tr("&Save"), _Keys.Save, "save"),
            _Command("save_as", self.tr("Save &as file…"), "Ctrl+Shift+S"),
            _Command("jobs", self.tr("&Jobs…"), "Ctrl+J", "jobs"),
            _Command("record", self.tr("&Record: predicted and delivered…")),
            _Command("take_in", self.tr("&Take a file into the shop…")),
            _Command("machines_place", self.tr("Where the mac&hines are kept…")),
            _Command("back_up", self.tr("&Back up all jobs…")),
            _Command("restore", self.tr("&Restore a backup…")),
            _Command("place", self.tr("&Where the jobs are kept…")),
            _Command("quit", self.tr("&Quit"), "Ctrl+Q"),
            _Command("undo", self.tr("&Undo"), _Keys.Undo, "undo"),
            _Command("redo", self.tr("&Redo"), _Keys.Redo, "redo"),
            _Command("figures", self.tr("&Figures of the machine, this job only…"), "Ctrl+M"),
            _Command("machines", self.tr("&Machines of the shop…"), "Ctrl+Shift+M"),
            _Command("new_machine", self.tr("&New machine…")),
            _Command("edit_machine", self.tr("&Edit the shop's profile of it…"), "Ctrl+Shift+E"),
            _Command("fleet", self.tr("&Which machine fits?"), "Ctrl+L", "fleet"),
            _Command("people", self.tr("Who &reaches it?"), "Ctrl+R"),
            _Command("rates", self.tr("&Prices of the shop…")),
            _Command("compare", self.tr("&Compare…"), "Ctrl+Shift+K"),
            _Command("zoom_in", self.tr("Zoom &in"), _Keys.ZoomIn),
            _Command("zoom_out", self.tr("Zoom &out"), _Keys.ZoomOut),
            _Command("whole", self.tr("&Whole picture"), "Ctrl+0"),
            _Command("paper_fit", self.tr("&Fit sheet…"), _Keys.Print),
            _Command("paper_bench", self.tr("&Bench sheet…")),
            _Command("paper_order", self.tr("&Specialist's order…")),
            _Command("paper_parts", self.tr("&Parts list…")),
            _Command("paper_proof", self.tr("Proof of the &work…")),
            _Command("table", self.tr("&Export table (CSV)…")),
            _Command("cautions", self.tr("&Before you begin"), _Keys.HelpContents),
            _Command("about", self.tr("&About")),
        )

    def _add(self, command: _Command) -> None:
        action = QAction(command.text, self._window)
        if isinstance(command.keys, str):
            action.setShortcut(QKeySequence(command.keys))
        elif command.keys is not None:
            action.setShortcuts(command.keys)
        if command.picture:
            self._pictures[action] = command.picture
        keys = action.shortcut().toString(QKeySequence.SequenceFormat.NativeText)
        words = command.text.replace("&", "").rstrip("…")
        action.setToolTip(f"{words} ({keys})" if keys else words)
        self._all[command.name] = action

    def _choices(self, kind: type[UnitSystem] | type[Theme]) -> QActionGroup:
        group = QActionGroup(self)
        for one in kind:
            action = group.addAction(texts.label(one))
            action.setCheckable(True)
            action.setToolTip(texts.hint(one))
        return group

    def _make_menus(self) -> None:
        bar = self._window.menuBar()
        job = bar.addMenu(self.tr("&File"))
        job.addActions([self["new"], self["open"]])
        job.addMenu(self.recent_menu)
        job.addSeparator()
        job.addActions([self["save"], self["save_as"]])
        job.addSeparator()
        job.addAction(self["quit"])
        edit = bar.addMenu(self.tr("&Edit"))
        edit.addActions([self["undo"], self["redo"]])
        edit.addSeparator()
        edit.addActions([self["figures"], self["edit_machine"], self["rates"]])
        papers = bar.addMenu(self.tr("P&apers"))
        papers.addActions([self["paper_fit"], self["paper_bench"], self["paper_order"]])
        papers.addActions([self["paper_parts"], self["paper_proof"]])
        papers.addSeparator()
        papers.addAction(self["table"])
        view = bar.addMenu(self.tr("&View"))
        view.addActions([self["fleet"], self["people"], self["compare"]])
        view.addSeparator()
        view.addMenu(self.tr("&Units")).addActions(self._systems.actions())
        view.addMenu(self.tr("&Appearance")).addActions(self._themes.actions())
        view.addSeparator()
        view.addActions([self["zoom_in"], self["zoom_out"], self["whole"]])
        shop = bar.addMenu(self.tr("&Shop"))
        shop.addActions([self["jobs"], self["record"], self["take_in"]])
        shop.addSeparator()
        shop.addActions([self["machines"], self["new_machine"], self["machines_place"]])
        shop.addSeparator()
        shop.addActions([self[name] for name in self.WHOLE_SHOP])
        help = bar.addMenu(self.tr("&Help"))
        help.addActions([self["cautions"], self["about"]])

    def _make_toolbar(self) -> None:
        bar = QToolBar(self.tr("Toolbar"), self._window)
        bar.setObjectName("toolbar")
        bar.setMovable(False)
        bar.toggleViewAction().setEnabled(False)
        bar.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonTextBesideIcon)
        bar.addActions([self["new"], self["jobs"], self["open"], self["save"]])
        bar.addSeparator()
        bar.addActions([self["undo"], self["redo"]])
        bar.addSeparator()
        bar.addAction(self["fleet"])
        gap = QWidget(bar)
        gap.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Preferred)
        bar.addWidget(gap)
        for box in (self._unit_box, self._theme_box):
            label = QLabel(box.accessibleName(), bar)
            label.setContentsMargins(12, 0, 4, 0)
            bar.addWidget(label)
            bar.addWidget(box)
        self._window.addToolBar(bar)

    def _show_step(self, name: str, verb: str, words: str, possible: bool) -> None:
        action = self[name]
        action.setEnabled(possible)
        shown = words.replace("&", "&&")
        action.setText(f"{verb}: {shown}" if words else verb)
        action.setIconText(verb.replace("&", ""))
        plain = verb.replace("&", "")
        action.setToolTip(tip(f"{plain}: {words}" if words else plain))

    def _recent_triggered(self, action: QAction) -> None:
        self.recent_chosen.emit(action.data())

    def _system_triggered(self, action: QAction) -> None:
        self._unit_activated(self._systems.actions().index(action))

    def _theme_triggered(self, action: QAction) -> None:
        self._theme_activated(self._themes.actions().index(action))

    def _unit_activated(self, index: int) -> None:
        self.system_chosen.emit(list(UnitSystem)[index])

    def _theme_activated(self, index: int) -> None:
        self.theme_chosen.emit(list(Theme)[index])


class _ChoiceBox(QComboBox):
    def __init__(self, name: str, labels: list[str]) -> None:
        super().__init__()
        self.addItems(labels)
        self.setAccessibleName(name)
        self.setToolTip(name)
        self.setFocusPolicy(Qt.FocusPolicy.TabFocus)
