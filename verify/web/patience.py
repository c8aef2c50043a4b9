"""A limit on how long the server waits for a request: an endless one would hold a place for ever."""

from __future__ import annotations

import asyncio

from uvicorn.protocols.http.h11_impl import H11Protocol

WAIT = 10.0
"""Seconds for a whole request to arrive. On a slow connection the largest body takes a tenth of that."""


class Punctual(H11Protocol):
    """Closes a connection that has not sent a whole request in time.

    Between two requests the keep-alive timeout of the server counts; while an answer is made, there
    is no limit.
    """

    _late: asyncio.TimerHandle | None = None

    def connection_made(self, transport: asyncio.Transport) -> None:  # type: ignore[override]
        """Begin to wait for the first request."""
        super().connection_made(transport)
        self._wait()

    def data_received(self, data: bytes) -> None:
        """Take the bytes that came; the timer runs from the first byte of a request to its last."""
        super().data_received(data)
        cycle = self.cycle
        if cycle is None or cycle.response_complete or cycle.more_body:
            self._wait()
        else:
            self._stop_waiting()

    def connection_lost(self, exc: Exception | None) -> None:
        """Stop waiting."""
        self._stop_waiting()
        super().connection_lost(exc)

    def _wait(self) -> None:
        if self._late is None:
            self._late = self.loop.call_later(WAIT, self.transport.close)

    def _stop_waiting(self) -> None:
        if self._late is not None:
            self._late.cancel()
            self._late = None
