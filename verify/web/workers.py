"""Workers: processes that answer questions, each stopped by ending its process.

A solver cannot always be interrupted, and reading a puzzle has no clock; but a process can be ended
whatever it is doing. So nothing that comes in over the network runs in the process that serves it.
"""

from __future__ import annotations

import asyncio
import multiprocessing
import os
import signal
import sys
import tempfile
import traceback
from collections.abc import AsyncIterator
from contextlib import suppress
from multiprocessing.connection import Connection
from time import monotonic
from typing import Any

Message = tuple[str, Any]
"""``told`` with the number done and the number of all, ``answer`` with JSON, ``failed`` with a line."""

MOST_WAITING = 8
MOST_AT_ONCE = 3
QUICK_LIMIT = 6.0
"""Seconds after which a quick question's worker is ended, whatever it is doing."""
GRACE = 5.0
"""Seconds beyond its budget that a long question may take to assemble its answer."""
BEAT = 0.25
"""Seconds between two signs of life of a long question."""


class Busy(Exception):
    """Too many questions are being answered already."""


class Stopped(Exception):
    """The worker ended, or was stopped, before it had an answer."""


class Worker:
    """One process, which answers one question after another."""

    def __init__(self) -> None:
        method = _method()
        context: Any = multiprocessing.get_context(method)
        if method == "forkserver":
            context.set_forkserver_preload(["__main__", "gridassay.verify.web.questions"])
        self._here, there = context.Pipe()
        self._process = context.Process(target=_answer, args=(there,), daemon=True)
        self._process.start()
        there.close()

    @property
    def alive(self) -> bool:
        """Whether it is ready for a question."""
        return bool(self._process.is_alive())

    def ask(self, name: str, body: object) -> None:
        """Send it a question."""
        try:
            self._here.send((name, body))
        except OSError:
            raise Stopped from None

    async def hear(self, seconds: float) -> Message | None:
        """Its next message, or None if there is none within this time."""
        return await asyncio.to_thread(self._hear, seconds)

    def _hear(self, seconds: float) -> Message | None:
        try:
            message: Message | None = self._here.recv() if self._here.poll(seconds) else None
        except (EOFError, OSError):
            raise Stopped from None
        return message

    def end(self) -> None:
        """End the process at once."""
        self._process.kill()
        self._process.join()


def _method() -> str:
    """How to start workers: quickly, unless the folder for temporary files has too long a name.

    A forkserver listens on a socket there, whose whole name may have about a hundred bytes.
    """
    room = 100 - len("/pymp-xxxxxxxx/listener-xxxxxxxx")
    has_room = len(os.fsencode(tempfile.gettempdir())) <= room
    has_method = "forkserver" in multiprocessing.get_all_start_methods()
    return "forkserver" if has_room and has_method else "spawn"


class Lane:
    """A warm worker that answers one quick question after another."""

    def __init__(self) -> None:
        self._worker: Worker | None = None
        self._turn = asyncio.Lock()
        self._waiting = 0

    async def ask(self, name: str, body: object) -> Message:
        """The answer. Raises Busy, and Stopped if it takes too long."""
        if self._waiting >= MOST_WAITING:
            raise Busy
        self._waiting += 1
        try:
            async with self._turn:
                return await self._ask(name, body)
        finally:
            self._waiting -= 1

    async def _ask(self, name: str, body: object) -> Message:
        if self._worker is None or not self._worker.alive:
            self._worker = await asyncio.to_thread(Worker)
        worker, answered = self._worker, False
        try:
            worker.ask(name, body)
            message = await worker.hear(QUICK_LIMIT)
            if message is None:
                raise Stopped
            answered = True
            return message
        finally:
            # An answer that nobody waited for must not be taken for the answer to the next question.
            if not answered:
                self._worker = None
                worker.end()

    def close(self) -> None:
        """End the worker."""
        if self._worker:
            self._worker.end()


class Desk:
    """Takes questions: quick ones go to warm workers, a long one to its own worker."""

    def __init__(self) -> None:
        self._lanes = {"look": Lane(), "": Lane()}
        self._long: set[Worker] = set()
        self._starting = 0

    async def quick(self, name: str, body: object) -> Message:
        """The answer to a quick question. Raises Busy, and Stopped if it takes too long.

        The questions after every edit do not wait for anything else.
        """
        return await self._lanes.get(name, self._lanes[""]).ask(name, body)

    async def long(self, name: str, body: object, budget: float) -> AsyncIterator[Message]:
        """Yield the progress of a long question, and finally its answer. Raises Busy, Stopped.

        The worker is ended when the caller stops listening.
        """
        if len(self._long) + self._starting >= MOST_AT_ONCE:
            raise Busy
        self._starting += 1
        try:
            worker = await asyncio.to_thread(Worker)
            self._long.add(worker)
        finally:
            self._starting -= 1
        ends = monotonic() + budget + GRACE
        done: tuple[int, int] | None = None
        try:
            worker.ask(name, body)
            while monotonic() < ends:
                message = await worker.hear(BEAT)
                if message is None:
                    yield "told", done
                elif message[0] == "told":
                    done = message[1]
                else:
                    yield message
                    return
            raise Stopped
        finally:
            self._long.discard(worker)
            worker.end()

    def close(self) -> None:
        """End every worker."""
        for holder in self._lanes.values():
            holder.close()
        for worker in tuple(self._long):
            worker.end()


def _answer(connection: Connection) -> None:
    """The life of a worker."""
    # Ctrl-C goes to every process of the terminal; the server stops its workers itself.
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    with suppress(EOFError, OSError):
        while True:
            name, body = connection.recv()
            connection.send(_answer_question(connection, name, body))


def _answer_question(connection: Connection, name: str, body: object) -> Message:
    from gridassay.encodings.lines import PuzzleError
    from gridassay.encodings.rules.base import RuleError
    from gridassay.verify.budget import OutOfTime
    from gridassay.verify.web.asked import SOURCE, Asked
    from gridassay.verify.web.questions import LONG, QUICK

    def tell(done: int, of: int) -> None:
        connection.send(("told", (done, of)))

    try:
        return "answer", {**QUICK, **LONG}[name](Asked.of(body), tell)
    except PuzzleError as error:
        line = error.source.removeprefix(f"{SOURCE}:")
        place = {"line": int(line)} if line.isdecimal() else {}
        return "answer", {"error": error.message, **place}
    except RuleError as error:
        return "answer", {"error": str(error)}
    except OutOfTime:
        return "answer", {"error": "undecided when the budget ran out"}
    except Exception:
        traceback.print_exc(file=sys.stderr)
        return "failed", "the question failed; the terminal that runs the page says more"
