"""What a rule strikes, said as bounds where it is one: "r1c1 is at most 4"."""

from __future__ import annotations

from collections.abc import Sequence

from gridassay.verify.solving.board.ideas import cell_names, listed, removal
from gridassay.verify.solving.board.position import Layout, Mark, Position, bits_of, members


def bounds(position: Position, removes: Sequence[Mark]) -> str:
    """What is left of each cell by its bounds, or what goes: ``r1c1 is at most 4; 2 goes from r1c2``.

    Cells of which the same is said are named together; a bound that takes a single digit is said as
    that digit going.
    """
    layout = position.layout
    said: dict[str, list[int]] = {}
    going: list[Mark] = []
    for cell in dict.fromkeys(cell for cell, _ in sorted(removes)):
        lost = bits_of(digit for other, digit in removes if other == cell)
        words = _bound(layout, position.masks[cell], lost) if lost.bit_count() > 1 else ""
        if words:
            said.setdefault(words, []).append(cell)
        else:
            going += [(cell, digit) for digit in members(lost)]
    phrases = [
        f"{cell_names(layout, cells)} {'is' if len(cells) == 1 else 'are'} {words}"
        for words, cells in said.items()
    ]
    return "; ".join([*phrases, *([removal(layout, going)[3:]] if going else [])])


def _bound(layout: Layout, mask: int, lost: int) -> str:
    """``at most 4``, ``at least 6``, both, or nothing where neither says it all."""
    left = sorted(layout.digits[digit] for digit in members(mask & ~lost))
    gone = sorted(layout.digits[digit] for digit in members(lost))
    if not left or any(left[0] < digit < left[-1] for digit in gone):
        return ""
    symbols = layout.canvas.symbols
    if len(left) == 1:
        return symbols[left[0]]
    said = []
    if gone[0] < left[0]:
        said.append(f"at least {symbols[left[0]]}")
    if gone[-1] > left[-1]:
        said.append(f"at most {symbols[left[-1]]}")
    return listed(said)
