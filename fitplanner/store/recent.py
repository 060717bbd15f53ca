"""The jobs opened last, newest first; a file that is gone stays listed and is shown as missing."""

from dataclasses import dataclass
from pathlib import Path
from typing import Literal

from pydantic import Field

from fitplanner import paths
from fitplanner.documents import codec
from fitplanner.documents.base import Document
from fitplanner.store.files import path_text, read_or_set_aside, write_text

LIMIT = 12


class _RecentFile(Document):
    format: Literal["fitplanner-recent"] = "fitplanner-recent"
    schema_version: Literal[1] = 1
    files: list[str] = Field(default=[], max_length=LIMIT)


_RECENT = codec.Format("fitplanner-recent", "list of recent jobs", _RecentFile)


@dataclass(frozen=True)
class RecentJob:
    """One entry of the list."""

    path: Path
    missing: bool


def recent_jobs(path: Path | None = None) -> list[RecentJob]:
    """The list, newest first; empty where it does not exist yet or was damaged.

    Raises:
        StoreError: the list exists but cannot be read.
    """
    return [RecentJob(one, missing=not one.is_file()) for one in _read(path or paths.recent_file())]


def add_recent(job_file: Path, path: Path | None = None) -> None:
    """Put `job_file` on top; raises `StoreError` where the list cannot be written."""
    place = path or paths.recent_file()
    job_file = job_file.absolute()
    others = [one for one in _read(place) if one != job_file]
    _write([job_file, *others][:LIMIT], place)


def forget_recent(job_file: Path, path: Path | None = None) -> None:
    """Take `job_file` off the list; raises `StoreError` where the list cannot be written."""
    place = path or paths.recent_file()
    _write([one for one in _read(place) if one != job_file.absolute()], place)


def _read(place: Path) -> list[Path]:
    listed, _ = read_or_set_aside(place, lambda text: codec.load(_RECENT, text), _RecentFile())
    return [Path(one) for one in listed.files]


def _write(files: list[Path], place: Path) -> None:
    texts = [text for one in files if (text := path_text(one)) is not None]
    write_text(place, codec.dump(_RecentFile(files=texts)))
