"""Words for pieces of a few cells, as a person says them who has no picture."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator

from gridassay.encodings.notation import listing
from gridassay.encodings.wording import article, in_letters

Form = frozenset[tuple[int, int]]
"""A piece: rows and columns from 0, its upper left corner's."""

_LETTERS = {
    "T": ("###/.#.", "###/.#./.#."),
    "S": ("##./.##",),
    "L": ("###/#..", "####/#..."),
    "F": (".##/##./.#.",),
    "N": ("##../.###",),
    "P": ("###/##.",),
    "U": ("###/#.#",),
    "V": ("###/#../#..",),
    "W": ("##./.##/..#",),
    "X": (".#./###/.#.",),
    "Y": ("####/.#..",),
    "Z": ("##./.#./.##",),
}
"""The letters after which pieces of four and five cells are called (Golomb 1965, from memory)."""


def at_origin(cells: Iterable[tuple[int, int]]) -> Form:
    """Cells moved up and left until they touch row 0 and column 0."""
    known = list(cells)
    top = min((row for row, _ in known), default=0)
    left = min((column for _, column in known), default=0)
    return frozenset((row - top, column - left) for row, column in known)


def form(text: str) -> Form:
    """The cells of a drawn piece; rows are lines, or separated by a slash."""
    lines = [line.strip() for line in text.replace("/", "\n").split("\n")]
    rows = enumerate(line for line in lines if line)
    return at_origin(
        (row, column) for row, line in rows for column, sign in enumerate(line) if sign == "#"
    )


def looks_of(piece: Form, turn: bool = True, flip: bool = True) -> frozenset[Form]:
    """All forms of a piece, turned and mirrored as allowed."""
    found = {piece}
    while True:
        turned = {at_origin((column, -row) for row, column in one) for one in found}
        mirrored = {at_origin((row, -column) for row, column in one) for one in found}
        more = found | (turned if turn else set()) | (mirrored if flip else set())
        if more == found:
            return frozenset(found)
        found = more


_NAMED = {
    looks_of(form(text)): letter for letter, drawings in _LETTERS.items() for text in drawings
}


def pieces_in_words(pieces: Iterable[Form], turn: bool, flip: bool) -> str:
    """A list of pieces, alike ones told together.

    A piece is also told row by row if it has no name, or if turning or mirroring, which is not
    allowed, would make another one of it.
    """
    times = Counter(
        _words(piece, looks_of(piece, turn, flip) != looks_of(piece)) for piece in pieces
    )
    return listing([f"{one} ({_often(n)})" if n > 1 else one for one, n in times.items()], "and")


def _often(times: int) -> str:
    return "twice" if times == 2 else f"{in_letters(times)} times"


def _words(piece: Form, lying: bool) -> str:
    size = len(piece)
    if size == 1:
        return "a single cell"
    high = 1 + max(row for row, _ in piece)
    wide = 1 + max(column for _, column in piece)
    if min(high, wide) == 1:
        if not lying:
            return f"{in_letters(size)} in a row"
        return f"{in_letters(size)} {'side by side' if high == 1 else 'one below another'}"
    if high == wide and size == high * wide:
        return f"a {high}×{wide} square"
    if size == high * wide:
        if lying:
            return f"a rectangle of {high} rows and {wide} columns"
        return f"a {min(high, wide)}×{max(high, wide)} rectangle"
    named = "corner" if size == 3 else _NAMED.get(looks_of(piece), "")
    said = f"{article(named or 'piece')} {named or 'piece'} of {in_letters(size)}"
    return said if named and not lying else f"{said} ({'; '.join(_rows(piece, high))})"


def _rows(piece: Form, high: int) -> Iterator[str]:
    """The columns of each row: ``columns 1 to 3``."""
    for row in range(high):
        columns = sorted(column + 1 for r, column in piece if r == row)
        runs: list[list[str]] = []
        for column in columns:
            if column - 1 in columns:
                runs[-1].append(str(column))
            else:
                runs.append([str(column)])
        said = listing(
            [f"{run[0]} to {run[-1]}" if len(run) > 2 else listing(run, "and") for run in runs],
            "and",
        )
        yield f"row {row + 1}: {'column' if len(columns) == 1 else 'columns'} {said}"
