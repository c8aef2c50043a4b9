"""How an explanation looks on a terminal: what is wrong, on the grid and in words, and the repairs."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from gridassay.encodings.puzzle import Puzzle
from gridassay.verify.cli.common import say, terminal_width
from gridassay.verify.cli.show import show_grids
from gridassay.verify.draw.text import text_grid
from gridassay.verify.mending.conflict import Conflict, conflict_cells
from gridassay.verify.mending.explanation import Explanation
from gridassay.verify.mending.words import BRACKETS, mend_words, wrong_words


def show_explanation(explained: Explanation, *, mends_first: bool = False) -> None:
    """Print the grids and everything that an explanation says."""
    if mends_first:
        show_mends(explained)
    if explained.conflicts and explained.conflicts.found:
        say()
        for line in conflict_grid(explained.verdict.puzzle, explained.conflicts.found):
            say(line)
    else:
        show_grids(explained.verdict)
    say()
    for line in (*wrong_words(explained), *_possible(explained)):
        say(line)
    if not mends_first:
        say()
        show_mends(explained)
    if explained.ran_out:
        say("", f"The budget ran out for: {', '.join(explained.ran_out)}. A longer --budget helps.")


def show_mends(explained: Explanation) -> None:
    """Print what would repair it, if anything would."""
    mends = list(mend_words(explained))
    if mends:
        say("What would repair it:")
        for mend in mends:
            say(f"  {mend}")
        if explained.repair and not explained.repair.all_tried:
            say(
                "  (to repair it for the grid that you meant, use check --solution; for the solution"
            )
            say("  that needs the fewest givens, use check --any-solution)")


def conflict_grid(puzzle: Puzzle, found: Sequence[Conflict]) -> list[str]:
    """The givens, with the cells of each conflict in its own kind of brackets."""
    canvas = puzzle.canvas
    given = {fact.variable: fact.value for fact in puzzle.givens}
    content = {c: canvas.symbols[given[c]] if c in given else "·" for c in canvas.cells}
    for conflict, (left, right) in reversed(list(zip(found, BRACKETS, strict=False))):
        for cell in conflict_cells(puzzle, conflict):
            content[cell] = f"{left}{content[cell].strip('()[]{}')}{right}"
    return text_grid(canvas, content)


def _possible(explained: Explanation) -> Iterator[str]:
    """The digits of each cell across all solutions, if they fit the screen."""
    if not (explained.possible and explained.verdict.puzzle.canvas.digits):
        return
    canvas = explained.verdict.puzzle.canvas
    content = {
        cell: "".join(canvas.symbols[digit] for digit in sorted(explained.possible[cell]))
        for cell in canvas.cells
    }
    drawn = text_grid(canvas, content)
    if max(map(len, drawn)) <= terminal_width():
        yield ""
        yield "digits that each cell takes across all solutions"
        yield from drawn
