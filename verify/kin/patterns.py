"""The look of a puzzle: where its givens and shapes are, and what maps it onto itself.

A symmetric *pattern* (where givens stand and what is drawn, whatever the values) is good craft and
is reported neutrally. A *mirrored look* is more: the turn, together with one renaming of digits,
carries the whole puzzle onto itself, houses and rules included.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from gridassay.encodings.grid import Cell
from gridassay.encodings.puzzle import Puzzle
from gridassay.encodings.variables import image_of
from gridassay.verify.budget import Clock
from gridassay.verify.kin.graph import templates
from gridassay.verify.kin.layout import drawing_term
from gridassay.verify.kin.terms import Term
from gridassay.verify.kin.transformation import Transformation, pinned_way, renaming_words
from gridassay.verify.kin.turns import SYMMETRIES, TURNS, Turn, turn_cells

if TYPE_CHECKING:
    from gridassay.encodings.rules.base import Shape


@dataclass(frozen=True)
class Symmetry:
    """A turn that, with one renaming of digits, carries a puzzle onto itself."""

    turn: Turn
    way: Transformation

    def words(self) -> str:
        """The look in one sentence."""
        renaming = renaming_words(self.way.digits, self.way.here, self.way.there)
        with_digits = f" with {renaming}" if renaming else ", with the same digits,"
        return f"a {self.turn.words}{with_digits} carries the puzzle onto itself"

    def to_json(self) -> dict[str, Any]:
        """The keys of the JSON output."""
        digits = {str(old): new for old, new in self.way.digits.items()}
        return {"turn": self.turn.name, "digits": digits}


def patterns(puzzle: Puzzle) -> tuple[Turn, ...]:
    """The turns that leave the givens' places and the rules' shapes as they are, values apart.

    None if there is nothing to see: no given and no shape.
    """
    given = {fact.variable for fact in puzzle.givens}
    shapes = [(rule.kind, shape) for rule in puzzle.rules for shape in rule.shapes(puzzle.board)]
    if not (given or any(shape.cells for _, shape in shapes)):
        return ()
    stay = {cell: cell for cell in puzzle.canvas.cells}
    seen = _drawing(shapes, stay, TURNS[0])
    found = []
    for turn in SYMMETRIES:
        image = turn_cells(puzzle.canvas, turn, puzzle.canvas)
        if image is None or any(image_of(one, image, turn.direction) not in given for one in given):
            continue
        if not shapes or _drawing(shapes, image, turn) == seen:
            found.append(turn)
    return tuple(found)


def _drawing(
    shapes: Sequence[tuple[str, Shape]], image: Mapping[Cell, Cell], turn: Turn
) -> Counter[Term]:
    """The drawing after a turn: kinds, forms, ends, directions and cells, without labels."""
    return Counter(
        drawing_term(
            f"{kind} {turn.direction(*shape.direction)}",
            shape,
            [image.get(cell, cell) for cell in shape.cells],
        )
        for kind, shape in shapes
    )


def looks(puzzle: Puzzle, clock: Clock) -> tuple[Symmetry, ...]:
    """The turns that carry the puzzle onto itself with one renaming of digits. Raises OutOfTime.

    Some do not keep the pattern: thermometers turned end for end are the same if their digits are
    subtracted from lowest + highest.
    """
    said = templates(puzzle, clock)
    found = []
    for turn in SYMMETRIES:
        image = turn_cells(puzzle.canvas, turn, puzzle.canvas)
        if image is None:
            continue
        for target in said:
            way = pinned_way(puzzle, said[0], puzzle, target, image, clock)
            if way:
                found.append(Symmetry(turn, way))
                break
    return tuple(found)
