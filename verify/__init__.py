"""Questions about a puzzle, answered by asking a compiled model.

The public face of the library: read a puzzle, ask about it, get a frozen result with ``to_json``.

>>> from gridassay.verify import check, read
>>> check(read("1..." "...2" "..3." ".4..")).status
'unique'
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

from gridassay.encodings.files import read_puzzle as read
from gridassay.encodings.lines import PuzzleError
from gridassay.encodings.puzzle import Puzzle
from gridassay.verify.budget import Clock, OutOfTime
from gridassay.verify.verdict import Disagreement, Verdict, check

if TYPE_CHECKING:
    from gridassay.verify.kin import Catalogue, canonical, kin_groups, same_solutions, symmetries

__all__ = [
    "Catalogue",
    "Clock",
    "Disagreement",
    "OutOfTime",
    "Puzzle",
    "PuzzleError",
    "Verdict",
    "canonical",
    "check",
    "kin_groups",
    "read",
    "same_solutions",
    "symmetries",
]

# Loaded when first asked for, so that a verdict does not wait for modules it has no use for.
_LATER = {
    "Catalogue": "gridassay.verify.kin",
    "canonical": "gridassay.verify.kin",
    "kin_groups": "gridassay.verify.kin",
    "same_solutions": "gridassay.verify.kin",
    "symmetries": "gridassay.verify.kin",
}


def __getattr__(name: str) -> Any:
    if name in _LATER:
        return getattr(import_module(_LATER[name]), name)
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
