"""How results show themselves: in one line in a session, as a picture or a table in a notebook."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, ClassVar

LONGEST = 150
"""The most characters that a result says of itself in a session."""


def shortened(text: str) -> str:
    """A text on one line, its end left out where it is too long."""
    line = " ".join(text.split())
    return line if len(line) <= LONGEST else f"{line[:LONGEST].rsplit(' ', 1)[0]} …"


class InShort:
    """A result with a short ``repr``; its dataclass is made with ``repr=False``."""

    notebook: ClassVar[Callable[[Any], str] | None] = None
    """Makes HTML of a result; it stands above all of them (``notebook.py``) and is set from there."""

    def in_short(self) -> str:
        """The result in one line."""
        raise NotImplementedError

    def __repr__(self) -> str:
        return f"<{type(self).__name__}: {shortened(self.in_short())}>"

    def _repr_html_(self) -> str | None:
        return None if InShort.notebook is None else InShort.notebook(self)
