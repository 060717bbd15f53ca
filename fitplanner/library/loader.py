"""The machine profiles and example riders that come with the program, and the shop's own beside.

Owns the listing and reading of `resources/profiles` and `resources/riders`, and which profile
counts where the shop has one of the same id. A file that cannot be used is reported beside the
others and never hides them. Refuses to read the shop's folder: the store does.
"""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path
from types import MappingProxyType
from typing import TypeVar

from fitplanner import paths
from fitplanner.documents import codec
from fitplanner.documents.errors import DocumentError
from fitplanner.documents.machine import MachineProfile
from fitplanner.documents.rider import Rider

T = TypeVar("T", MachineProfile, Rider)


@dataclass(frozen=True)
class BrokenFile:
    """A file of the library that cannot be used, and why."""

    path: Path
    message: str


@dataclass(frozen=True)
class Library:
    """Profiles by their id and riders by their file's name, each in the order of their names.

    `own` are the ids of the shop's profiles, `replacing` those of them that stand in the place of
    a profile that comes with the program.
    """

    profiles: Mapping[str, MachineProfile]
    riders: Mapping[str, Rider]
    broken: tuple[BrokenFile, ...]
    own: frozenset[str] = frozenset()
    replacing: frozenset[str] = frozenset()

    def with_own(
        self,
        profiles: Mapping[str, MachineProfile],
        broken: tuple[BrokenFile, ...] = (),
        *,
        invented: bool = True,
    ) -> "Library":
        """This library with the shop's own profiles, which win over others of the same id.

        `invented` says whether to keep made-up machines of this library beside those of the shop;
        a shop without any profile keeps them in any case, or it could not choose one.
        """
        if not profiles:
            return replace(self, broken=(*self.broken, *broken))
        kept = {id: one for id, one in self.profiles.items() if invented or not one.invented}
        return replace(
            self,
            profiles=MappingProxyType(_by_name({**kept, **profiles})),
            broken=(*self.broken, *broken),
            own=frozenset(profiles),
            replacing=frozenset(profiles.keys() & self.profiles.keys()),
        )


def load_library(folder: Path | None = None) -> Library:
    """Read the library in `folder`, by default the one shipped; a folder is read only once.

    Raises:
        FileNotFoundError: no `folder` is given and the installation has no resources.
    """
    return _read((folder or paths.resources()).absolute())


@cache
def _read(folder: Path) -> Library:
    broken: list[BrokenFile] = []
    profiles: dict[str, MachineProfile] = {}
    for path, profile in _documents(folder / "profiles", codec.load_machine, broken):
        if profile.id in profiles:
            broken.append(
                BrokenFile(path, f'another profile has the id "{profile.id}" already; change it')
            )
        else:
            profiles[profile.id] = profile
    riders = {
        path.stem: rider for path, rider in _documents(folder / "riders", codec.load_rider, broken)
    }
    return Library(
        profiles=MappingProxyType(_by_name(profiles)),
        riders=MappingProxyType(_by_name(riders)),
        broken=tuple(broken),
    )


def _documents(
    folder: Path, load: Callable[[str], T], broken: list[BrokenFile]
) -> Iterator[tuple[Path, T]]:
    for path in sorted(folder.glob("*.json")):
        try:
            with path.open("rb") as file:
                document = load(codec.decode(file.read(codec.MAX_BYTES + 1)))
        except DocumentError as error:
            broken.append(BrokenFile(path, str(error)))
        except OSError as error:
            broken.append(BrokenFile(path, f"cannot be read: {error.strerror or error}"))
        else:
            yield path, document


def _by_name(documents: Mapping[str, T]) -> dict[str, T]:
    return dict(sorted(documents.items(), key=lambda item: (item[1].name.casefold(), item[0])))
