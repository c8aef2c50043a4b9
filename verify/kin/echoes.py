"""Boxes that echo one another: the mirrored look of parts of a grid.

That one box can be turned and renamed into another with the same pattern means nothing, because the
digits of a box all differ. It means something if the renaming is confirmed more often than chance
would: if the same one serves several pairs of boxes under one turn of the grid, when it swaps
digits that stand in both boxes (of which full ones have too many for that to mean anything), or
when it leaves the digits as they are. How often it must be confirmed is a matter of judgement:
``LEAST`` times.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations
from typing import Any, NamedTuple

from gridassay.encodings.grid import Canvas, Cell, Grid
from gridassay.encodings.puzzle import Puzzle
from gridassay.verify.kin.transformation import renaming_words
from gridassay.verify.kin.turns import QUARTER_BACK, STAY, SYMMETRIES, TURNS, Turn

LEAST = 3
"""Boxes with fewer givens echo nothing, and a renaming is believed from so many repetitions on."""


@dataclass(frozen=True)
class Echo:
    """Two boxes: the second is the first after a turn and a renaming of digits."""

    first: str
    second: str
    turn: Turn
    digits: Mapping[int, int]
    canvas: Canvas

    def words(self) -> str:
        """The echo in one sentence."""
        turn = "" if self.turn == STAY else f" after a {self.turn.words}"
        renaming = renaming_words(self.digits, self.canvas, self.canvas)
        same = f"with {renaming}" if renaming else "with the same digits"
        return f"{self.second} is {self.first}{turn} {same}"

    def to_json(self) -> dict[str, Any]:
        """The keys of the JSON output."""
        digits = {str(old): new for old, new in self.digits.items()}
        return {"boxes": [self.first, self.second], "turn": self.turn.name, "digits": digits}


class _Box(NamedTuple):
    """A box: its name, its place among the boxes and the givens by their place in it, from 0."""

    name: str
    at: tuple[int, int]
    givens: Mapping[tuple[int, int], int]


def echoes(puzzle: Puzzle) -> tuple[Echo, ...]:
    """Pairs of boxes that echo one another, each under the turn that shows the most."""
    canvas, found = puzzle.canvas, dict[tuple[str, str], Echo]()
    for grid in canvas.grids:
        if grid.box is None:
            continue
        high, wide = grid.box
        boxes = _boxes(puzzle, grid)
        ways = [
            *_together(boxes, high, wide),
            *(way for pair in combinations(boxes, 2) for way in _alone(*pair, high, wide)),
        ]
        for first, second, turn, digits in ways:
            found.setdefault((first, second), Echo(first, second, turn, digits, canvas))
    return tuple(found.values())


def _boxes(puzzle: Puzzle, grid: Grid) -> list[_Box]:
    high, wide = grid.box or (1, 1)
    given: Mapping[Any, int] = dict(puzzle.givens)
    suffix = f" of {grid.name}" if len(puzzle.canvas.grids) > 1 else ""

    def givens(cells: Sequence[Cell]) -> dict[tuple[int, int], int]:
        places = (divmod(number, wide) for number in range(high * wide))
        return {p: given[cell] for p, cell in zip(places, cells, strict=True) if cell in given}

    across = grid.size // wide
    return [
        _Box(house.name + suffix, divmod(number, across), givens(house.cells))
        for number, house in enumerate(grid.areas)
    ]


_Way = tuple[str, str, Turn, Mapping[int, int]]


def _renaming(here: _Box, there: _Box, turn: Turn, high: int, wide: int) -> dict[int, int] | None:
    """The renaming of digits from one box to another with the same pattern, turned."""
    if not LEAST <= len(here.givens) == len(there.givens):
        return None
    goals = {turn.place(*place, high, wide): digit for place, digit in here.givens.items()}
    if goals.keys() != there.givens.keys():
        return None
    return {digit: there.givens[goal] for goal, digit in goals.items()}


def _together(boxes: Sequence[_Box], high: int, wide: int) -> Iterator[_Way]:
    """Pairs that are explained by one turn of the whole grid with one renaming."""
    at = {box.at: box for box in boxes}
    down, across = max(at)[0] + 1, max(at)[1] + 1
    best: tuple[int, list[_Way]] = (0, [])
    for turn in (*SYMMETRIES, QUARTER_BACK):
        if turn.square and high != wide:
            continue
        matches = []
        for box in boxes:
            other = at[turn.place(*box.at, down, across)]
            digits = _renaming(box, other, turn, high, wide)
            if digits:
                matches.append((box, other, digits))
        votes: dict[int, Counter[int]] = defaultdict(Counter)
        for _, _, digits in matches:
            for old, new in digits.items():
                votes[old][new] += 1
        renaming = {old: counted.most_common(1)[0][0] for old, counted in votes.items()}
        agreed = [m for m in matches if all(renaming[old] == new for old, new in m[2].items())]
        pairs = [m for m in agreed if (m[0].at < m[1].at if turn.involutive else m[0] != m[1])]
        told = [edge for _, _, digits in pairs for edge in _edges(digits, turn)]
        repeated = len(told) - len(set(told))
        ways: list[_Way] = [
            (a.name, b.name, turn, dict(sorted(d.items()))) for a, b, d in agreed if a.at < b.at
        ]
        if len(ways) > 1 and repeated >= LEAST and repeated > best[0]:
            best = repeated, ways
    yield from best[1]


def _alone(first: _Box, second: _Box, high: int, wide: int) -> Iterator[_Way]:
    """The turns under which two boxes have the same pattern and digits that stay or swap."""
    for turn in TURNS:
        if turn.square and high != wide:
            continue
        digits = _renaming(first, second, turn, high, wide)
        if digits is None:
            continue
        same = all(old == new for old, new in digits.items())
        told = _edges(digits, turn)
        swaps = all(digits.get(new, old) == old for old, new in digits.items())
        seen_twice = len(told) - len(set(told)) >= LEAST and len(digits) < high * wide
        if same or (swaps and seen_twice):
            yield first.name, second.name, turn, dict(sorted(digits.items()))


def _edges(digits: Mapping[int, int], turn: Turn) -> list[tuple[int, int]]:
    """The renaming that a box shows; 1→9 and 9→1 are the same if two turns change nothing."""
    if turn.involutive:
        return [(min(pair), max(pair)) for pair in digits.items()]
    return list(digits.items())
