"""Owns the proof of the work: predicted against delivered, the lean, the parts and checks as built,
what to tell the rider, and the stage that follows.

Refuses to close a job: it says which stage the user wants.
"""

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from fitplanner.documents.bench import Stage
from fitplanner.planning.measured.account import DropProof, LeanProof, Proof
from fitplanner.planning.plan import Severity
from fitplanner.quantities import Kind
from fitplanner.report.papers.proof import against_prediction, missing
from fitplanner.ui import texts
from fitplanner.ui.tape.words import banded, fine
from fitplanner.ui.widgets.band_bars import BandBars, BandRow
from fitplanner.ui.widgets.card import Card, Columns
from fitplanner.ui.widgets.figure_table import Cell, Column, FigureTable
from fitplanner.ui.widgets.figures import Figures
from fitplanner.ui.widgets.mark import CAUTION, NOTE, OK, STOP
from fitplanner.ui.widgets.remark import Remark
from fitplanner.ui.widgets.text import Text

_SIDE_BY_SIDE, _CHECKS = 1100, 8
_MARKS = {Severity.STOP: STOP, Severity.CAUTION: CAUTION, Severity.NOTE: NOTE}


class ProvedView(QWidget):
    """The cards below the readings after the work."""

    stage_wanted = Signal(object)
    """The `Stage` that the user takes."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._stage = Stage.MEASURED
        work = Card(self.tr("Predicted against delivered"), parent=self)
        self.misfits = [Remark(work) for _ in range(4)]
        self.aside = Remark(work)
        self.bars = BandBars(name=self.tr("Drop of the seat"))
        self._key = Text(
            self.tr(
                "Frame: predicted before the work, nine times in ten. Diamond: delivered, with "
                "its own band. Worked out: nobody read the seat there; it follows from all "
                "readings together, with the band that a tape would show."
            ),
            faint=True,
        )
        self._lean = Remark(work)
        for part in (*self.misfits, self.aside, self.bars, self._key, self._lean):
            work.body.addWidget(part)
        tell = Card(self.tr("To tell the rider"), parent=self)
        self._tell = Text()
        self.look = Remark(tell)
        self._stage_words = Text(faint=True)
        self.stage_button = QPushButton(tell)
        self.stage_button.setAutoDefault(False)
        row = QHBoxLayout()
        row.addWidget(self.stage_button)
        row.addStretch(1)
        for part in (self._tell, self.look, self._stage_words):
            tell.body.addWidget(part)
        tell.body.addLayout(row)
        single = Card(self.tr("Each reading after the work"), parent=self)
        self._table = FigureTable(name=self.tr("Readings after the work"))
        single.body.addWidget(self._table)
        built = Card(self.tr("As built"), parent=self)
        self._parts = FigureTable(name=self.tr("Parts as built"))
        self._checks_words = Text(faint=True)
        self._checks = [Remark(built) for _ in range(_CHECKS)]
        built.body.addWidget(self._parts)
        built.body.addWidget(self._checks_words)
        for each in self._checks:
            built.body.addWidget(each)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(Columns(work, tell, enough=_SIDE_BY_SIDE, parent=self))
        column.addWidget(Columns(single, built, enough=_SIDE_BY_SIDE, parent=self))
        self.stage_button.clicked.connect(self._want_stage)

    def show_proof(
        self, proof: Proof, figures: Figures, stage: Stage, ticked: tuple[int, int]
    ) -> None:
        """Show `proof` of a job at `stage`; `ticked` of its bench sheet's steps, and all."""
        for place, remark in enumerate(self.misfits):
            words = proof.misfits[place] if place < len(proof.misfits) else ""
            remark.show_text(figures.sentence(words), CAUTION)
        self.aside.show_text(proof.fit.aside, NOTE)
        self.bars.show_rows([self._drop_row(each, figures) for each in proof.drops])
        self._tell.setText("\n".join(f"•  {figures.sentence(each)}" for each in proof.tell))
        self.look.show_text(figures.sentence(proof.look_at), CAUTION)
        self._show_lean(proof.lean, figures)
        self._show_stage(proof, stage, ticked)
        self._show_readings(proof, figures)
        self._show_parts(proof, figures)
        self._show_checks(proof)

    def tell_text(self) -> str:
        """What is to be told."""
        return self._tell.text()

    def stage_text(self) -> str:
        """What is said of the stage."""
        return self._stage_words.text()

    def lean_text(self) -> str:
        """What is said of the lean."""
        return self._lean.text()

    def readings(self) -> list[list[str]]:
        """The table of readings as shown."""
        return self._table.texts()

    def parts(self) -> list[list[str]]:
        """The table of parts as shown."""
        return self._parts.texts()

    def _drop_row(self, each: DropProof, figures: Figures) -> BandRow:
        known = each.inside is not None
        verdict = ""
        if known:
            verdict = self.tr("inside") if each.inside else self.tr("outside")
        return BandRow(
            words=each.label
            if each.on_tape or not known
            else self.tr("{state} (worked out)").format(state=each.label),
            predicted=each.predicted,
            delivered=each.delivered if known else None,
            inside=each.inside,
            figures=figures.change(each.predicted.value, each.delivered.value, decimals=1)
            if known
            else fine(figures, each.predicted.value, Kind.LENGTH),
            verdict=verdict,
            hint=self.tr("Planned {planned}; predicted {predicted}; {delivered}").format(
                planned=fine(figures, each.planned_mm, Kind.LENGTH),
                predicted=banded(figures, each.predicted),
                delivered=self._delivered(each, figures),
            ),
        )

    def _delivered(self, each: DropProof, figures: Figures) -> str:
        if each.inside is None:
            return self.tr("nothing read yet")
        band = banded(figures, each.delivered)
        if each.on_tape:
            return self.tr("by the tape {band}").format(band=band)
        return self.tr("worked out from all readings {band}").format(band=band)

    def _show_lean(self, lean: LeanProof, figures: Figures) -> None:
        if lean.after_deg is None:
            words = self.tr("Lean on the side-stand: not read after the work yet.")
            self._lean.show_text(words, CAUTION if lean.wanted else NOTE)
            return
        change = figures.change(lean.before_deg, lean.after_deg, Kind.ANGLE)
        good = bool(lean.restored) and lean.agree
        words = (
            self.tr("Lean on the side-stand restored: {change}")
            if good
            else self.tr("Lean on the side-stand not restored: {change}")
        )
        words = words.format(change=change)
        if not lean.before_read:
            words += " " + self.tr("(before: by the profile, not read)")
        self._lean.show_text(words, OK if good else CAUTION)

    def _show_stage(self, proof: Proof, stage: Stage, ticked: tuple[int, int]) -> None:
        order = list(Stage)
        ahead = (
            Stage.MEASURED
            if order.index(stage) < order.index(Stage.MEASURED)
            else Stage.HANDED_OVER
        )
        done = stage is Stage.HANDED_OVER
        self._stage = ahead
        self.stage_button.setVisible(proof.complete and not done)
        self.stage_button.setText(
            self.tr("Set the stage to “{stage}”").format(stage=texts.label(ahead))
        )
        # What stands against handing over is said and forbids nothing.
        left = missing(proof, *ticked)
        if not proof.complete:
            words = self.tr("The proof is complete once the seat is read on its wheels, before and "
                            "after.")  # fmt: skip
        elif left:
            words = self.tr("The drop is proved; the proof is not complete yet: {left}.").format(
                left="; ".join(left)
            )
        else:
            words = self.tr("The proof is complete.")
        if proof.complete:
            words += " " + (
                self.tr("The job is handed over.")
                if done
                else self.tr("The job is at “{stage}”.").format(stage=texts.label(stage))
            )
        self._stage_words.setText(words)

    def _show_readings(self, proof: Proof, figures: Figures) -> None:
        rows: list[list[Cell | str]] = []
        for each in proof.readings:
            verdict = against_prediction(each.inside, fits=each.fits)
            rows.append(
                [
                    Cell(each.name, bold=each.inside is False),
                    "–" if each.predicted is None else banded(figures, each.predicted, each.kind),
                    fine(figures, each.delivered, each.kind),
                    Cell(verdict, bold=each.inside is False),
                ]
            )
        if not rows:
            rows = [[Cell(self.tr("None yet"), faint=True), "", "", ""]]
        self._table.show_rows(
            [
                Column(self.tr("Reading"), figures=False, stretch=1),
                Column(self.tr("Predicted")),
                Column(self.tr("Read")),
                Column(self.tr("Is")),
            ],
            rows,
        )

    def _show_parts(self, proof: Proof, figures: Figures) -> None:
        self._parts.setVisible(bool(proof.parts))
        self._parts.show_rows(
            [
                Column(self.tr("Part or setting"), figures=False, stretch=1),
                Column(self.tr("Planned")),
                Column(self.tr("By the readings")),
            ],
            [
                [
                    each.label,
                    fine(figures, each.planned, each.kind),
                    banded(figures, each.band, each.kind),
                ]
                for each in proof.parts
            ],
        )

    def _show_checks(self, proof: Proof) -> None:
        open_ones = [each for each in proof.checks if not each.holds]
        hold = len(proof.checks) - len(open_ones)
        words = self.tr("Checks as built: {hold} of {all} hold.").format(
            hold=hold, all=len(proof.checks)
        )
        if len(open_ones) > _CHECKS:
            words += " " + self.tr("The first {n} that do not:").format(n=_CHECKS)
        self._checks_words.setText(words)
        for place, remark in enumerate(self._checks):
            if place < len(open_ones):
                each = open_ones[place]
                remark.show_text(self.tr("{title}: does not hold").format(title=each.title),
                                 _MARKS[each.severity])  # fmt: skip
            else:
                remark.show_text("")

    def _want_stage(self) -> None:
        self.stage_wanted.emit(self._stage)
