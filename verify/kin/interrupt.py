"""Keeping a graph library within a budget.

A labelling may take exponential time, and the library looks at no clock while it runs; but it looks
for signals, and ends with a SystemError when a handler raised. So an alarm is set, where one can be:
in the main thread, on systems that have timers, when nobody else's is running. Elsewhere the call
takes the time it takes, milliseconds on everything but graphs made to be hard.
"""

from __future__ import annotations

import signal
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from types import FrameType
from typing import NoReturn

from gridassay.verify.budget import Clock, OutOfTime


def _stop(number: int, frame: FrameType | None) -> NoReturn:
    raise OutOfTime


@contextmanager
def interrupted(clock: Clock) -> Iterator[None]:
    """Raise OutOfTime in the block when the clock runs out, even inside the library."""
    clock.check()
    main = threading.current_thread() is threading.main_thread()
    if not main or not hasattr(signal, "setitimer") or signal.getitimer(signal.ITIMER_REAL)[0]:
        yield
        return
    before = signal.signal(signal.SIGALRM, _stop)
    signal.setitimer(signal.ITIMER_REAL, max(clock.left(), 1e-6))
    try:
        yield
    except SystemError:
        raise OutOfTime from None
    finally:
        signal.setitimer(signal.ITIMER_REAL, 0)
        signal.signal(signal.SIGALRM, before)
