"""Candidates files: a position as a grid of candidate lists, then letters and doublers."""

from __future__ import annotations

from gridassay.encodings.constraints import Doubler, Letter
from gridassay.encodings.grid import Cell, GridError, parse_cells
from gridassay.encodings.lines import PuzzleError
from gridassay.encodings.puzzle import Puzzle
from gridassay.verify.budget import looking_at_arguments
from gridassay.verify.solving.board.position import Layout, Position, bits_of, layout_of


@looking_at_arguments
def write_candidates(position: Position) -> str:
    """A position as candidate lists, one row per line; a hole is ``_``, an
    empty list ``-``.

    After the grid ``letter A: 12 13`` for each letter, and, if there are doublers, ``doublers:`` with the
    cells that can still be one.
    """
    layout = position.layout
    canvas = layout.canvas
    wide = max((mask.bit_count() for mask in position.masks[: len(layout.cells)]), default=0)
    rows = []
    for row in range(1, canvas.rows + 1):
        lists = []
        for column in range(1, canvas.columns + 1):
            cell = canvas.index.get(Cell(row, column))
            text = "_" if cell is None else position.candidates(cell) or "-"
            lists.append(f"{text:<{wide}}")
        rows.append(" ".join(lists).rstrip())
    double = []
    for place, unknown in enumerate(layout.unknowns):
        if isinstance(unknown, Letter):
            rows.append(f"letter {unknown}: {position.candidates(place)}".rstrip())
        elif isinstance(unknown, Doubler) and position.has((place, 1)):
            double.append(str(unknown.cell))
    if any(isinstance(unknown, Doubler) for unknown in layout.unknowns):
        rows.append(f"doublers: {' '.join(double)}".rstrip())
    return "\n".join(rows) + "\n"


@looking_at_arguments
def read_candidates(text: str, puzzle: Puzzle, source: str = "") -> Position:
    """Read a grid of candidate lists: ``159 4 27 …``, ``.`` for every digit, ``#`` for comments.

    ``letter A: 12 13`` and ``doublers: r1c4 r2c7`` may follow, with those that are still possible.
    A cell with one candidate counts as placed if no cell that sees it still has the digit; so a
    candidates file has exactly the meaning that it shows. Raises PuzzleError naming line and cell.
    """
    layout = layout_of(puzzle)
    canvas = layout.canvas
    masks = list(layout.full)
    lines = []
    for number, raw in enumerate(text.splitlines(), start=1):
        words = raw.partition("#")[0].split()
        if not words:
            continue
        about = " ".join(words).partition(":")
        if not about[1]:
            lines.append((number, words))
            continue
        try:
            _read_others(about[0].split(), about[2].split(), masks, layout)
        except (ValueError, GridError) as error:
            raise PuzzleError(str(error), source, number) from None
    if len(lines) != canvas.rows:
        raise PuzzleError(f"{len(lines)} rows of candidates, but {canvas.rows} are needed", source)
    for row, (number, words) in enumerate(lines, start=1):
        if len(words) != canvas.columns:
            message = f"{len(words)} lists of candidates, but {canvas.columns} are needed"
            raise PuzzleError(message, source, number)
        for column, word in enumerate(words, start=1):
            place = Cell(row, column)
            cell = layout.index.get(place)
            if cell is None or word == ".":
                continue
            mask = 0
            for symbol in word.strip("-") if word != "-" else "":
                if symbol not in canvas.reader:
                    message = f"{place}: {symbol!r} is not a digit here"
                    raise PuzzleError(message, source, number)
                mask |= 1 << layout.digit_index[canvas.reader[symbol]]
            if not mask:
                raise PuzzleError(f"{place} has no candidate", source, number)
            masks[cell] = mask
    for name, digit in puzzle.givens:
        unknown, value = layout.mark_of(name, digit)
        if not masks[unknown] >> value & 1:
            symbol = layout.value_name((unknown, value))
            raise PuzzleError(f"{name} is given as {symbol}, but has no {symbol}", source)
    given = bits_of(layout.index[cell] for cell, _ in puzzle.givens if isinstance(cell, Cell))
    position = Position(layout, masks, given=given)
    for cell, mask in enumerate(masks[: len(layout.cells)]):
        if mask.bit_count() == 1 and not (
            position.where[mask.bit_length() - 1] & layout.sees[cell]
        ):
            position.placed |= 1 << cell
    return position


def _read_others(head: list[str], words: list[str], masks: list[int], layout: Layout) -> None:
    """Read the candidates of a letter, or the cells that may be doublers. Raises ValueError."""
    if len(head) == 2 and head[0] == "letter":
        place = layout.index.get(Letter(head[1]))
        if place is None:
            raise ValueError(f"there is no letter {head[1]!r}")
        mask = 0
        for word in words:
            value = int(word[:9]) if word.removeprefix("-").isdecimal() else None
            index = None if value is None else layout.value_index(place, value)
            if index is None:
                low, high = layout.domains[place][0], layout.domains[place][-1]
                raise ValueError(f"{word!r}: {head[1]} lies between {low} and {high}")
            mask |= 1 << index
        if not mask:
            raise ValueError(f"{head[1]} has no candidate")
        masks[place] = mask
    elif head == ["doublers"]:
        doublers = [p for p, unknown in enumerate(layout.unknowns) if isinstance(unknown, Doubler)]
        if not doublers:
            raise ValueError("there are no doublers in this puzzle")
        cells = tuple(parse_cells(" ".join(words))) if words else ()
        for cell in cells:
            if cell not in layout.index:
                raise ValueError(f"{cell} is not on the canvas")
        for place in doublers:
            unknown = layout.unknowns[place]
            if isinstance(unknown, Doubler) and unknown.cell not in cells:
                masks[place] &= 1
    else:
        raise ValueError(f"{' '.join(head)!r} is neither a letter nor doublers")
