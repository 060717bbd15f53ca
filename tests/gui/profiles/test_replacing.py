"""The dialog shows what differs between two profiles, and does what its buttons say."""

from datetime import UTC, datetime

import pytest
from PySide6.QtCore import QLocale, Qt
from PySide6.QtWidgets import QTreeWidgetItem
from pytestqt.qtbot import QtBot

from fitplanner.documents.base import Figure, Source
from fitplanner.documents.machine import LeverageTable, LinkagePoints, MachineProfile
from fitplanner.documents.torque import Fastener, Torque
from fitplanner.library.compare_profiles import differences
from fitplanner.planning.common_figures import CommonFigures
from fitplanner.quantities import UnitSystem
from fitplanner.store.profiles import Written
from fitplanner.ui.profiles.replacing import Kept, ReplacingDialog
from fitplanner.ui.profiles.telling import side_words
from fitplanner.ui.profiles.wording import conflict_words, import_words
from fitplanner.ui.widgets.figures import Figures
from tests import factories

MINE = factories.machine_profile()
AXLE = Torque(fastener=Fastener.REAR_AXLE, words="100 N·m", source="invented book, page 3")
THEIRS = factories.machine_profile(
    revision=5,
    rear={"travel_mm": MINE.rear.travel_mm.replace(value=290.0, source=Source.MEASURED)},
    ways=MINE.ways.replace(lower_seat=None),
    torques=[AXLE],
)


def quick(profile: MachineProfile) -> CommonFigures:
    return CommonFigures(900.0, profile.rear.travel_mm.value, 80.0, 90.0, 40.0)


def dialog_of(
    qtbot: QtBot,
    mine: MachineProfile = MINE,
    theirs: MachineProfile = THEIRS,
    system: UnitSystem = UnitSystem.METRIC,
) -> ReplacingDialog:
    dialog = ReplacingDialog(
        mine,
        theirs,
        theirs,
        import_words(shipped=False),
        Figures(system),
        {mine.id, f"{mine.id}-2"},
        effects=quick,
    )
    qtbot.addWidget(dialog)
    dialog.show()
    qtbot.waitUntil(lambda: "common rider:" in dialog.effect.text())
    return dialog


def shown(dialog: ReplacingDialog) -> dict[str, tuple[str, str, str]]:
    return {
        row.text(0): (row.text(1), row.text(2), row.text(3))
        for row in dialog.tree.rows()
        if not row.isHidden()
    }


def row_of(dialog: ReplacingDialog, name: str) -> QTreeWidgetItem:
    return next(row for row in dialog.tree.rows() if row.text(0) == name)


def test_what_differs_stands_side_by_side(qtbot: QtBot) -> None:
    dialog = dialog_of(qtbot)
    assert shown(dialog) == {
        "Rear wheel travel": ("300 mm, Maker's sheet", "≠", "290 mm, Measured"),
        "Lower seat": (shown(dialog)["Lower seat"][0], "≠", "–"),
        "Rear axle": ("–", "≠", "100 N·m, invented book, page 3"),
    }
    assert "up to" in shown(dialog)["Lower seat"][0]
    assert "revision 1" in dialog.revisions.text() and "revision 5" in dialog.revisions.text()
    stiff = dialog.effect.text().replace("\N{NO-BREAK SPACE}", " ")
    assert stiff == "For a common rider: stopped 300 → 290 mm."
    dialog.reject()


def test_the_whole_profile_can_be_seen_with_the_differences_marked(qtbot: QtBot) -> None:
    dialog = dialog_of(qtbot)
    dialog.differing.setChecked(False)
    rows = shown(dialog)
    assert len(rows) > 60
    assert rows["Fork travel"][1] == ""
    assert rows["Rear wheel travel"][1] == "≠"
    assert not row_of(dialog, "Fork travel").flags() & Qt.ItemFlag.ItemIsUserCheckable
    dialog.reject()


def test_quantities_stand_in_the_users_units(qtbot: QtBot) -> None:
    dialog = dialog_of(qtbot, system=UnitSystem.INCH)
    assert shown(dialog)["Rear wheel travel"][0].startswith("11.811 in")
    dialog.reject()


