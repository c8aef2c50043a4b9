"""Keeping a graph library within a budget.

A labelling may take exponential time, and the library looks at no clock while it runs; but it looks
for signals, and ends with a SystemError when a handler raised. So alarms are set, where they can be:
in the main thread, on systems that have timers, when nobody else's are running. Elsewhere the call
takes the time it takes, milliseconds on everything but graphs made to be hard. There are several
alarms, since each also lets other threads have their turn: one of them ends the process on Ctrl-C.
"""

from __future__ import annotations

import signal
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from types import FrameType

from gridassay.verify.budget import Clock, OutOfTime

_BEAT = 0.05
"""Seconds from one alarm to the next."""


@contextmanager
def interrupted(clock: Clock) -> Iterator[None]:
    """Raise OutOfTime in the block when the clock runs out, even inside the library."""
    clock.check()
    main = threading.current_thread() is threading.main_thread()
    if not main or not hasattr(signal, "setitimer") or signal.getitimer(signal.ITIMER_REAL)[0]:
        yield
        return

    def look(number: int, frame: FrameType | None) -> None:
        clock.check()

    before = signal.signal(signal.SIGALRM, look)
    signal.setitimer(signal.ITIMER_REAL, _BEAT, _BEAT)
    try:
        yield
    except SystemError:
        raise OutOfTime from None
    finally:
        signal.setitimer(signal.ITIMER_REAL, 0)
        signal.signal(signal.SIGALRM, before)
