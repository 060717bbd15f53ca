"""Remembers the last results of a pure function, keyed by the identity of its arguments.

Owns nothing else. Documents are frozen, so the same object always gives the same result; the
memory holds the arguments, so that an identity is never reused while it is a key.
"""

from collections import OrderedDict
from collections.abc import Callable
from functools import wraps
from threading import Lock
from typing import Any, ParamSpec, TypeVar

P = ParamSpec("P")
R = TypeVar("R")


def remembered(count: int) -> Callable[[Callable[P, R]], Callable[P, R]]:
    """Remember the last `count` results of a function of frozen arguments."""

    def decorate(function: Callable[P, R]) -> Callable[P, R]:
        kept: OrderedDict[tuple[int, ...], tuple[tuple[Any, ...], R]] = OrderedDict()
        lock = Lock()

        @wraps(function)
        def wrapper(*args: P.args, **kwargs: P.kwargs) -> R:
            held = (*args, *kwargs.values())
            key = tuple(id(each) for each in held)
            with lock:
                if key in kept:
                    kept.move_to_end(key)
                    return kept[key][1]
            result = function(*args, **kwargs)
            with lock:
                kept[key] = (held, result)
                while len(kept) > count:
                    kept.popitem(last=False)
            return result

        return wrapper

    return decorate
