"""A canvas drawn in text: walls round boxes and regions, coordinates along two sides."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from gridassay.encodings.grid import Canvas, Cell

_CORNERS = " ╷╶┌╴┐─┬╵│└├┘┤┴┼"
"""The corner for arms going down (1), right (2), left (4) and up (8)."""


def text_grid(canvas: Canvas, content: Mapping[Cell, str], *, numbered: bool = True) -> list[str]:
    """Draw the content of each cell; cells without content stay blank, holes are left open.

    ``numbered`` writes row and column numbers at the left and the top, as in ``r3c7``.
    """
    wide = max((len(text) for text in content.values()), default=1)
    known = areas(canvas)
    rows, columns = range(canvas.rows + 1), range(canvas.columns + 1)

    def differ(one: Cell, other: Cell) -> bool:
        return known.get(one) != known.get(other)

    across = {(r, c): differ(Cell(r, c + 1), Cell(r + 1, c + 1)) for r in rows for c in columns}
    down = {(r, c): differ(Cell(r + 1, c), Cell(r + 1, c + 1)) for r in rows for c in columns}
    margin = len(str(canvas.rows)) + 1 if numbered else 0
    lines = []
    if numbered:
        names = "".join(f"{c + 1:>{wide + 1}} " for c in columns[:-1])
        lines.append(" " * margin + " " + names.rstrip())
    for r in rows:
        if any(across[r, c] for c in columns[:-1]):
            lines.append(" " * margin + _border(across, down, r, columns, wide))
        if r < canvas.rows:
            label = f"{r + 1:>{margin - 1}} " if numbered else ""
            lines.append(label + _cells(content, down, r, columns, wide))
    return [line.rstrip() for line in lines]


def areas(canvas: Canvas) -> dict[Cell, frozenset[str]]:
    """The areas of a cell that walls show: its grids, boxes and regions."""
    members: dict[Cell, set[str]] = {cell: set() for cell in canvas.cells}
    for grid in canvas.grids:
        for cell in grid.cells:
            members[cell].add(grid.name)
        for name, cells, _ in grid.areas:
            for cell in cells:
                members[cell].add(f"{name} of {grid.name}")
    return {cell: frozenset(names) for cell, names in members.items()}


def _border(
    across: Mapping[tuple[int, int], bool],
    down: Mapping[tuple[int, int], bool],
    r: int,
    columns: Sequence[int],
    wide: int,
) -> str:
    drawn = ""
    for c in columns:
        arms = (down[r, c] + 2 * across[r, c] + 4 * (c > 0 and across[r, c - 1])) + 8 * (
            r > 0 and down[r - 1, c]
        )
        bar = "─" if across[r, c] else " "
        drawn += _CORNERS[arms] + (bar * (wide + 1 + (c == columns[-1])) if c < columns[-1] else "")
    return drawn


def _cells(
    content: Mapping[Cell, str],
    down: Mapping[tuple[int, int], bool],
    r: int,
    columns: Sequence[int],
    wide: int,
) -> str:
    drawn = ""
    for c in columns:
        drawn += "│" if down[r, c] else " "
        if c < columns[-1]:
            drawn += f"{content.get(Cell(r + 1, c + 1), ''):^{wide}} "
    return drawn


def beside(blocks: Sequence[tuple[str, Sequence[str]]], width: int) -> list[str]:
    """Lay captioned blocks side by side if the width allows it, else one below another."""
    if not blocks:
        return []
    sized = [(caption, block, max(map(len, [caption, *block]))) for caption, block in blocks]
    if sum(size + 3 for _, _, size in sized) > width:
        return [line for caption, block, _ in sized for line in (caption, *block, "")][:-1]
    tall = max(len(block) for _, block, _ in sized) + 1
    columns = [
        [f"{line:<{size}}" for line in ([caption, *block] + [""] * tall)[:tall]]
        for caption, block, size in sized
    ]
    return ["   ".join(row).rstrip() for row in zip(*columns, strict=True)]
