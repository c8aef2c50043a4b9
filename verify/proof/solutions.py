"""Solutions as text: the digits as one line, then the unknowns if there are any.

``5347…9 A=12 doubler=r1c4`` gives the letter A its number and makes r1c4 a doubler; cells that are
not named count once. There is one way to write a solution, and only that way is read.
"""

from __future__ import annotations

from gridassay.encodings.constraints import Doubler, Letter, Variable
from gridassay.encodings.errors import RuleError
from gridassay.encodings.grid import Cell
from gridassay.encodings.lines import PuzzleError, digit_range
from gridassay.encodings.puzzle import Puzzle, Solution


def write_solution(puzzle: Puzzle, solution: Solution) -> str:
    """Write a solution of the puzzle as one line."""
    words = [puzzle.line(solution)]
    words += [f"doubler={cell}" for cell in puzzle.doubled_cells(solution)]
    words += [f"{letter}={number}" for letter, number in puzzle.letters(solution).items()]
    shown = puzzle.layers_shown(solution)
    words += [f"{name}={text.replace(' ', ',')}" for name, text in shown.items()]
    return " ".join(words)


def read_solution(puzzle: Puzzle, text: str) -> Solution:
    """Read a full grid of the puzzle, whether it keeps the rules or not.

    Raises PuzzleError saying what is missing or out of place.
    """
    symbols, *words = text.split() or [""]
    numbers = _digits(puzzle, symbols)
    named = dict.fromkeys(puzzle.board.shown, 0)
    letters = puzzle.board.letters
    missing = set(letters)
    layers = {layer.name: layer for layer in puzzle.layers}
    doublers = {str(one.cell): one for one in named if isinstance(one, Doubler)}
    for word in words:
        name, _, value = word.partition("=")
        if name == "doubler" and value in doublers:
            named[doublers[value]] = 1
        elif name in missing and value.isascii() and value.isdecimal():
            if int(value[:9]) not in letters[name]:
                raise PuzzleError(f"{word}: {name} lies between {_ends(letters[name])}")
            named[Letter(name)] = int(value[:9])
            missing.remove(name)
        elif name in layers:
            layer = layers.pop(name)
            try:
                named |= dict(layer.read(puzzle.canvas, value.replace(",", " ")))
            except RuleError as error:
                raise PuzzleError(f"{name}: {error}") from None
        else:
            raise PuzzleError(f"{word!r} is not an unknown of this puzzle, or named twice")
    if missing:
        raise PuzzleError(f"the number of {min(missing)} is missing: write {min(missing)}=NUMBER")
    if layers:
        missed = next(iter(layers))
        raise PuzzleError(f"the value of {missed} is missing: write {missed}=…")
    named |= numbers
    return tuple(named[variable] for variable in puzzle.board.shown)


def _ends(domain: tuple[int, ...]) -> str:
    return f"{domain[0]} and {domain[-1]}"


def _digits(puzzle: Puzzle, symbols: str) -> dict[Variable, int]:
    canvas = puzzle.canvas
    if len(symbols) != canvas.rows * canvas.columns:
        wanted = f"{canvas.rows} rows of {canvas.columns}"
        raise PuzzleError(f"{len(symbols)} symbols, but {wanted} are needed")
    numbers: dict[Variable, int] = {}
    for place, symbol in enumerate(symbols):
        cell = Cell(place // canvas.columns + 1, place % canvas.columns + 1)
        if cell not in canvas.index:
            if symbol != "_":
                raise PuzzleError(f"{cell}: {symbol!r} stands where there is no cell")
        elif not canvas.digits:
            if symbol != ".":
                raise PuzzleError(f"{cell}: {symbol!r}, but there are no digits here")
        elif symbol not in canvas.reader:
            raise PuzzleError(f"{cell}: {symbol!r} is not a digit here ({digit_range(canvas)})")
        else:
            numbers[cell] = canvas.reader[symbol]
    return numbers
