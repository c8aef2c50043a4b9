"""Corner of two: three cells of a square have the value that no square may be all of.

So the fourth does not: read from a part that forbids four cells round a corner to have one value.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import lru_cache, partial

from gridassay.encodings.constraints import AnyOf, In
from gridassay.encodings.variables import Shade, word
from gridassay.verify.engines.questions import Switch
from gridassay.verify.solving.board.ideas import Idea, word_list
from gridassay.verify.solving.board.layer_words import layer_conclusions, thing_said
from gridassay.verify.solving.board.position import Layout, Position
from gridassay.verify.solving.techniques.maps import as_placements

NAME = "corner of two"

_Square = tuple[Switch, tuple[int, ...], int]
"""The part, the unknowns of the four cells, and the place of the value among those of each."""


def find(position: Position) -> Iterator[Idea]:
    """For every square of which three cells have the value and the fourth may."""
    masks = position.masks
    for switch, cells, value in _squares(position.layout):
        having = [one for one in cells if masks[one] == 1 << value]
        left = [one for one in cells if masks[one] != 1 << value and masks[one] >> value & 1]
        if len(having) == 3 and len(left) == 1:
            yield Idea(
                NAME,
                places=as_placements(position, ((left[0], value),))[0],
                removes=as_placements(position, ((left[0], value),))[1],
                cells=tuple(having),
                switches=(switch,),
                shown=tuple(having),
                say=partial(_say, position, tuple(having), left[0], value),
            )


@lru_cache(maxsize=16)
def _squares(layout: Layout) -> tuple[_Square, ...]:
    found = []
    for name, premise in layout.premises.items():
        for number, part in enumerate(premise.parts):
            square = _square(layout, part.constraint)
            if square is not None:
                found.append(((name, number), *square))
    return tuple(found)


def _square(layout: Layout, constraint: object) -> tuple[tuple[int, ...], int] | None:
    if not isinstance(constraint, AnyOf) or len(constraint.members) != 4:
        return None
    shades = []
    for one in constraint.members:
        if not isinstance(one, In) or one.inside or not isinstance(one.variable, Shade):
            return None
        if len(one.values) != 1:
            return None
        shades.append((one.variable, one.values))
    if len({values for _, values in shades}) > 1:
        return None
    rows = {shade.cell.row for shade, _ in shades}
    columns = {shade.cell.column for shade, _ in shades}
    if len(rows) != 2 or len(columns) != 2 or max(rows) - min(rows) != 1:
        return None
    cells = tuple(layout.index[shade] for shade, _ in shades)
    (number,) = shades[0][1]
    place = layout.value_index(cells[0], number)
    return None if place is None else (cells, place)


def _say(position: Position, having: Sequence[int], left: int, value: int) -> str:
    layout = position.layout
    shade = layout.unknowns[left]
    named = word(shade, layout.domains[left][value])
    cells = word_list(thing_said(layout, one) for one in having)
    return (
        f"{cells} are {named}, and with {thing_said(layout, left)} they would make a square of it, "
        f"so {layer_conclusions(layout, position, (), ((left, value),))}"
    )
