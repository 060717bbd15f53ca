"""Locks on open files, held against other programs and given back by the system at our end."""

import sys


def lock(descriptor: int) -> None:
    """Lock without waiting; the system unlocks when the file is closed, however that happens.

    Raises:
        OSError: another program holds it, or this drive knows no locks.
    """
    if sys.platform == "win32":
        import msvcrt

        msvcrt.locking(descriptor, msvcrt.LK_NBLCK, 1)
    else:
        import fcntl

        fcntl.flock(descriptor, fcntl.LOCK_EX | fcntl.LOCK_NB)
