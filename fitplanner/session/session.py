"""The job at hand: what it is, where it is kept, and who wants to know of changes.

Owns the present job and whether it is saved. The frozen jobs themselves are the snapshots for
undo: keep `session.job` before and after an edit, and give either back with `set_job`.
Refuses to ask the user anything.
"""

from collections.abc import Callable
from pathlib import Path

from fitplanner.documents.job import Job
from fitplanner.documents.machine import MachineProfile
from fitplanner.session.edits import Edit, replace_at, with_machine
from fitplanner.store import files
from fitplanner.store.shop.records import Kept

Listener = Callable[[Job], None]


class Session:
    """One job at a time; listeners are called after every change of job, place or saved state.

    A job is kept in a file (`path`), in the shop (`kept`), or nowhere yet.
    """

    def __init__(self, job: Job, path: Path | None = None, *, unsaved: bool = False) -> None:
        """Start with `job`; `unsaved` where its file, if any, holds something else."""
        self._listeners: dict[object, Listener] = {}
        self._job = job
        self._path = path
        self._kept: Kept | None = None
        self._saved = None if unsaved else job

    @property
    def job(self) -> Job:
        """The present job."""
        return self._job

    @property
    def path(self) -> Path | None:
        """The file that the job was read from or saved to, if any."""
        return self._path

    @property
    def kept(self) -> Kept | None:
        """The job as it stood in the shop when it was opened or saved there, if it was."""
        return self._kept

    @property
    def unsaved(self) -> bool:
        """Whether the job differs from what was last opened, started or saved."""
        return self._saved is not self._job and self._saved != self._job

    def apply(self, edit: Edit) -> None:
        """Carry out `edit`.

        Raises:
            DocumentError: the edit was refused; nothing changed and nobody was told.
            LookupError: the job has no such field.
        """
        self.set_job(replace_at(self._job, edit.address, edit.value))

    def change_machine(self, profile: MachineProfile) -> None:
        """Put the job on another machine, see `with_machine`."""
        self.set_job(with_machine(self._job, profile))

    def set_job(self, job: Job) -> None:
        """Make `job` the present one, as undo and redo do; path and saved state stay."""
        if job is not self._job:
            self._job = job
            self._tell()

    def start(
        self,
        job: Job,
        path: Path | None = None,
        *,
        kept: Kept | None = None,
        unsaved: bool = False,
    ) -> None:
        """Leave the present job for another one: new, recovered, or out of the shop (`kept`)."""
        self._job, self._path, self._kept = job, path, kept
        self._saved = None if unsaved else job
        self._tell()

    def open(self, path: Path) -> None:
        """Leave the present job for the one in `path`.

        Raises:
            StoreError: the file cannot be read; the present job stays.
            DocumentError: the file is not an acceptable job; the present job stays.
        """
        self.start(files.open_job(path), path)

    def save(self, path: Path | None = None) -> None:
        """Save to `path`, or to where the job was last saved.

        Raises:
            StoreError: it could not be written; the job stays unsaved.
            ValueError: the job was never saved and no `path` is given.
        """
        target = path or self._path
        if target is None:
            raise ValueError("a new job needs a path to be saved to")
        files.save_job(self._job, target)
        self._path, self._kept, self._saved = target, None, self._job
        self._tell()

    def mark_saved(self, kept: Kept) -> None:
        """The shop keeps the job now, as `kept`; what was changed since counts as unsaved."""
        self._path, self._kept, self._saved = None, kept, kept.job
        self._tell()

    def subscribe(self, listener: Listener) -> Callable[[], None]:
        """Call `listener` with the job after every change; returns what ends that."""
        key = object()
        self._listeners[key] = listener

        def unsubscribe() -> None:
            self._listeners.pop(key, None)

        return unsubscribe

    def _tell(self) -> None:
        # A listener may end its own subscription, or another's, while it is called.
        for key, listener in tuple(self._listeners.items()):
            if key in self._listeners:
                listener(self._job)
