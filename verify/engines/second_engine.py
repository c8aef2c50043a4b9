"""The second engine, which works beside the first in its own process and can be stopped at any moment.

The process is a plain interpreter that is sent the model: it imports nothing from the program that
started it, however that program starts its own processes. It has a session of its own, so that
Ctrl-C is for its parent to act on, and it ends when its parent does: it reads from its parent until
there is nothing more to come. In a worker process (a batch, the page) there is no second engine:
the other cores have work already.
"""

from __future__ import annotations

import os
import sys
from contextlib import suppress
from threading import Thread
from typing import TYPE_CHECKING

from gridassay.encodings.puzzle import Puzzle, Solution
from gridassay.verify.budget import Clock, OutOfTime

if TYPE_CHECKING:
    import subprocess

# Imported when a process is started: most verdicts come long before that.

_START = "from gridassay.verify.engines.second_engine import serve; serve()"


class AnswerFound(Exception):
    """The second engine has found all solutions there are, or two."""

    def __init__(self, solutions: tuple[Solution, ...]) -> None:
        super().__init__(solutions)
        self.solutions = solutions


class SecondEngine:
    """The second engine on one puzzle, from ``after`` seconds on; never, if that is None."""

    def __init__(self, puzzle: Puzzle, clock: Clock, after: float | None) -> None:
        self._puzzle, self._clock = puzzle, clock
        self._due = None if after is None else clock.time_spent() + after
        self._process: subprocess.Popen[bytes] | None = None
        self._listener = Thread(target=self._listen, daemon=True)
        self._told = b""

    def look(self) -> None:
        """Start the process once it is due. Raises Answered once it has answered."""
        if self._due is not None and self._clock.time_spent() > self._due:
            self._due = None
            self._start()
        elif self._process is not None and not self._listener.is_alive() and self._told:
            import pickle

            solutions: tuple[Solution, ...] | None = pickle.loads(self._told)
            self._told = b""
            if solutions is not None:
                raise AnswerFound(solutions)

    def close(self) -> None:
        """Stop the process, if there is one."""
        self._due = None
        if self._process is not None:
            self._process.kill()
            self._process.wait()
            self._listener.join()
            for pipe in (self._process.stdin, self._process.stdout):
                if pipe is not None:
                    with suppress(OSError):
                        pipe.close()
            self._process = None

    def _start(self) -> None:
        import pickle
        import subprocess
        from multiprocessing import parent_process

        if parent_process():
            return
        try:
            question = pickle.dumps(
                (self._puzzle.model, self._puzzle.givens, self._clock.time_left())
            )
            process = subprocess.Popen(
                [sys.executable, "-P", "-c", _START],
                stdin=subprocess.PIPE,
                stdout=subprocess.PIPE,
                stderr=subprocess.DEVNULL,
                env=os.environ | {"PYTHONPATH": os.pathsep.join(filter(None, sys.path))},
                start_new_session=True,
            )
        except (OSError, pickle.PicklingError, TypeError, AttributeError):
            return  # the first engine goes on alone
        self._process, self._question = process, question
        self._listener.start()

    def _listen(self) -> None:
        process = self._process
        if process is not None and process.stdin is not None and process.stdout is not None:
            with suppress(OSError, ValueError):
                process.stdin.write(self._question)
                process.stdin.flush()
                self._told = process.stdout.read()


def serve() -> None:
    """Answer the question on standard input; this is what the process of ``Beside`` runs."""
    import pickle

    from gridassay.verify.engines.cp import CpEngine

    model, givens, seconds = pickle.load(sys.stdin.buffer)
    Thread(target=_end_with_parent, daemon=True).start()
    engine, clock = CpEngine(model), Clock(seconds)
    found: list[Solution] = []
    try:
        while len(found) < 2:
            another = engine.solve(givens, clock, demands=[engine.forbid(one) for one in found])
            if another is None:
                break
            found.append(another)
    except OutOfTime:
        return
    sys.stdout.buffer.write(pickle.dumps(tuple(found)))
    sys.stdout.flush()


def _end_with_parent() -> None:
    sys.stdin.buffer.read()
    os._exit(0)
