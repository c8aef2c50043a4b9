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
from gridassay.verify.export import Export, export
from gridassay.verify.verdict import Disagreement, Verdict, check

if TYPE_CHECKING:
    from gridassay.verify.kin import Catalogue, canonical, kin_groups, same_solutions, symmetries
    from gridassay.verify.proof.certificate import Certificate, certify
    from gridassay.verify.proof.recheck import Recheck, recheck

__all__ = [
    "Catalogue",
    "Certificate",
    "Clock",
    "Disagreement",
    "Export",
    "OutOfTime",
    "Puzzle",
    "PuzzleError",
    "Recheck",
    "Verdict",
    "canonical",
    "certify",
    "check",
    "export",
    "kin_groups",
    "read",
    "recheck",
    "same_solutions",
    "symmetries",
]

# Loaded when first asked for, so that a verdict does not wait for modules it has no use for.
_LATER = {
    "Catalogue": "gridassay.verify.kin",
    "Certificate": "gridassay.verify.proof.certificate",
    "Recheck": "gridassay.verify.proof.recheck",
    "canonical": "gridassay.verify.kin",
    "certify": "gridassay.verify.proof.certificate",
    "kin_groups": "gridassay.verify.kin",
    "recheck": "gridassay.verify.proof.recheck",
    "same_solutions": "gridassay.verify.kin",
    "symmetries": "gridassay.verify.kin",
}


def __getattr__(name: str) -> Any:
    if name in _LATER:
        return getattr(import_module(_LATER[name]), name)
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