@pytest.mark.parametrize(
    ("kept", "profile"),
    [
        (Kept.MINE, MINE),
        (Kept.THEIRS, THEIRS),
        (
            Kept.BOTH,
            THEIRS.replace(
                id="trail-bike-of-the-tests-2", name="Trail bike of the tests (2)", revision=1
            ),
        ),
    ],
)
def test_a_button_does_what_it_says(qtbot: QtBot, kept: Kept, profile: MachineProfile) -> None:
    dialog = dialog_of(qtbot)
    dialog.buttons[kept].click()
    assert (dialog.kept, dialog.profile) == (kept, profile)
    assert not dialog.isVisible()


def test_closed_nothing_is_chosen(qtbot: QtBot) -> None:
    dialog = dialog_of(qtbot)
    assert dialog.buttons[Kept.MINE].hasFocus() and not dialog.cancel.isVisible()
    qtbot.keyClick(dialog, Qt.Key.Key_Escape)
    assert dialog.kept is None and not dialog.isVisible()


def test_ticked_entries_are_taken_over(qtbot: QtBot) -> None:
    dialog = dialog_of(qtbot)
    assert not dialog.buttons[Kept.MERGED].isEnabled()
    row_of(dialog, "Rear axle").setCheckState(0, Qt.CheckState.Checked)
    assert dialog.buttons[Kept.MERGED].isEnabled()
    dialog.buttons[Kept.MERGED].click()
    assert dialog.kept is Kept.MERGED
    assert dialog.profile == MINE.replace(torques=[AXLE])


def test_entries_that_do_not_fit_together_are_refused_and_nothing_is_lost(qtbot: QtBot) -> None:
    table = LeverageTable(wheel_travel_mm=[0.0, 200.0], leverage=[2.6, 2.4])
    short = factories.machine_profile(rear={"travel_mm": 200.0, "linkage": table})
    dialog = dialog_of(qtbot, theirs=short)
    row_of(dialog, "Linkage").setCheckState(0, Qt.CheckState.Checked)
    dialog.buttons[Kept.MERGED].click()
    assert dialog.isVisible() and dialog.kept is None
    assert "the table ends at 200 mm" in dialog.refusal.text()
    row_of(dialog, "Rear wheel travel").setCheckState(0, Qt.CheckState.Checked)
    assert dialog.refusal.text() == ""
    dialog.buttons[Kept.MERGED].click()
    assert dialog.profile.rear == short.rear


def test_both_need_a_name_for_the_second(qtbot: QtBot) -> None:
    dialog = dialog_of(qtbot)
    dialog.name.setText("  ")
    assert not dialog.buttons[Kept.BOTH].isEnabled()
    dialog.name.setText("Plover with lower links")
    dialog.buttons[Kept.BOTH].click()
    assert (dialog.profile.id, dialog.profile.name) == (
        "plover-with-lower-links",
        "Plover with lower links",
    )


JOINTS = LinkagePoints(layout="direct", frame_eye_mm=[120.0, 300.0], arm_point_mm=[-180.0, -20.0])


@pytest.mark.parametrize(
    ("mine", "theirs", "name"),
    [
        (
            factories.machine_profile(rear={"linkage": JOINTS}),
            factories.machine_profile(
                rear={"linkage": JOINTS.replace(frame_eye_mm=[120.0, 300.5])}
            ),
            "Linkage",
        ),
        (
            MINE,
            factories.machine_profile(
                seat={"x_mm": MINE.seat.x_mm.replace(note="from the axle's middle")}
            ),
            "Seat point, ahead of the rear axle",
        ),
        (
            MINE,
            factories.machine_profile(seat={"x_mm": MINE.seat.x_mm.replace(typed="20 in")}),
            "Seat point, ahead of the rear axle",
        ),
        (
            MINE,
            factories.machine_profile(
                seat={"x_mm": MINE.seat.x_mm.replace(value=MINE.seat.x_mm.value + 0.001)}
            ),
            "Seat point, ahead of the rear axle",
        ),
    ],
)
def test_two_that_differ_never_look_alike(
    qtbot: QtBot, mine: MachineProfile, theirs: MachineProfile, name: str
) -> None:
    dialog = dialog_of_quiet(qtbot, mine, theirs)
    left, mark, right = shown(dialog)[name]
    assert left != right and mark == "≠"
    dialog.reject()


