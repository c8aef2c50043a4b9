"""Memory per thread: whatever holds a solver is used only by the thread that made it.

A solver is asked in several calls (assume, solve, look at the answer), and two threads that
interleave them on one solver crash the process. So engines, and whatever has one inside, are kept
thread by thread. That also makes the answers in one thread independent of what other threads ask at
the same time: a solver's memory decides which of several right answers it gives.
"""

from __future__ import annotations

import atexit
import threading
from collections.abc import Callable
from functools import lru_cache
from typing import Any, Generic, ParamSpec, TypeVar
from weakref import WeakSet

Asked = ParamSpec("Asked")
Made = TypeVar("Made")


class KeptByThread(Generic[Asked, Made]):
    """A function whose last results are kept, separately for each thread."""

    def __init__(self, make: Callable[Asked, Made], most: int) -> None:
        self._make = make
        self._most = most
        self._own = threading.local()
        self._every: WeakSet[Any] = WeakSet()
        # Solvers are freed while python-sat is still whole: at exit its parts are freed in any order.
        atexit.register(self._forget_all)

    def __call__(self, *args: Asked.args, **kwargs: Asked.kwargs) -> Made:
        """Return what was made from these arguments in this thread, or make it now."""
        try:
            kept = self._own.kept
        except AttributeError:
            kept = self._own.kept = lru_cache(maxsize=self._most)(self._make)
            self._every.add(kept)
        made: Made = kept(*args, **kwargs)
        return made

    def forget(self) -> None:
        """Forget what is kept for this thread."""
        self._own.__dict__.pop("kept", None)

    def _forget_all(self) -> None:
        for kept in tuple(self._every):
            kept.cache_clear()


def kept_by_thread(most: int) -> Callable[[Callable[Asked, Made]], KeptByThread[Asked, Made]]:
    """Keep the most recent results of a function, up to this many per thread."""
    return lambda make: KeptByThread(make, most)
