"""Makes the corpora of layers from seeds: ``python -m benchmarks.corpora.make_layers``.

waters9.txt   two colours on 9×9, both connected, no square of one, 20 of 81 cells given
caves9.txt    caves on 9×9: one connected, the rock to the edge, 20 of 81 cells given
waters12.txt  two colours on 12×12, 36 of 144 cells given
loops9.txt    one loop on 9×9, a fifth of the links given
borders10.txt one border loop on 10×10, a fifth of the sides given

Shadings are made without a solver: from a comb, by flips of single cells that keep what the rules say,
some thousand between one board and the next.
"""

from __future__ import annotations

from collections.abc import Callable
from random import Random

from benchmarks.corpora import FOLDER, RULE_OFF
from gridassay.encodings.documents import read_document
from gridassay.encodings.puzzle import Fact
from gridassay.verify.budget import Clock
from gridassay.verify.engines.sat import SatEngine

Board = list[list[bool]]
PUZZLES = 40
BETWEEN = 1500
"""Flips tried between two boards."""


def _group(board: Board, row: int, column: int) -> int:
    """The number of cells connected to one, in the same colour."""
    side, colour = len(board), board[row][column]
    seen, waiting = {(row, column)}, [(row, column)]
    while waiting:
        r, c = waiting.pop()
        for near in ((r - 1, c), (r + 1, c), (r, c - 1), (r, c + 1)):
            inside = 0 <= near[0] < side and 0 <= near[1] < side
            if inside and near not in seen and board[near[0]][near[1]] is colour:
                seen.add(near)
                waiting.append(near)
    return len(seen)


def _connected(board: Board, colour: bool) -> bool:
    cells = [(r, c) for r, row in enumerate(board) for c, one in enumerate(row) if one is colour]
    return bool(cells) and _group(board, *cells[0]) == len(cells)


def _two_waters(board: Board) -> bool:
    side = range(len(board) - 1)
    squares = (
        {board[r][c], board[r][c + 1], board[r + 1][c], board[r + 1][c + 1]}
        for r in side
        for c in side
    )
    return all(len(met) == 2 for met in squares) and all(
        _connected(board, x) for x in (False, True)
    )


def _cave(board: Board) -> bool:
    """The dark cells are connected, and no light cells are enclosed by them."""
    side = len(board) + 2
    rimmed = [[False] * side, *([False, *row, False] for row in board), [False] * side]
    return _connected(board, True) and _connected(rimmed, False)


def _boards(side: int, keeps: Callable[[Board], bool], seed: int) -> list[Board]:
    rng = Random(seed)
    last = side - 1
    board = [[r == 0 or (r < last and c % 2 == 0) for c in range(side)] for r in range(side)]
    assert keeps(board)
    found: list[Board] = []
    while len(found) < PUZZLES:
        for _ in range(BETWEEN):
            r, c = rng.randrange(side), rng.randrange(side)
            board[r][c] = not board[r][c]
            if not keeps(board):
                board[r][c] = not board[r][c]
        found.append([row[:] for row in board])
    return found


_HEAD = 'digits = "none"\nsize = {side}\n\n[[layer]]\nname = "water"\nkind = "shading"\n'
_RULE = '\n[[rule]]\nkind = "{kind}"\nlayer = "water"\n'
_VALUED = _RULE + 'value = "{value}"\n'
_WATERS = (
    _VALUED.format(kind="connected", value="deep")
    + _VALUED.format(kind="connected", value="shallow")
    + _RULE.format(kind="no-square")
)
_CAVES = _VALUED.format(kind="connected", value="deep") + _VALUED.format(
    kind="to-the-edge", value="shallow"
)


def _shadings(side: int, keeps: Callable[[Board], bool], rules: str, given: int, seed: int) -> str:
    rng, documents = Random(seed + 1), []
    for board in _boards(side, keeps, seed):
        shown = set(rng.sample(range(side * side), given))
        rows = (
            "".join(("sd"[board[r][c]] if r * side + c in shown else ".") for c in range(side))
            for r in range(side)
        )
        drawn = "\n".join(rows)
        head = _HEAD.format(side=side)
        documents.append(f'{head}values = ["deep", "shallow"]\ngivens = """\n{drawn}\n"""\n{rules}')
    return RULE_OFF.join(documents)


def _lines(side: int, kind: str, seed: int) -> str:
    """Loops from a solver whose phases are random, a fifth of all variables given."""
    head = f'digits = "none"\nsize = {side}\n\n[[layer]]\nname = "line"\nkind = "{kind}"\n'
    puzzle = read_document(head, kind)
    layer, documents = puzzle.layers[0], []
    for number in range(PUZZLES):
        rng = Random(seed + number)
        engine = SatEngine(puzzle.model, Clock(600), solver="glucose4")
        shown = puzzle.model.shown
        engine.lean([Fact(one, rng.choice((0, 1))) for one in shown])
        solution = engine.solve((), Clock(600))
        assert solution is not None
        values = dict(zip(shown, solution, strict=True))
        given = {one: values[one] for one in rng.sample(shown, len(shown) // 5)}
        written = ", ".join(f'"{text}"' for text in layer.givens_of(puzzle.canvas, given))
        documents.append(f"{head}givens = [{written}]\n")
    return RULE_OFF.join(documents)


def main() -> None:
    """Write the corpora."""
    made = {
        "waters9": _shadings(9, _two_waters, _WATERS, 20, 91),
        "caves9": _shadings(9, _cave, _CAVES, 20, 92),
        "waters12": _shadings(12, _two_waters, _WATERS, 36, 121),
        "loops9": _lines(9, "loop", 93),
        "borders10": _lines(10, "border-loop", 101),
    }
    for name, text in made.items():
        (FOLDER / f"{name}.txt").write_text(text, encoding="utf-8")


if __name__ == "__main__":
    main()
