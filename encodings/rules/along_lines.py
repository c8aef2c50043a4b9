"""Rules about the digits along a loop or path to be found."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import lru_cache
from typing import ClassVar, Literal

from pydantic import Field

from gridassay.encodings.board import Board, Filled, Part
from gridassay.encodings.constraints import AllOf, AnyOf, Constraint, In, Table
from gridassay.encodings.formula_words import in_signs, in_words
from gridassay.encodings.formulas import Formula, FormulaError, parse, tuples
from gridassay.encodings.grid import Cell
from gridassay.encodings.layers.lines import OFF
from gridassay.encodings.layers.loops import Path
from gridassay.encodings.on_graphs import Nearer
from gridassay.encodings.rules.base import RuleError, Shape
from gridassay.encodings.rules.loops import OnWalk


class Along(OnWalk):
    """The formula is true of each two cells that are joined.

    It calls their values a and b. If their order matters, as in `"a < b"`, the line is a path with
    `ends`, and a is the cell nearer to the first of them.

    Example: `kind = "along"`, `layer = "cruise"`, `formula = "abs(a-b) >= 5"`.
    """

    kind: Literal["along"] = "along"
    formula: str = Field(description="a formula in a and b, such as 'abs(a-b) >= 5'")

    needs_digits: ClassVar[bool] = True
    sentence: ClassVar[str] = "Digits that are joined keep a relation."

    @property
    def spoken(self) -> str:
        """Its name in steps: ``relation along the cruise``."""
        return f"relation along the {self.layer}"

    def wording(self) -> str:
        """The sentence, with the layer, the formula (in words if it is short) and any direction."""
        formula = _parse(self.formula)
        said = in_words(formula, ("first", "second"))
        if said is None:
            said = f"the digits a and b satisfy {in_signs(formula)}"
        pairs = f"any two cells joined by the {self.layer}"
        if self.directed:
            pairs = (
                f"any cell of the {self.layer} and the next, from the first of its ends to the last"
            )
        return f"In {pairs}, {said}."

    def place(self) -> str:
        """Its layer and formula."""
        return f"{self.layer}: {self.formula}"

    @property
    def directed(self) -> bool:
        """Whether the formula depends on the order of a and b, tested on pairs of numbers."""
        return _has_direction(self.formula)

    def check(self, board: Board) -> None:
        """The formula is symmetric in a and b, or the path has ends."""
        super().check(board)
        try:
            formula = _parse(self.formula)
            rows = _true_pairs(formula, board.value_domain)
        except FormulaError as error:
            raise RuleError(f"formula: {error}", key="formula") from None
        if _uneven(rows) and not self._start(board):
            raise RuleError(
                "formula: swapping a and b changes its meaning, so the path must have ends",
                key="formula",
            )

    def _start(self, board: Board) -> tuple[Cell, ...]:
        """The first end of a path, if it has one."""
        walk = self.walk(board)
        return walk.end_cells()[:1] if isinstance(walk, Path) else ()

    def holds(self, filled: Filled) -> bool:
        """Every drawn link is checked; with a direction, from the end that is nearer to the start."""
        board, formula = filled.board, _parse(self.formula)
        walk = self.walk(board)
        drawn = [link for link in walk.links(board.canvas) if filled.numbers[link]]
        pairs = [(link.first, link.second) for link in drawn]
        if _uneven(_true_pairs(formula, board.value_domain)):
            steps = _steps(self._start(board)[0], pairs)
            both = [(a, b) for one in pairs for a, b in (one, one[::-1])]
            pairs = [(a, b) for a, b in both if a in steps and steps[a] < steps[b]]
        return all(formula.true_for([filled.value(a), filled.value(b)]) for a, b in pairs)

    def parts(self, board: Board) -> Iterator[Part]:
        """One part per pair of neighbours."""
        rows = _true_pairs(_parse(self.formula), board.value_domain)
        walk, index = self.walk(board), board.canvas.index
        start = self._start(board) if _uneven(rows) else ()
        for link in walk.links(board.canvas):
            if not start:
                table = Table(board.values((link.first, link.second)), rows)
                yield Part(f"along {link}", AnyOf((In(link, OFF), table)))
                continue
            graph, root = walk.cell_graph(board.canvas), index[start[0]]
            said: list[Constraint] = []
            for a, b in ((link.first, link.second), (link.second, link.first)):
                nearer = Nearer(graph, root, index[a], index[b])
                table = Table(board.values((a, b)), rows)
                said.append(AnyOf((In(link, OFF), nearer.negated(), table)))
            yield Part(f"along {link}", AllOf(tuple(said)))

    def shapes(self, board: Board) -> Iterator[Shape]:
        """Only its sentence."""
        yield Shape("grid")


def _steps(start: Cell, pairs: Sequence[tuple[Cell, Cell]]) -> dict[Cell, int]:
    """The number of steps from the start to each cell."""
    steps, waiting = {start: 0}, [start]
    for cell in waiting:
        for one, other in pairs:
            for here, there in ((one, other), (other, one)):
                if here == cell and there not in steps:
                    steps[there] = steps[cell] + 1
                    waiting.append(there)
    return steps


def _uneven(rows: frozenset[tuple[int, ...]]) -> bool:
    """Whether some pair is allowed in one order only."""
    return any((b, a) not in rows for a, b in rows)


@lru_cache(maxsize=64)
def _has_direction(text: str) -> bool:
    """Whether a formula means something else from the other end, tested on possible digits."""
    try:
        return _uneven(_true_pairs(_parse(text), tuple(range(-9, 19))))
    except FormulaError:
        return False


@lru_cache(maxsize=64)
def _parse(text: str) -> Formula:
    return parse(text, "ab")


@lru_cache(maxsize=16)
def _true_pairs(formula: Formula, domain: tuple[int, ...]) -> frozenset[tuple[int, ...]]:
    """All values of a and b for which it is true."""
    named = {name: place for place, name in enumerate(formula.names)}
    if not named:
        return frozenset((a, b) for a in domain for b in domain if formula.true_for([a, b]))
    short = tuples(parse(formula.text, formula.names), [domain] * len(named))
    return frozenset(
        (a, b)
        for a in domain
        for b in domain
        if tuple({"a": a, "b": b}[name] for name in formula.names) in short
    )
