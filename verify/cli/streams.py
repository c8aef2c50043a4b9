"""Output to terminals and pipes that cannot show every character, as on many Windows machines.

Output for people is written with the nearest plain character: frames become ``+``, ``-`` and ``|``.
Output for programs (JSON) loses nothing, and is escaped instead (``common.print_json``).
"""

from __future__ import annotations

import codecs
import io
import sys
from unicodedata import name

_NEAREST = {
    "→": ">",
    "←": "<",
    "↓": "v",
    "↑": "^",
    "≤": "<=",
    "≥": ">=",
    "≠": "!=",
    "█": "#",
    "−": "-",
}
_HANDLER = "gridassay.nearest"


def _nearest(letter: str) -> str:
    called = name(letter, "")
    if called.startswith("BOX DRAWINGS"):
        across, down = "HORIZONTAL" in called, "VERTICAL" in called
        return "+" if across == down else "-" if across else "|"
    return _NEAREST.get(letter, "?")


def _plainly(error: UnicodeError) -> tuple[str, int]:
    if not isinstance(error, UnicodeEncodeError):
        raise error
    return "".join(map(_nearest, error.object[error.start : error.end])), error.end


def write_what_can_be_shown() -> None:
    """Make everything written to standard output and error fit what they can show."""
    codecs.register_error(_HANDLER, _plainly)
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper) and stream.errors == "strict":
            stream.reconfigure(errors=_HANDLER)


def can_take(text: str) -> bool:
    """Whether standard output can show a text as it is."""
    try:
        text.encode(getattr(sys.stdout, "encoding", None) or "utf-8")
    except UnicodeEncodeError:
        return False
    return True
