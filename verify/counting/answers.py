"""A reader's grid checked against a puzzle: the solution, a second one, right so far, or what it breaks.

Letters to the editor end here. A full grid is judged by the plain reading of every given, house and
rule. A partial one may break none of them and still be wrong, so the compiled puzzle is
asked whether it can be completed and, if not, which entries are in no solution.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any, Literal

from gridassay.encodings.constraints import Variable
from gridassay.encodings.errors import RuleError
from gridassay.encodings.lines import PuzzleError, read_drawn, read_givens
from gridassay.encodings.puzzle import Fact, Puzzle, Solution
from gridassay.verify.budget import DEFAULT_SECONDS, Clock, within_budget
from gridassay.verify.counting.possible import possible_values
from gridassay.verify.engines import sat_engine_for
from gridassay.verify.engines.questions import Engine, another
from gridassay.verify.in_short import InShort

Result = Literal[
    "solution", "second solution", "right so far", "open so far", "wrong", "unsolvable"
]


@dataclass(frozen=True, repr=False)
class Answer(InShort):
    """A judgement of a reader's grid.

    ``solution``: the only one. ``second solution``: a solution of a puzzle that has others, one of
    which is ``other``. ``right so far``: every entry is in the only solution. ``open so far``: every
    entry is in some solution of a puzzle that has several. ``unsolvable``: the puzzle has no solution.
    ``wrong``: it has, but none with all entries. With these two, ``broken`` are the givens, houses and
    rules that the entries break, each taken alone (there may be none), and ``breaks`` is the first of
    them. ``wrong_cells`` are the entries that no solution of a puzzle with a solution has.
    """

    puzzle: Puzzle
    result: Result
    entries: tuple[Fact, ...]
    broken: tuple[str, ...] = ()
    wrong_cells: tuple[Variable, ...] = ()
    other: Solution | None = None

    def in_short(self) -> str:
        """The judgement and the first thing that is broken."""
        return f"{self.result}, breaks {self.breaks}" if self.breaks else self.result

    @property
    def breaks(self) -> str | None:
        """The first given, house or rule that is broken."""
        return self.broken[0] if self.broken else None

    @property
    def ok(self) -> bool:
        """Whether nothing in it is wrong."""
        return self.result not in ("wrong", "unsolvable")

    def to_json(self) -> dict[str, Any]:
        """The judgement as JSON, with its evidence."""
        result: dict[str, Any] = {"source": self.puzzle.source, "result": self.result}
        if not self.ok:
            result["breaks"] = self.breaks
            result["broken"] = list(self.broken)
        if self.result == "wrong":
            result["wrong_cells"] = [str(cell) for cell in self.wrong_cells]
        if self.other:
            result["other"] = self.puzzle.line(self.other)
            if self.puzzle.layers:
                result["other_layers"] = self.puzzle.layers_shown(self.other)
        return result


@within_budget
def answer(puzzle: Puzzle, grid: str, *, budget: float | Clock = DEFAULT_SECONDS) -> Answer:
    """Judge a reader's full or partial grid, written as a line or drawn.

    Raises PuzzleError if the grid does not fit the canvas, OutOfTime if the budget does not
    suffice.
    """
    clock = Clock.of(budget)
    entries = read_entries(puzzle, grid)
    engine = sat_engine_for(puzzle, clock)
    completed = engine.solve([*puzzle.givens, *entries], clock)
    if completed is None or _clash(puzzle, entries):
        return _wrong(puzzle, engine, entries, clock)
    second = another(engine, puzzle.givens, completed, clock)
    full = _is_full(puzzle, entries)
    if second is None:
        return Answer(puzzle, "solution" if full else "right so far", entries)
    return Answer(puzzle, "second solution" if full else "open so far", entries, other=second)


def read_entries(puzzle: Puzzle, grid: str) -> tuple[Fact, ...]:
    """The digits of a grid written as a line or drawn, then its layers: ``water=dds…``.

    Raises PuzzleError.
    """
    canvas, layers = puzzle.canvas, {layer.name: layer for layer in puzzle.layers}
    facts: list[Fact] = []
    for word in grid.split() if layers else ():
        name, equals, shown = word.partition("=")
        if equals and name in layers:
            grid = grid.replace(word, "", 1)
            try:
                facts += layers.pop(name).read(canvas, shown.replace(",", " "))
            except RuleError as error:
                raise PuzzleError(f"{name}: {error}") from None
    if facts and not grid.strip():
        return tuple(facts)
    return (*read_givens(read_drawn(grid, canvas), canvas), *facts)


def _is_full(puzzle: Puzzle, entries: Sequence[Fact]) -> bool:
    """Whether every cell has a digit, and every layer is given if any is or there are no digits."""
    cells, layered = len(puzzle.canvas.digit_cells), len(puzzle.board.layered)
    return len(entries) == cells + layered or (0 < cells == len(entries))


def read_solution(puzzle: Puzzle, grid: str, clock: Clock) -> Solution:
    """A solution of the puzzle from its digits; letters and doublers are found.

    Raises PuzzleError if the grid is not full or not a solution.
    """
    try:
        entries = read_entries(puzzle, grid)
    except PuzzleError as error:
        raise PuzzleError(f"the solution named: {error.message}", puzzle.source) from None
    if not _is_full(puzzle, entries):
        raise PuzzleError("the solution named is not a full grid", puzzle.source)
    found = sat_engine_for(puzzle, clock).solve([*puzzle.givens, *entries], clock)
    if found is None or _clash(puzzle, entries):
        raise PuzzleError("the solution named is not a solution of the puzzle", puzzle.source)
    return found


def _clash(puzzle: Puzzle, entries: Sequence[Fact]) -> list[Fact]:
    """The givens that entries contradict."""
    entered = dict(entries)
    return [g for g in puzzle.givens if entered.get(g.variable, g.value) != g.value]


def _wrong(puzzle: Puzzle, engine: Engine, entries: tuple[Fact, ...], clock: Clock) -> Answer:
    possible = possible_values(engine, puzzle.givens, clock)
    givens = map(str, _clash(puzzle, entries))
    broken = (*givens, *_contradictions(engine, entries, clock))
    if not any(possible.values()):
        return Answer(puzzle, "unsolvable", entries, broken)
    wrong = tuple(cell for cell, digit in entries if digit not in possible[cell])
    return Answer(puzzle, "wrong", entries, broken, wrong)


def _contradictions(engine: Engine, entries: Sequence[Fact], clock: Clock) -> Iterator[str]:
    """The houses and rules that the entries contradict with no other premise on."""
    for premise in engine.model.premises:
        if not premise.optional and engine.solve(entries, clock, on=[premise.name]) is None:
            yield premise.name
