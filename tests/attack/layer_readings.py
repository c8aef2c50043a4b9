"""The meaning of layers and the rules over them, written again: nothing is gridassay's.

A *world* is one way to fill a small board: digits, a shading, lines and regions. ``holds`` tells whether
a rule's table is true of it.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import combinations, pairwise
from typing import Any

from .boards import Board, Cell
from .readings import READINGS, Scene, Table

Pair = frozenset[Cell]


@dataclass(frozen=True)
class World:
    """Digits and shades by cell, pairs of cells that a line joins, sides by their corners, regions.

    ``known`` are the digits of the board, ``counts`` says what cells of a shade count as, ``drawn`` are
    all rules of the puzzle: some are about the cells that no other rule of their kind lists.
    """

    rows: int
    columns: int
    digits: Mapping[Cell, int] = field(default_factory=dict)
    shades: Mapping[Cell, str] = field(default_factory=dict)
    line: frozenset[Pair] = frozenset()
    sides: frozenset[Pair] = frozenset()
    region: Mapping[Cell, int] = field(default_factory=dict)
    known: tuple[int, ...] = ()
    counts: Mapping[str, Callable[[int], int]] = field(default_factory=dict)
    drawn: tuple[Table, ...] = ()

    @property
    def values(self) -> dict[Cell, int]:
        """The number that each cell counts as: its digit, or what its shade makes of it."""
        return {
            cell: self.counts[self.shades[cell]](digit)
            if self.shades.get(cell) in self.counts
            else digit
            for cell, digit in self.digits.items()
        }

    @property
    def cells(self) -> list[Cell]:
        """All cells in reading order."""
        return [(r, c) for r in range(1, self.rows + 1) for c in range(1, self.columns + 1)]

    def near(self, cell: Cell) -> list[Cell]:
        """The cells that share a side with one."""
        r, c = cell
        beside = ((r - 1, c), (r, c - 1), (r, c + 1), (r + 1, c))
        return [(a, b) for a, b in beside if 1 <= a <= self.rows and 1 <= b <= self.columns]

    def arms(self, cell: Cell) -> set[tuple[int, int]]:
        """The ways in which a line leaves a cell."""
        return {
            (other[0] - cell[0], other[1] - cell[1])
            for pair in self.line
            if cell in pair
            for other in pair - {cell}
        }


def cells_in(text: str) -> list[Cell]:
    """Cells written as references."""
    return [(int(r), int(c)) for r, c in re.findall(r"r(\d+)c(\d+)", text)]


def pieces(cells: Collection[Cell], joined: Callable[[Cell, Cell], bool]) -> list[set[Cell]]:
    """The groups of connected cells."""
    left, found = set(cells), []
    while left:
        group = {left.pop()}
        while more := {one for one in left if any(joined(one, other) for other in group)}:
            group |= more
            left -= more
        found.append(group)
    return found


def beside(one: Cell, other: Cell) -> bool:
    """Whether two cells share a side."""
    return abs(one[0] - other[0]) + abs(one[1] - other[1]) == 1


def _groups(table: Table, world: World) -> list[set[Cell]]:
    return pieces([c for c, v in world.shades.items() if v == table["value"]], beside)


def meant(count: Any, number: int, world: World) -> bool:
    """Whether a number is the count that is meant."""
    if isinstance(count, list):
        return count[0] <= number <= count[1]
    if isinstance(count, str):
        (cell,) = cells_in(count)
        return world.digits[cell] == number
    return bool(number == count)


def _connected(t: Table, w: World) -> bool:
    return len(_groups(t, w)) <= 1 and (t.get("empty", False) or bool(_groups(t, w)))


def _edge(t: Table, w: World) -> bool:
    return all(
        any(r in (1, w.rows) or c in (1, w.columns) for r, c in group) for group in _groups(t, w)
    )


def _no_square(t: Table, w: World) -> bool:
    barred = t.get("values") or ["deep", "shallow"]
    for r, c in w.cells:
        square = [(r, c), (r, c + 1), (r + 1, c), (r + 1, c + 1)]
        met = {w.shades.get(one, "") for one in square}
        if len(met) == 1 and met <= set(barred):
            return False
    return True


def _sizes(t: Table, w: World) -> bool:
    groups = _groups(t, w)
    if "sizes" in t and Counter(t["sizes"]) != Counter(map(len, groups)):
        return False
    return "count" not in t or meant(t["count"], len(groups), w)


def _group_size(t: Table, w: World) -> bool:
    cells, groups = cells_in(t["cells"]), _groups(t, w)
    sizes = t["sizes"] if isinstance(t["sizes"], list) else [w.digits[c] for c in cells]
    own = [next((n for n, group in enumerate(groups) if cell in group), -1) for cell in cells]
    if -1 in own or len(set(own)) < len(own):
        return False
    if any(s not in ("any", len(groups[n])) for s, n in zip(sizes, own, strict=True)):
        return False
    return not t.get("all", True) or len(groups) == len(own)


def _apart(t: Table, w: World) -> bool:
    mine = [c for c, v in w.shades.items() if v == t["value"]]
    for (r, c), (a, b) in combinations(mine, 2):
        far = sorted((abs(r - a), abs(c - b)))
        kind = {(0, 1): "side", (1, 1): "diagonal"}.get((far[0], far[1]))
        if kind and t["touching"] in (kind, "any"):
            return False
    return True


def _count_in(t: Table, w: World) -> bool:
    return meant(t["count"], sum(w.shades[c] == t["value"] for c in cells_in(t["cells"])), w)


def _seen_of(t: Table, w: World) -> bool:
    (start,) = cells_in(t["cell"])
    if w.shades[start] != t["value"]:
        return False
    seen = 1
    for down, across in ((0, 1), (0, -1), (1, 0), (-1, 0)):
        r, c = start
        while w.shades.get((r + down, c + across)) == t["value"]:
            r, c, seen = r + down, c + across, seen + 1
    return meant(t["count"], seen, w)


def _digits_of(t: Table, w: World) -> bool:
    for cell, shade in w.shades.items():
        held, mine = w.digits[cell] in t["digits"], shade == t["value"]
        if (mine and not held) or (t.get("only") and held and not mine):
            return False
    return True


def _same_along(t: Table, w: World) -> bool:
    return (len({w.shades[c] for c in cells_in(t["cells"])}) == 1) is t.get("same", True)


def _on_it(t: Table, w: World) -> bool:
    return all(bool(w.arms(cell)) is t.get("on", True) for cell in cells_in(t["cells"]))


def _turns(t: Table, w: World) -> bool:
    for cell in cells_in(t["cells"]):
        arms = sorted(w.arms(cell))
        if len(arms) != 2:
            return False
        straight = arms[0][0] == -arms[1][0] and arms[0][1] == -arms[1][1]
        if straight is (t["kind"] == "turns"):
            return False
    return True


def _counts_on_it(t: Table, w: World) -> bool:
    return meant(t["count"], sum(bool(w.arms(cell)) for cell in cells_in(t["cells"])), w)


def _sides_on_it(t: Table, w: World) -> bool:
    (cell,) = cells_in(t["cell"])
    return meant(t["count"], len(sides_of(cell) & w.sides), w)


def sides_of(cell: Cell) -> set[Pair]:
    """The four sides of a cell, each by its two corners."""
    r, c = cell
    corners = [(r, c), (r, c + 1), (r + 1, c + 1), (r + 1, c)]
    return {frozenset(pair) for pair in pairwise([*corners, corners[0]])}


def _walk(w: World, start: Cell) -> list[Cell]:
    """The cells of the line from one of them on."""
    found, before = [start], None
    while True:
        r, c = found[-1]
        onward = [(r + a, c + b) for a, b in w.arms(found[-1])]
        fresh = [one for one in onward if one != before and one not in found]
        if not fresh:
            return found
        before = found[-1]
        found.append(fresh[0])


FORMULAS: dict[str, Callable[[int, int], bool]] = {
    "abs(a-b) == 1": lambda a, b: abs(a - b) == 1,
    "a + b >= 3": lambda a, b: a + b >= 3,
    "a != b": lambda a, b: a != b,
    "a < b": lambda a, b: a < b,
    "a <= b": lambda a, b: a <= b,
}
"""Formulas along a line; the last two have a direction."""


def _along(t: Table, w: World) -> bool:
    test = FORMULAS[t["formula"]]
    if "<" not in t["formula"]:
        return all(test(*(w.values[c] for c in pair)) for pair in w.line)
    (start,) = cells_in(t["from"])
    cells = _walk(w, start)
    return all(test(w.values[a], w.values[b]) for a, b in pairwise(cells))


def stretches(w: World) -> list[list[Cell]]:
    """The straight stretches of a line, turns in both."""
    found = []
    for along in (0, 1):
        pairs = [pair for pair in w.line if len({cell[along] for cell in pair}) == 1]
        cells = {cell for pair in pairs for cell in pair}
        found += pieces(cells, lambda a, b, pairs=pairs: frozenset((a, b)) in pairs)  # type: ignore[misc]
    return [sorted(one) for one in found]


def _stretch_total(t: Table, w: World) -> bool:
    runs = stretches(w)
    if t["total"] == "equal" and len(runs) == 1:
        return True  # held against no other, and so not read
    totals = {sum(w.values[c] for c in run) for run in runs}
    return len(totals) <= 1 if t["total"] == "equal" else totals <= {t["total"]}


def inside(w: World) -> set[Cell]:
    """The cells inside a loop of cells or a border loop: from the others one can walk off the board.

    On a board three times as fine, on which a line takes up cells of its own.
    """
    wall: set[Cell] = set()
    for pair in w.line:
        (r, c), (a, b) = pair
        wall |= {(2 * r, 2 * c), (r + a, c + b), (2 * a, 2 * b)}
    for pair in w.sides:
        (r, c), (a, b) = pair
        wall |= {(2 * r - 1, 2 * c - 1), (r + a - 1, c + b - 1), (2 * a - 1, 2 * b - 1)}
    out = {(0, 0)}
    waiting = [(0, 0)]
    while waiting:
        r, c = waiting.pop()
        for one in ((r + 1, c), (r - 1, c), (r, c + 1), (r, c - 1)):
            within = 0 <= one[0] <= 2 * w.rows + 2 and 0 <= one[1] <= 2 * w.columns + 2
            if within and one not in wall and one not in out:
                out.add(one)
                waiting.append(one)
    return {(r, c) for r, c in w.cells if (2 * r, 2 * c) not in out | wall}


def _inside(t: Table, w: World) -> bool:
    within = inside(w)
    on = {cell for pair in w.line for cell in pair}
    return all(
        c not in on and (c in within) is (t.get("side", "in") == "in") for c in cells_in(t["cells"])
    )


def _matches(t: Table, w: World) -> bool:
    mine = {c for c, v in w.shades.items() if v == t["value"]}
    return mine == (inside(w) if t.get("inside") else {c for pair in w.line for c in pair})


def parts_of(w: World) -> list[list[Cell]]:
    """The regions."""
    found: dict[int, list[Cell]] = {}
    for cell in w.cells:
        found.setdefault(w.region[cell], []).append(cell)
    return list(found.values())


def _one_region(t: Table, w: World) -> bool:
    met = [w.region[c] for c in cells_in(t["cells"])]
    return len(set(met)) == (1 if t.get("together", True) else len(met))


def _region_digit(t: Table, w: World) -> bool:
    size = Counter(w.region.values())
    own = {cell: size[w.region[cell]] for cell in w.cells}
    return all(w.digits[c] == own[c] for c in w.cells) and not any(
        own[a] == own[b] and w.region[a] != w.region[b] for a in w.cells for b in w.near(a)
    )


def _region_total(t: Table, w: World) -> bool:
    meant = {w.region[cell] for cell in (cells_in(t["cell"]) if "cell" in t else w.cells)}
    return all(
        sum(w.values[c] for c in w.cells if w.region[c] == one) == t["total"] for one in meant
    )


def _looks(shape: frozenset[Cell], turn: bool, flip: bool) -> set[frozenset[Cell]]:
    found: set[frozenset[Cell]] = set()
    for mirrored in (shape, *([frozenset((r, -c) for r, c in shape)] if flip else [])):
        now = mirrored
        for _ in range(4 if turn else 1):
            top, left = min(r for r, _ in now), min(c for _, c in now)
            found.add(frozenset((r - top, c - left) for r, c in now))
            now = frozenset((c, -r) for r, c in now)
    return found


def _shapes(t: Table, w: World) -> bool:
    drawn = [
        frozenset(
            (r, c)
            for r, row in enumerate(text.split("/"))
            for c, sign in enumerate(row)
            if sign == "#"
        )
        for text in t["shapes"]
    ]
    looks = [_looks(one, t.get("turn", True), t.get("flip", True)) for one in drawn]
    met: Counter[int] = Counter()
    for part in parts_of(w):
        (look,) = _looks(frozenset(part), False, False)
        kinds = [n for n, own in enumerate(looks) if look in own]
        if not kinds:
            return False
        met[kinds[0]] += 1
    wanted = Counter(next(n for n, own in enumerate(looks) if own == mine) for mine in looks)
    return t["times"] == "any" or met == wanted


def _region_sum(t: Table, w: World) -> bool:
    runs: list[list[Cell]] = []
    for cell in cells_in(t["cells"]):
        if runs and w.region[runs[-1][-1]] == w.region[cell]:
            runs[-1].append(cell)
        else:
            runs.append([cell])
    return len(runs) == 1 or len({sum(w.values[c] for c in run) for run in runs}) == 1


def _exactly(t: Table, w: World) -> bool:
    return sum(holds(one, w) for one in t["of"]) == t["count"]


READ: dict[str, Callable[[Table, World], bool]] = {
    "connected": _connected,
    "to-the-edge": _edge,
    "no-square": _no_square,
    "groups": _sizes,
    "group-size": _group_size,
    "apart": _apart,
    "count-in": _count_in,
    "seen-of": _seen_of,
    "digits-of": _digits_of,
    "same-along": _same_along,
    "on-it": _on_it,
    "turns": _turns,
    "straight": _turns,
    "counts-on-it": _counts_on_it,
    "sides-on-it": _sides_on_it,
    "along": _along,
    "stretch-total": _stretch_total,
    "inside": _inside,
    "matches": _matches,
    "one-region": _one_region,
    "region-digit": _region_digit,
    "region-total": _region_total,
    "shapes": _shapes,
    "region-sum": _region_sum,
    "exactly": _exactly,
    "counts-as": lambda t, w: True,
}
"""How each kind is read."""


def holds(table: Table, world: World) -> bool:
    """Whether a rule is true of a world; not if it reads a cell without a value."""
    try:
        return READ.get(table["kind"], true_of)(table, world)
    except ArithmeticError:
        return False


def true_of(table: Table, world: World) -> bool:
    """Whether a rule over digits and values is true of a world."""
    board, counted = board_of(world), world.values
    read = READINGS[table["kind"]](table, Scene(board, world.drawn or [table]))
    try:
        return read([world.digits[c] for c in world.cells], [counted[c] for c in world.cells], {})
    except ArithmeticError:
        return False


def board_of(world: World) -> Board:
    """The cells and digits of a world, as rules without layers know them."""
    digits = tuple(sorted(set(world.known or world.digits.values())))
    return Board("", "", world.rows, world.columns, digits, tuple(world.cells), (), (), ())


def written(values: Sequence[Any]) -> Iterator[str]:
    """Values as TOML writes them."""
    for value in values:
        if isinstance(value, bool):
            yield str(value).lower()
        elif isinstance(value, str):
            yield f'"{value}"'
        elif isinstance(value, list):
            yield f"[{', '.join(written(value))}]"
        else:
            yield str(value)
