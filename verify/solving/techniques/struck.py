"""The strikes of a rule or total: the candidates that count for it, and the ends of its sentence."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Self

from gridassay.encodings.constraints import Constraint
from gridassay.verify.solving.board.ideas import cell_names, word_list
from gridassay.verify.solving.board.position import Layout, Mark, Position, Zone, members
from gridassay.verify.solving.board.premise_words import as_given, premises_said
from gridassay.verify.solving.rule_meaning.pieces import Piece
from gridassay.verify.solving.rule_meaning.sums import WeightedSum, total_in
from gridassay.verify.solving.techniques.bounds import bounds
from gridassay.verify.solving.techniques.facts import Reads, conclusion


@dataclass(frozen=True, eq=False)
class Struck:
    """The conclusion of a rule, or of a total, for the cells of ``scope``.

    ``total`` is the one total that it gives them, if it says nothing else, ``constraints`` is what
    it says otherwise, and ``premise`` its name; ``apart`` are sets of cells (one bit per cell) that
    houses keep different, some of them cells ``beside`` its own. ``cells`` are those whose
    candidates count: any other cell might be any digit. If they are ``untold``, no sentence names them.
    """

    position: Position
    scope: tuple[int, ...]
    cells: tuple[int, ...]
    places: tuple[Mark, ...]
    removes: tuple[Mark, ...]
    total: WeightedSum | None = None
    constraints: tuple[Constraint, ...] = ()
    apart: tuple[int, ...] = ()
    beside: tuple[int, ...] = ()
    premise: str = ""
    untold: bool = False

    @classmethod
    def of(
        cls,
        position: Position,
        piece: Piece,
        zones: Sequence[Zone],
        cells: tuple[int, ...],
        places: tuple[Mark, ...],
        removes: tuple[Mark, ...],
    ) -> Self:
        """The conclusion of a piece of a rule with some houses."""
        apart = tuple(zone.bits for zone in zones)
        total = total_in(position.layout, piece.premise, apart)
        constraints = tuple(part.constraint for part in piece.premise.parts)
        beside = tuple(cell for cell in cells if cell not in piece.scope)
        scope = piece.scope if total is None else total.cells
        if beside and total:
            total = total.beside(beside, apart)
        return cls(
            position,
            (*scope, *beside),
            cells,
            places,
            removes,
            total,
            constraints,
            apart,
            beside,
            piece.premise.name,
        )

    @property
    def layout(self) -> Layout:
        """The cells in which it lies."""
        return self.position.layout

    @cached_property
    def struck(self) -> tuple[Mark, ...]:
        """Every candidate that goes, those of a cell that is placed among them."""
        placed = [
            (cell, other)
            for cell, digit in self.places
            for other in members(self.position.masks[cell] & ~(1 << digit))
        ]
        return (*self.removes, *placed)

    @cached_property
    def masks(self) -> dict[int, int]:
        """The candidates that count, cell by cell."""
        full = self.layout.full
        return {
            cell: self.position.masks[cell] if cell in self.cells else full[cell]
            for cell in self.scope
        }

    def end(self) -> str:
        """The end of the sentence."""
        return conclusion(self.position, self.places, self.removes)

    def bare(self) -> str:
        """The premises and the conclusion: ``r1c1 is 2, 3 or 6, so r1c2 is at most 5``."""
        given = self.clauses(self.cells)
        of_cells = all(self.layout.is_cell(unknown) for unknown, _ in self.places)
        end = self.end() if of_cells else f"so {bounds(self.position, self.struck)}"
        return f"{word_list(given)}, {end}" if given else end.removeprefix("so ")

    def premises(self, cells: Sequence[int] | None = None) -> str:
        """``as r1c1 is 2, 3 or 6, `` or nothing if no candidates count, or they are not told."""
        return as_given(self.clauses(self.cells if cells is None else cells))

    def in_order(self, cells: tuple[int, ...], found: Sequence[tuple[int, ...]]) -> Reads:
        """Some ways to fill cells, without those that are decided, which have been named."""
        left = [
            place
            for place, cell in enumerate(cells)
            if self.untold or cell not in self.cells or self.masks[cell] & (self.masks[cell] - 1)
        ]
        if len(left) < 2:
            return Reads.of(cells, found)
        ways = list(dict.fromkeys(tuple(filling[place] for place in left) for filling in found))
        return Reads.of(tuple(cells[place] for place in left), ways)

    def they(self, fact: str, cells: Sequence[int]) -> str:
        """A fact that begins with cells, which are *they* if just they have been named."""
        names = cell_names(self.layout, cells)
        masks, full = self.position.masks, self.layout.full
        just = {cell for cell in self.cells if masks[cell] != full[cell]}
        if self.untold or {*cells} != just or not fact.startswith(f"{names} make"):
            return fact
        return f"they{fact.removeprefix(names)}"

    def clauses(self, cells: Sequence[int]) -> list[str]:
        """Clauses about the candidates of some cells: ``r1c1 is 2, 3 or 6``."""
        return [] if self.untold else premises_said(self.position, cells, ())


def no_repeats(rule: str, houses: str) -> str:
    """The houses in which a rule repeats no digit; a house that is in its name is not named again."""
    return (
        ", where no digit repeats"
        if rule.endswith(f" in {houses}")
        else f", no digit twice in {houses}"
    )


def with_rest(rule: str, houses: str) -> str:
    """A rule with houses: ``the cage in box 1 and the rest of the box``, ``… together with row 3``."""
    if rule.endswith(f" in {houses}"):
        return f"{rule} and the rest of the {houses.split()[0]}"
    return f"{rule} together with {houses}"
