"""Questions about a puzzle, answered by asking a compiled model.

The public face of the library: read a puzzle, ask about it, get a frozen result with ``to_json``.

>>> from gridassay.verify import check, read
>>> check(read("1..." "...2" "..3." ".4..")).status
'unique'
"""

from __future__ import annotations

from gridassay.encodings.files import read_text
from gridassay.encodings.lines import PuzzleError
from gridassay.encodings.puzzle import Puzzle
from gridassay.verify.budget import Clock, OutOfTime
from gridassay.verify.verdict import Disagreement, Verdict, check

__all__ = [
    "Clock",
    "Disagreement",
    "OutOfTime",
    "Puzzle",
    "PuzzleError",
    "Verdict",
    "check",
    "read",
]


def read(text: str, source: str = "") -> Puzzle:
    """Read the one puzzle of a text: a line, a drawn grid or a TOML document.

    Raises PuzzleError where there is none, more than one, or a bad one.
    """
    found = list(read_text(text, source))
    if isinstance(found[0], PuzzleError):
        raise found[0]
    if len(found) > 1:
        raise PuzzleError(f"this takes one puzzle, and here are {len(found)}", source)
    return found[0]
