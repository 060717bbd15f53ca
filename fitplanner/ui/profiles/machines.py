"""Owns the machines that can be chosen: those that come with the program, and the shop's own.

A profile of the shop stands before a shipped one of the same id. One object for the whole window:
who lists machines keeps it, and is told of a change. Refuses files.
"""

from collections.abc import Callable, Iterator, Mapping

from fitplanner.documents.machine import MachineProfile

Listener = Callable[[], None]


class Machines(Mapping[str, MachineProfile]):
    """Profiles by id, in the order of their names."""

    def __init__(
        self, shipped: Mapping[str, MachineProfile], own: Mapping[str, MachineProfile] | None = None
    ) -> None:
        self.shipped = shipped
        self.own: Mapping[str, MachineProfile] = own or {}
        self._all: dict[str, MachineProfile] = {}
        self._listeners: list[Listener] = []
        self._put_together()

    def __getitem__(self, id: str) -> MachineProfile:
        return self._all[id]

    def __iter__(self) -> Iterator[str]:
        return iter(self._all)

    def __len__(self) -> int:
        return len(self._all)

    def is_own(self, id: str) -> bool:
        """Whether the shop keeps a profile of this id itself."""
        return id in self.own

    def set_own(self, own: Mapping[str, MachineProfile]) -> None:
        """The shop keeps these now."""
        if dict(own) != dict(self.own):
            self.own = own
            self._put_together()
            for listener in self._listeners:
                listener()

    def subscribe(self, listener: Listener) -> None:
        """Call `listener` whenever there are other machines."""
        self._listeners.append(listener)

    def _put_together(self) -> None:
        every = {**self.shipped, **self.own}
        self._all = dict(sorted(every.items(), key=lambda item: (item[1].name.casefold(), item[0])))
