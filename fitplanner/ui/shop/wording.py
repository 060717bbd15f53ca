"""Owns the longer words before something that changes the whole shop."""

from PySide6.QtCore import QCoreApplication, QLocale

from fitplanner import paths
from fitplanner.store.shop.records import Backup
from fitplanner.ui.shop.words import moment_words


def erasing(jobs: int, others: int) -> str:
    """What is erased with a rider who has so many `jobs`, and what stays.

    `others`: jobs under the same name that the shop does not know to be this rider's.
    """
    same = _tr(
        "Jobs under the same name that may be another person's, by their telephone: {n}. They "
        "stay; erase them from the list one by one."
    )
    return "\n\n".join(
        (
            _tr("Jobs of this rider, with their whole history: {n}").format(n=jobs),
            *([same.format(n=others)] if others else []),
            _tr(
                "Erased: name, telephone, title, note and reference of these jobs, what is noted "
                "beside the steps, and the name wherever it stands in notes of the machine."
            ),
            _tr(
                "Stays, without a link to anybody: the figures of body and machine, the amounts, "
                "readings, stages and dates, and who worked on the job."
            ),
            _tr(
                "This cannot be taken back. Job files, tables, papers and backups made before "
                "still hold the name; a backup that is restored here is erased again."
            ),
        )
    )


def restoring(found: Backup, jobs: int) -> str:
    """What a backup holds, and what becomes of the `jobs` kept now."""
    newest = "–" if found.newest is None else moment_words(found.newest, QLocale())
    return "\n\n".join(
        (
            _tr("Jobs in the backup: {n}; changed last: {when}").format(n=found.jobs, when=newest),
            _tr("Jobs kept now, which it replaces: {n}").format(n=jobs),
            _tr(
                "A safety backup of what is kept now is made first, in {folder}. Riders erased "
                "since stay erased."
            ).format(folder=paths.shop_backups_dir()),
        )
    )


def fixing() -> str:
    """What it means to fix the amounts."""
    return _tr(
        "So far the planner chooses them, and they follow every later change of rider, machine "
        "or wishes. Fixed by hand they stay as agreed; undo takes it back."
    )


def _tr(text: str) -> str:
    return QCoreApplication.translate("ShopWording", text)
