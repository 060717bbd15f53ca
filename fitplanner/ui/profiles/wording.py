"""Owns the longer sentences about profiles that are there already, or were saved meanwhile."""

from PySide6.QtCore import QCoreApplication, QLocale

from fitplanner.store.profiles import Written
from fitplanner.ui.profiles.replacing import Words
from fitplanner.ui.shop.words import moment_words, who_words


def import_words(*, shipped: bool) -> Words:
    """For a profile that comes in while the library holds one of its id."""
    head = _tr("The library holds this machine already, with other figures.")
    if shipped:
        head = _tr(
            "The program comes with a machine of this id. One of the shop would stand in its place."
        )
    return Words(
        title=_tr("Import a machine"),
        head=head,
        mine=_tr("In the library"),
        theirs=_tr("The one coming"),
        keep_mine=_tr("Keep the &left one"),
        keep_mine_hint=_tr("Nothing is changed"),
        second=_tr("Or keep both, the one coming &as"),
        saves_mine=False,
    )


def edit_words() -> Words:
    """For a machine to be mended of which the job at hand has figures of its own."""
    return Words(
        title=_tr("Edit this machine"),
        head=_tr("The job has other figures of this machine than the library."),
        mine=_tr("In the library"),
        theirs=_tr("In this job"),
        keep_mine=_tr("Edit the &left one"),
        keep_mine_hint=_tr("The job keeps its own figures"),
        second=_tr("Or make a second machine of the job's, &as"),
        saves_mine=True,
    )


def conflict_words(written: Written | None, locale: QLocale) -> Words:
    """For a profile that somebody saved while it was being changed here."""
    head = _tr("{who} saved this machine after you opened it. Yours is not saved yet.")
    theirs = _tr("Saved meanwhile")
    if written is not None:
        head = _tr(
            "{who} saved this machine on {when}, after you opened it. Yours is not saved yet."
        )
        head = head.replace("{when}", moment_words(written.when, locale))
        theirs = _tr("Saved by {who}").format(who=written.who) if written.who else theirs
    return Words(
        title=_tr("Two have changed this machine"),
        head=head.replace("{who}", who_words("" if written is None else written.who)),
        mine=_tr("Yours"),
        theirs=theirs,
        keep_mine=_tr("Save &mine over it"),
        keep_mine_hint=_tr("Yours becomes the next revision; theirs is replaced"),
        second=_tr("Or keep both, yours &as"),
        saves_mine=True,
    )


def _tr(text: str) -> str:
    return QCoreApplication.translate("ProfileWords", text)
