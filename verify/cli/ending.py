"""How a command ends if it is interrupted or gridassay itself fails."""

from __future__ import annotations

import os
import signal
import sys
from contextlib import suppress
from threading import Thread

from gridassay.verify.saving import drop_unfinished

UNIQUE, NOT_UNIQUE, BAD_INPUT, UNDECIDED, FAULT = 0, 1, 2, 3, 4
"""The exit codes. The last: gridassay itself is at fault."""
INTERRUPTED = 130
"""The exit code that shells use for what Ctrl-C ended."""
_SHOW_CURSOR = b"\x1b[?25h"


def end_at_once_when_interrupted() -> None:
    """Let Ctrl-C end the process from now on, whatever it is doing.

    Solver libraries install their own handlers in place of Python's, and a solver that is stopped
    in the middle of a question must not be used again. So the signal is blocked in every thread,
    and one thread waits for it and ends the process. On a system that cannot do that, Ctrl-C is
    left to Python.
    """
    if hasattr(signal, "pthread_sigmask"):
        signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
        Thread(target=_wait, daemon=True).start()


def keep_from_workers() -> None:
    """Block Ctrl-C in worker processes that are about to start, if it is handled here.

    They inherit the blocked signals; but Python's resource tracker, which starts before
    the first of them, unblocks this one again.
    """
    if hasattr(signal, "pthread_sigmask") and signal.SIGINT in signal.pthread_sigmask(
        signal.SIG_BLOCK, ()
    ):
        from multiprocessing.resource_tracker import ensure_running

        # It warns of what it cleans up after a process that ended at once, as this one may.
        warnings = os.environ.get("PYTHONWARNINGS")
        os.environ["PYTHONWARNINGS"] = "ignore"
        ensure_running()
        if warnings is None:
            del os.environ["PYTHONWARNINGS"]
        else:
            os.environ["PYTHONWARNINGS"] = warnings
        signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})


def _wait() -> None:
    signal.sigwait({signal.SIGINT})
    drop_unfinished()
    # Buffered output belongs to the person; but a pipe that nobody reads must not delay the end.
    flushing = Thread(target=_flush, daemon=True)
    flushing.start()
    flushing.join(0.2)
    tell_interrupted()
    _end_workers()
    os._exit(INTERRUPTED)


def tell_interrupted() -> None:
    """Say that the command was stopped; a progress bar may have hidden the cursor."""
    with suppress(OSError):
        if os.isatty(2):
            os.write(2, _SHOW_CURSOR + b"\n")
        os.write(2, b"gridassay: stopped\n")


def stop_writing() -> None:
    """Drop what standard output could not take, so that Python does not try again at exit."""
    with suppress(OSError, ValueError):
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def system_words(error: OSError) -> str:
    """One line for what the system refused: room on standard output, a place for temporary files."""
    said = (error.strerror or str(error)).lower()
    return f"{error.filename}: {said}" if error.filename else f"cannot be written: {said}"


def _flush() -> None:
    with suppress(OSError, ValueError):
        sys.stdout.flush()


def _end_workers() -> None:
    """Stop the worker processes of this one. They would wait for work for ever."""
    multiprocessing = sys.modules.get("multiprocessing.process")
    if multiprocessing:
        workers = multiprocessing.active_children()
        # No other thread may run, and report workers that died, before the end.
        sys.setswitchinterval(3600)
        for worker in workers:
            worker.kill()
