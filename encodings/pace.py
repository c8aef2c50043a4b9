"""Long work pauses now and then, so that whoever asked for it can cancel it.

A question with a budget enters ``pace_with`` with a function that raises when the budget is
spent. Long work, here or in packages above, calls ``pace`` between slices and needs no
clock. A shorter budget inside a longer one keeps both.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from typing import TypeVar

Item = TypeVar("Item")


def _go_on() -> None:
    """Nobody waits."""


_look: ContextVar[Callable[[], None]] = ContextVar("look", default=_go_on)


def pace() -> None:
    """Pause in long work; raises whatever the caller's function raises."""
    _look.get()()


@contextmanager
def pace_with(look: Callable[[], None]) -> Iterator[None]:
    """Let ``pace`` also call this function while the block runs."""
    outer = _look.get()

    def both() -> None:
        outer()
        look()

    token = _look.set(look if outer is _go_on else both)
    try:
        yield
    finally:
        _look.reset(token)


def pacing(items: Iterable[Item], every: int = 256) -> Iterator[Item]:
    """The items, with a pause before each ``every`` of them."""
    look = _look.get()
    for number, item in enumerate(items):
        if not number % every:
            look()
        yield item


class TooLarge(ValueError):
    """A puzzle needs more room than there is; the message names the limit."""


def room(taken: int, most: int, what: str) -> None:
    """Raise TooLarge if more is taken than there is room for."""
    if taken > most:
        raise TooLarge(f"it takes more than {most:,} {what}, which is the limit")
