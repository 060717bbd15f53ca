"""Owns the machines that can be chosen: those that come with the program, and the shop's own.

A profile of the shop stands before a shipped one of the same id. One object for the whole window:
who lists machines keeps it, and is told of a change. Refuses files.
"""

from collections.abc import Callable, Iterator, Mapping

from fitplanner.documents.machine import MachineProfile
from fitplanner.library.loader import Library

Listener = Callable[[], None]


class Machines(Mapping[str, MachineProfile]):
    """Profiles by id, in the order of their names."""

    def __init__(
        self, shipped: Mapping[str, MachineProfile], own: Mapping[str, MachineProfile] | None = None
    ) -> None:
        self.shipped = shipped
        self.own: Mapping[str, MachineProfile] = own or {}
        self._invented = True
        self._listeners: list[Listener] = []
        self._library = self._put_together()

    def __getitem__(self, id: str) -> MachineProfile:
        return self._library.profiles[id]

    def __iter__(self) -> Iterator[str]:
        return iter(self._library.profiles)

    def __len__(self) -> int:
        return len(self._library.profiles)

    def ids(self) -> frozenset[str]:
        """Every id that a machine has, also of those that are not listed."""
        return frozenset(self.shipped) | frozenset(self.own)

    def is_own(self, id: str) -> bool:
        """Whether the shop keeps a profile of this id itself."""
        return id in self._library.own

    def replaces_shipped(self, id: str) -> bool:
        """Whether the shop's profile stands in the place of one that comes with the program."""
        return id in self._library.replacing

    def set_own(self, own: Mapping[str, MachineProfile]) -> None:
        """The shop keeps these now."""
        if dict(own) != dict(self.own):
            self.own = own
            self._change()

    def show_invented(self, wanted: bool) -> None:
        """Whether made-up machines are listed beside those of the shop."""
        if wanted != self._invented:
            self._invented = wanted
            self._change()

    def subscribe(self, listener: Listener) -> Callable[[], None]:
        """Call `listener` whenever there are other machines; returns what ends that."""
        self._listeners.append(listener)
        return lambda: self._listeners.remove(listener)

    def _change(self) -> None:
        self._library = self._put_together()
        for listener in list(self._listeners):
            listener()

    def _put_together(self) -> Library:
        return Library(self.shipped, {}, ()).with_own(self.own, invented=self._invented)
