"""How results show themselves: in one line in a session, as a picture or a table in a notebook."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, ClassVar


class InShort:
    """A result with a short ``repr``; its dataclass is made with ``repr=False``."""

    notebook: ClassVar[Callable[[Any], str] | None] = None
    """Makes HTML of a result; it stands above all of them (``notebook.py``) and is set from there."""

    def in_short(self) -> str:
        """The result in one line."""
        raise NotImplementedError

    def __repr__(self) -> str:
        return f"<{type(self).__name__}: {self.in_short()}>"

    def _repr_html_(self) -> str | None:
        return None if InShort.notebook is None else InShort.notebook(self)
