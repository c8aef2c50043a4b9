"""Methods under the names that they had before: they work for a version, and warn."""

from __future__ import annotations

import warnings
from collections.abc import Callable
from typing import Any, TypeVar

C = TypeVar("C", bound=type)


def formerly(**now: str) -> Callable[[C], C]:
    """Let methods be called by former names too: ``@formerly(told="in_one_line")`` over their class."""

    def add(cls: C) -> C:
        for old, new in now.items():
            setattr(cls, old, _forwarding(cls.__name__, old, new))
        return cls

    return add


def _forwarding(owner: str, old: str, new: str) -> Callable[..., Any]:
    def forward(self: Any, *args: Any, **named: Any) -> Any:
        text = f"{owner}.{old} is now called {new}; the old name goes with the next version"
        warnings.warn(text, DeprecationWarning, stacklevel=2)
        return getattr(self, new)(*args, **named)

    forward.__name__, forward.__qualname__ = old, f"{owner}.{old}"
    forward.__doc__ = f"The former name of ``{new}``."
    return forward
