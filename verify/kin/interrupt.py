"""Keeping a graph library within a budget.

A labelling may take exponential time, and the library does not watch a clock while it runs. It does
watch for signals, and stops with a SystemError if a handler raised. So alarms are set if they
can be: in the main thread, on systems that have timers, when nobody else's are running. Elsewhere
the call runs to its end, which takes milliseconds except on graphs made to be hard. There are
several alarms, since each also lets other threads run: one of them ends the process on Ctrl-C.
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
def interrupt_when_late(clock: Clock) -> Iterator[None]:
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
