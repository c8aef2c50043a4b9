"""Houses by their kind and their number, as people say them: *row three*, *box 5*, *region C*."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from functools import cache

from gridassay.encodings.grid import Canvas


@cache
def numbered_houses(canvas: Canvas) -> Mapping[tuple[str, str], str]:
    """The name of each house by its kind and its number, or a region's letter in lower case.

    Empty for several grids, of which each has a row three.
    """
    if len(canvas.grids) != 1:
        return {}
    letters = sorted(set(canvas.grids[0].regions or ""))
    so_far: Counter[str] = Counter()
    found: dict[tuple[str, str], str] = {}
    for house in canvas.houses:
        so_far[house.kind] += 1
        number = so_far[house.kind]
        said = letters[number - 1].casefold() if house.kind == "region" else str(number)
        found[house.kind, said] = house.name
    return found


@cache
def lines_by_place(canvas: Canvas) -> Mapping[str, str]:
    """The names of the rows and columns at the edges and in the middle, by the word for their place."""
    numbers = {
        "top": ("row", 1),
        "bottom": ("row", canvas.rows),
        "left": ("column", 1),
        "right": ("column", canvas.columns),
        "middle row": ("row", canvas.rows // 2 + 1),
        "middle column": ("column", canvas.columns // 2 + 1),
    }
    houses = numbered_houses(canvas)
    named = {spot: houses.get((kind, str(at)), "") for spot, (kind, at) in numbers.items()}
    return {spot: house for spot, house in named.items() if house}
