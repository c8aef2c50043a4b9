"""The one place where a digit can go now, for words that tell too little, or of a cell that was missed.

Who sees the board knows what *so six in the corner* means if only one six can be placed in a corner,
whatever was said before.
"""

from __future__ import annotations

from gridassay.verify.listening.bearings import Bearing, Mention
from gridassay.verify.listening.best_fit import part_holds
from gridassay.verify.listening.nearby import core_of
from gridassay.verify.listening.spots import SpokenBoard, naked_singles, singles

_TELLING = frozenset({"spot", "near", "last", "nth"})
_HOUSED = frozenset({"house", "line", "side"})
_STOPS_IT = frozenset({"not", "rule", "only"})
_OTHER_SPOTS = frozenset({"bulb", "tip", "corner box"})


def only_single(mention: Mention, board: SpokenBoard, since: int) -> int | None:
    """The one cell in which a digit is a single, or was left out, and that fits what was said; else None.

    None too where the digit stands already, if its house was said or *there's a six*: that may be meant.
    """
    layout = board.position.layout
    digit = layout.digit_index.get(mention.digit)
    core = core_of(mention, since)
    kinds = {one.kind for one in core}
    claims = any(one.said == "claim" or one.said in _OTHER_SPOTS for one in core)
    if digit is None or mention.listing or claims or kinds & _STOPS_IT or not kinds & _TELLING:
        return None
    true = [cell for cell in range(len(layout.cells)) if board.possible[cell] == 1 << digit]
    back = [one for one in core if _points_back(one)]
    rest = [one for one in core if one.kind != "unknown" and one not in back]
    fitting = [cell for cell in true if all(part_holds(cell, one, mention, board) for one in rest)]
    housed = any(one.kind in _HOUSED for one in rest)
    if (mention.recalls or housed) and any(board.stands(cell) for cell in fitting):
        return None
    unsaid = {cell for cell, one in board.bridged if one == digit}
    now = singles(board, digit) | naked_singles(board, digit) | unsaid
    found = [cell for cell in fitting if cell in now]
    if len(found) > 1 and back:
        found = [
            cell for cell in found if all(part_holds(cell, one, mention, board) for one in back)
        ]
    return found[0] if len(found) == 1 else None


def _points_back(part: Bearing) -> bool:
    """Whether a part tells of the cell that was spoken of last."""
    return part.kind == "same" or (part.kind == "near" and not part.digits)
