"""Strikes of a rule that are bounds, told as bounds: "r1c1 is at most 4"."""

from __future__ import annotations

from collections.abc import Sequence

from gridassay.encodings.variables import Letter
from gridassay.verify.solving.board.ideas import cell_names, removal, word_list
from gridassay.verify.solving.board.layer_words import in_words, layer_conclusions
from gridassay.verify.solving.board.position import Layout, Mark, Position, bits_of, members

_NAMED = 3
"""The most digits left to a cell that are named one by one."""

_FEW, _SOME = 5, 8
"""The most values left to a letter that are named one by one; and if more than that have gone."""


def is_letter(layout: Layout, unknown: int) -> bool:
    """Whether an unknown is a letter: neither a cell nor something that is so or not."""
    return not layout.is_cell(unknown) and isinstance(layout.unknowns[unknown], Letter)


def bounds(position: Position, removes: Sequence[Mark], *, always: bool = False) -> str:
    """The digits left to each cell, or its removals: ``r1c1 is at most 4; 2 can be removed from r1c2``.

    Cells with the same words are named together. A bound that removes a single digit is told as a
    removal, and a cell left with two or three digits is told as these, unless ``always`` is set. A
    cell left with one digit is told as that digit.
    """
    layout = position.layout
    layers = [mark for mark in removes if in_words(layout.unknowns[mark[0]])]
    if layers:
        others = [mark for mark in removes if mark not in layers]
        rest = bounds(position, others, always=always) if others else ""
        return "; ".join(filter(None, (rest, layer_conclusions(layout, position, (), layers))))
    said: dict[str, list[int]] = {}
    going: list[Mark] = []
    for cell in dict.fromkeys(cell for cell, _ in sorted(removes)):
        lost = bits_of(digit for other, digit in removes if other == cell)
        left = position.masks[cell] & ~lost
        bounded = always or lost.bit_count() > 1 or left.bit_count() == 1
        bounded = bounded or not layout.is_cell(cell)
        words = ""
        if bounded:
            words = _bound_words(layout, cell, position.masks[cell], lost, always=always)
        if words:
            said.setdefault(words, []).append(cell)
        else:
            going += [(cell, value) for value in members(lost)]
    phrases = []
    for words, cells in said.items():
        each = " each" if " or " in words else ""
        verb = "is" if len(cells) == 1 else f"are{each}"
        phrases.append(f"{cell_names(layout, cells)} {verb} {words}")
    return "; ".join([*phrases, *([removal(layout, going)[3:]] if going else [])])


def _bound_words(layout: Layout, cell: int, mask: int, lost: int, *, always: bool) -> str:
    """``at most 4``, ``at least 6``, both, or nothing if neither says it all."""
    values = layout.domains[cell]
    left = sorted(values[place] for place in members(mask & ~lost))
    gone = sorted(values[place] for place in members(lost))
    named = {value: layout.value_name((cell, place)) for place, value in enumerate(values)}
    few = _SOME if len(left) < len(gone) else _FEW
    if layout.is_cell(cell):
        few = 1 if always else _NAMED
    in_a_row = len(left) > _NAMED and left == [*range(left[0], left[-1] + 1)]
    if in_a_row and not layout.is_cell(cell):
        return f"{named[left[0]]} to {named[left[-1]]}"
    if len(left) == 1 or (1 < len(left) <= few):
        return word_list([named[value] for value in left], "or")
    if not left or any(left[0] < digit < left[-1] for digit in gone):
        return ""
    said = []
    if gone[0] < left[0]:
        said.append(f"at least {named[left[0]]}")
    if gone[-1] > left[-1]:
        said.append(f"at most {named[left[-1]]}")
    if len(said) == 2 and not layout.is_cell(cell):
        return f"{named[left[0]]} to {named[left[-1]]}"
    return word_list(said)