def dialog_of_quiet(qtbot: QtBot, mine: MachineProfile, theirs: MachineProfile) -> ReplacingDialog:
    dialog = ReplacingDialog(
        mine, theirs, mine, conflict_words(None, QLocale()), Figures(), (), effects=lambda _: None
    )
    qtbot.addWidget(dialog)
    dialog.show()
    qtbot.waitUntil(lambda: "No machine can be built" in dialog.effect.text())
    return dialog


def test_the_real_difference_to_a_common_rider(qtbot: QtBot) -> None:
    taller = factories.machine_profile(catalogue={"seat_height_mm": 905.0})
    dialog = ReplacingDialog(MINE, taller, taller, import_words(shipped=True), Figures(), ())
    qtbot.addWidget(dialog)
    dialog.show()
    qtbot.waitUntil(lambda: "common rider:" in dialog.effect.text(), timeout=20_000)
    assert "905" in dialog.effect.text()
    dialog.reject()


@pytest.mark.expects_log
def test_a_fault_costs_only_the_line_about_the_rider(qtbot: QtBot) -> None:
    def faulty(_: MachineProfile) -> CommonFigures | None:
        raise ZeroDivisionError

    dialog = ReplacingDialog(
        MINE, THEIRS, THEIRS, import_words(shipped=True), Figures(), (), effects=faulty
    )
    qtbot.addWidget(dialog)
    dialog.show()
    qtbot.waitUntil(lambda: not dialog.effect.isVisible())
    dialog.buttons[Kept.THEIRS].click()
    assert dialog.profile == THEIRS


def test_a_text_that_went_stale_is_told_beside_the_value() -> None:
    figures = Figures.of(UnitSystem.METRIC, QLocale.c())
    seat = Figure(value=934.72, source=Source.MAKER, typed="36.8 in")
    mine = factories.machine_profile(catalogue={"seat_height_mm": seat})
    changed = seat.replace(value=914.0, typed="")
    theirs = factories.machine_profile(catalogue={"seat_height_mm": changed})
    (entry,) = differences(mine, theirs)
    left, right = side_words(entry, figures)
    assert "typed as 36.8 in" in left and "typed" not in right and "914" in right


def travel(value: float) -> dict[str, object]:
    return {"travel_mm": MINE.rear.travel_mm.replace(value=value)}


def test_what_both_began_with_stands_beside_them_and_theirs_alone_is_ticked(qtbot: QtBot) -> None:
    """One entry changed here, one there, one by both."""
    base = factories.machine_profile(revision=2, note="as delivered")
    mine = factories.machine_profile(revision=3, note="mine", rear=travel(280.0))
    theirs = factories.machine_profile(
        revision=3, note="theirs", ways=base.ways.replace(lower_seat=None)
    )
    when = datetime(2026, 3, 4, 12, 0, tzinfo=UTC)
    words = conflict_words(Written(when, "ada"), QLocale("en_GB"))
    assert "ada saved this machine on 04/03/2026" in words.head
    assert words.theirs == "Saved by ada"
    dialog = ReplacingDialog(mine, theirs, mine, words, Figures(), (), effects=quick, base=base)
    qtbot.addWidget(dialog)
    dialog.show()
    qtbot.waitUntil(lambda: "common rider:" in dialog.effect.text())
    assert "You opened revision 2; saved by ada: revision 3." in dialog.revisions.text()
    head = dialog.tree.header()
    seen = [head.logicalIndex(place) for place in range(head.count())]
    assert [dialog.tree.headerItem().text(column) for column in seen] == [
        "Entry: tick to take over",
        "When you opened it",
        "Yours",
        "",
        "Saved by ada",
    ]
    rows = {row.text(0): row for row in dialog.tree.rows() if not row.isHidden()}
    told = {
        name: (row.text(4), row.font(1).bold(), row.font(3).bold(), row.checkState(0).name)
        for name, row in rows.items()
    }
    assert told["Rear wheel travel"] == ("300 mm, Maker's sheet", True, False, "Unchecked")
    assert told["Note"] == ("as delivered", True, True, "Unchecked")
    assert told["Lower seat"][1:] == (False, True, "Checked")
    # What was ticked beforehand is what both changed, together.
    dialog.buttons[Kept.MERGED].click()
    assert dialog.profile == mine.replace(ways=theirs.ways)


def test_without_a_common_beginning_there_is_no_column_for_it(qtbot: QtBot) -> None:
    dialog = dialog_of(qtbot)
    assert dialog.tree.isColumnHidden(4)
    assert not dialog.tree.ticked()
    dialog.reject()
