"""The meaning of each kind of rule, written again from its description: nothing here is gridassay's.

A reading takes a rule's table and the scene (the board and all tables) and gives a test of one world:
``holds(d, v, n)`` with the digits and the values of the cells by place, and the numbers of letters.
Values differ from digits where doublers lie. To teach the attack a kind, write its reading here and its
maker in ``makers.py``; a test fails while a kind has none.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import combinations, pairwise
from math import prod
from typing import Any

from .boards import Board, Cell

Table = dict[str, Any]
Numbers = Sequence[int]
Holds = Callable[[Numbers, Numbers, Mapping[str, int]], bool]


def nested(table: Table) -> list[Table]:
    """The rules inside a rule."""
    inner = table.get("of")
    return inner if isinstance(inner, list) else []


@dataclass(frozen=True)
class Scene:
    """A board with the tables of its rules."""

    board: Board
    tables: Sequence[Table]

    @cached_property
    def index(self) -> dict[Cell, int]:
        """The place of each cell."""
        return {cell: place for place, cell in enumerate(self.board.cells)}

    def at(self, text: str) -> list[int]:
        """The places of cells written as references."""
        found = re.findall(r"r(\d+)c(\d+)", text)
        return [self.index[int(row), int(column)] for row, column in found]

    def extent(self, table: Table) -> tuple[int, int, int, int]:
        """Top, left, rows and columns of the grid that a rule is about, or of the canvas."""
        grids = self.board.grids
        if not grids or (len(grids) > 1 and "grid" not in table):
            return 1, 1, self.board.rows, self.board.columns
        top, left, size, _ = grids[ord(table.get("grid", "A")) - 65]
        return top, left, size, size

    def inside(self, table: Table) -> dict[Cell, int]:
        """The places of the cells it is about, by row and column counted from 0."""
        top, left, rows, columns = self.extent(table)
        within = {(r, c): (top + r, left + c) for r in range(rows) for c in range(columns)}
        return {near: self.index[cell] for near, cell in within.items() if cell in self.index}

    def line(self, table: Table) -> list[int]:
        """The places along a row or column, from the side it is read from."""
        inside, number = self.inside(table), int(table["line"][1:]) - 1
        places = [
            p for (r, c), p in inside.items() if (r if table["line"][0] == "r" else c) == number
        ]
        return places[::-1] if table.get("side") in ("right", "bottom") else places

    def beside(self, table: Table) -> list[tuple[int, int]]:
        """Places of orthogonal neighbours, left or upper one first."""
        inside = self.inside(table)
        steps = ((0, 1), (1, 0))
        return [
            (place, inside[r + down, c + across])
            for (r, c), place in inside.items()
            for down, across in steps
            if (r + down, c + across) in inside
        ]

    def every(self, kind: str) -> list[Table]:
        """All tables of a kind, nested ones too."""
        waiting, found = list(self.tables), []
        while waiting:
            table = waiting.pop()
            waiting += nested(table)
            if table["kind"] == kind:
                found.append(table)
        return found


READINGS: dict[str, Callable[[Table, Scene], Holds]] = {}


def reads(
    *kinds: str,
) -> Callable[[Callable[[Table, Scene], Holds]], Callable[[Table, Scene], Holds]]:
    """Register a reading under its kinds."""

    def register(reading: Callable[[Table, Scene], Holds]) -> Callable[[Table, Scene], Holds]:
        READINGS.update(dict.fromkeys(kinds, reading))
        return reading

    return register


def number(clue: int | str, n: Mapping[str, int]) -> int:
    """A number, or what a letter stands for."""
    return n[clue] if isinstance(clue, str) else clue


def around(table: Table, numbers: Sequence[int]) -> list[int]:
    """The numbers along a line, the first again at the end of a closed one."""
    return [*numbers, numbers[0]] if table.get("closed") else list(numbers)


def _along(
    table: Table, scene: Scene, test: Callable[[list[int]], bool], *, digits: bool = False
) -> Holds:
    places = scene.at(table["cells"])
    if digits:
        return lambda d, v, n: test([d[p] for p in places])
    return lambda d, v, n: test([v[p] for p in places])


def _third(digit: int, digits: Sequence[int]) -> int:
    return 3 * digits.index(digit) // len(digits)


@reads("diagonals")
def _diagonals(table: Table, scene: Scene) -> Holds:
    inside, size = scene.inside(table), scene.extent(table)[2]
    falling = [inside[i, i] for i in range(size)]
    rising = [inside[i, size - 1 - i] for i in range(size)]
    lines = {"both": [falling, rising], "falling": [falling], "rising": [rising]}[
        table.get("which", "both")
    ]
    return lambda d, v, n: all(len({d[p] for p in one}) == size for one in lines)


@reads("windows")
def _windows(table: Table, scene: Scene) -> Holds:
    inside = scene.inside(table)
    window = [inside[r, c] for r in (1, 2) for c in (1, 2)]
    return lambda d, v, n: len({d[p] for p in window}) == 4


@reads("box-places")
def _box_places(table: Table, scene: Scene) -> Holds:
    inside = scene.inside(table)
    sets = [[inside[r + i, c + j] for r in (0, 2) for c in (0, 2)] for i in (0, 1) for j in (0, 1)]
    return lambda d, v, n: all(len({d[p] for p in one}) == 4 for one in sets)


@reads("anti-knight", "anti-king")
def _moves(table: Table, scene: Scene) -> Holds:
    inside = scene.inside(table)
    _, _, rows, columns = scene.extent(table)
    long, short = (2, 1) if table["kind"] == "anti-knight" else (1, 1)
    king = [(1, 0), (0, 1)] if short == long else []
    steps = [(a, b * sign) for a, b in ((long, short), (short, long)) for sign in (1, -1)] + king
    pairs = set()
    for (r, c), place in inside.items():
        for down, across in steps:
            to = (r + down, c + across)
            if table.get("wrap"):
                to = (to[0] % rows, to[1] % columns)
            if to in inside and inside[to] != place:
                pairs.add((place, inside[to]))
    return lambda d, v, n: all(d[a] != d[b] for a, b in pairs)


@reads("anti-queen")
def _queen(table: Table, scene: Scene) -> Holds:
    inside, wanted = scene.inside(table), set(table["digits"])
    pairs = [
        (inside[a], inside[b])
        for a, b in combinations(inside, 2)
        if abs(a[0] - b[0]) == abs(a[1] - b[1])
    ]
    return lambda d, v, n: not any(d[a] == d[b] and d[a] in wanted for a, b in pairs)


@reads("nonconsecutive")
def _nonconsecutive(table: Table, scene: Scene) -> Holds:
    pairs = scene.beside(table)
    return lambda d, v, n: all(abs(v[a] - v[b]) != 1 for a, b in pairs)


@reads("entropic-squares")
def _squares(table: Table, scene: Scene) -> Holds:
    inside, digits = scene.inside(table), scene.board.digits
    squares = [
        [inside[r + i, c + j] for i in (0, 1) for j in (0, 1)]
        for r, c in inside
        if (r + 1, c + 1) in inside
    ]
    return lambda d, v, n: all(len({_third(d[p], digits) for p in one}) == 3 for one in squares)


@reads("all-different")
def _different(table: Table, scene: Scene) -> Holds:
    return _along(table, scene, lambda held: len(set(held)) == len(held), digits=True)


@reads("copy")
def _copy(table: Table, scene: Scene) -> Holds:
    pairs = list(zip(scene.at(table["cells"]), scene.at(table["of"]), strict=True))
    return lambda d, v, n: all(d[a] == d[b] for a, b in pairs)


MARKS: dict[str, Callable[[int, int], bool]] = {
    "consecutive-pair": lambda a, b: abs(a - b) == 1,
    "double-pair": lambda a, b: a == 2 * b or b == 2 * a,
}


@reads("consecutive-pair", "double-pair", "greater", "pair-sum", "pair-difference", "pair-ratio")
def _pairs(table: Table, scene: Scene) -> Holds:
    a, b = scene.at(table["cells"])
    match table["kind"]:
        case "greater":
            return lambda d, v, n: v[a] > v[b]
        case "pair-sum":
            return lambda d, v, n: v[a] + v[b] == number(table["sum"], n)
        case "pair-difference":
            return lambda d, v, n: abs(v[a] - v[b]) == number(table["value"], n)
        case "pair-ratio":
            return lambda d, v, n: _ratio(*sorted((v[a], v[b]), key=abs), number(table["value"], n))
    test = MARKS[table["kind"]]
    return lambda d, v, n: test(v[a], v[b])


def _ratio(small: int, large: int, ratio: int) -> bool:
    return large == small * ratio


@reads("marks-complete")
def _complete(table: Table, scene: Scene) -> Holds:
    marked = {
        frozenset(scene.at(other["cells"]))
        for kind in table["kinds"]
        for other in scene.every(kind)
    }
    bare = [(a, b) for a, b in scene.beside(table) if frozenset((a, b)) not in marked]
    tests = [MARKS[kind] for kind in table["kinds"] if kind in MARKS]
    sums = set(table.get("sums", ())) if "pair-sum" in table["kinds"] else set()
    return lambda d, v, n: (
        not any(v[a] + v[b] in sums or any(test(v[a], v[b]) for test in tests) for a, b in bare)
    )


@reads("contains", "head-digits")
def _contains(table: Table, scene: Scene) -> Holds:
    if table["kind"] == "contains":
        places = scene.at(table["cells"])
    else:
        places = scene.line(table)[: table.get("length", 2)]
    wanted = Counter(table["digits"])
    return lambda d, v, n: not wanted - Counter(d[p] for p in places)


@reads("cage")
def _cage(table: Table, scene: Scene) -> Holds:
    places, low, high = scene.at(table["cells"]), table.get("at-least"), table.get("at-most")

    def holds(d: Numbers, v: Numbers, n: Mapping[str, int]) -> bool:
        if not table.get("repeats") and len({d[p] for p in places}) < len(places):
            return False
        if "sum" not in table and low is None and high is None:
            return True  # only digits are read
        total = sum(v[p] for p in places)
        if "sum" in table and total != number(table["sum"], n):
            return False
        return (low is None or total >= low) and (high is None or total <= high)

    return holds


@reads("calculation-cage")
def _calculation(table: Table, scene: Scene) -> Holds:
    ways: dict[str, Callable[[list[int], int], bool]] = {
        "+": lambda held, target: sum(held) == target,
        "*": lambda held, target: prod(held) == target,
        "-": lambda held, target: 2 * max(held) - sum(held) == target,
        "/": lambda held, target: _quotient(sorted(held), target),
    }
    chosen = [ways[table["operation"]]] if "operation" in table else list(ways.values())
    places = scene.at(table["cells"])

    def holds(d: Numbers, v: Numbers, n: Mapping[str, int]) -> bool:
        held = [v[p] for p in places]
        return any(way(held, number(table["target"], n)) for way in chosen)

    return holds


def _quotient(held: list[int], target: int) -> bool:
    others = prod(held[:-1])
    return others != 0 and held[-1] == target * others


@reads("equal-sums", "greater-sum")
def _groups(table: Table, scene: Scene) -> Holds:
    groups = [scene.at(cells) for cells in table["groups"]]

    def holds(d: Numbers, v: Numbers, n: Mapping[str, int]) -> bool:
        totals = [sum(v[p] for p in group) for group in groups]
        return len(set(totals)) == 1 if table["kind"] == "equal-sums" else totals[0] > totals[1]

    return holds


@reads("thermometer", "slow-thermometer")
def _rising(table: Table, scene: Scene) -> Holds:
    if table["kind"] == "thermometer":
        return _along(table, scene, lambda held: all(a < b for a, b in pairwise(held)))
    return _along(table, scene, lambda held: all(a <= b for a, b in pairwise(held)))


@reads("arrow")
def _arrow(table: Table, scene: Scene) -> Holds:
    (bulb,), shaft = scene.at(table["bulb"]), scene.at(table["shaft"])
    return lambda d, v, n: v[bulb] == sum(v[p] for p in shaft)


@reads("double-arrow")
def _double_arrow(table: Table, scene: Scene) -> Holds:
    return _along(table, scene, lambda held: held[0] + held[-1] == sum(held[1:-1]))


@reads("palindrome")
def _palindrome(table: Table, scene: Scene) -> Holds:
    return _along(table, scene, lambda held: held == held[::-1], digits=True)


@reads("renban")
def _renban(table: Table, scene: Scene) -> Holds:
    return _along(
        table,
        scene,
        lambda held: sorted(held) == [*range(min(held), min(held) + len(held))],
        digits=True,
    )


@reads("whisper")
def _whisper(table: Table, scene: Scene) -> Holds:
    gap = table.get("difference", 5)
    return _along(
        table, scene, lambda held: all(abs(a - b) >= gap for a, b in pairwise(around(table, held)))
    )


@reads("spread")
def _spread(table: Table, scene: Scene) -> Holds:
    gap = table.get("difference", 2)
    return _along(
        table, scene, lambda held: all(abs(a - b) >= gap for a, b in combinations(held, 2))
    )


@reads("between-ends", "outside-ends")
def _ends(table: Table, scene: Scene) -> Holds:
    gap, between = table.get("difference", 4), table["kind"] == "between-ends"

    def test(held: list[int]) -> bool:
        low, high = sorted((held[0], held[-1]))
        if between:
            return all(low < x < high for x in held[1:-1])
        return high - low >= gap and all(x < low or x > high for x in held[1:-1])

    return _along(table, scene, test)


@reads("region-sum")
def _region_sum(table: Table, scene: Scene) -> Holds:
    places = scene.at(table["cells"])
    region = {
        p: k for k, part in enumerate(scene.board.regions) for p in map(scene.index.get, part)
    }
    visits: list[list[int]] = []
    for place in places:
        if visits and region[visits[-1][-1]] == region[place]:
            visits[-1].append(place)
        else:
            visits.append([place])
    return lambda d, v, n: len({sum(v[p] for p in part) for part in visits}) == 1


@reads("zipper")
def _zipper(table: Table, scene: Scene) -> Holds:
    def test(held: list[int]) -> bool:
        half = len(held) // 2
        totals = {held[k] + held[-1 - k] for k in range(half)} | {*held[half : len(held) - half]}
        return len(totals) == 1

    return _along(table, scene, test)


@reads("modular", "entropic", "parity-line")
def _classes(table: Table, scene: Scene) -> Holds:
    kind, digits = table["kind"], scene.board.digits
    count = {"modular": table.get("modulus", 3), "entropic": 3, "parity-line": 2}[kind]

    def test(held: list[int]) -> bool:
        classes = [_third(x, digits) if kind == "entropic" else x % count for x in held]
        width = min(count, len(held))
        starts = range(len(held) if table.get("closed") else len(held) - width + 1)
        windows = ([classes[(s + k) % len(held)] for k in range(width)] for s in starts)
        return all(len(set(window)) == width for window in windows)

    return _along(table, scene, test, digits=True)


@reads("sum-run")
def _sum_run(table: Table, scene: Scene) -> Holds:
    places = scene.at(table["cells"])

    def cut(held: list[int], total: int) -> bool:
        ends = {0}  # places at which a run may end
        for stop in range(1, len(held) + 1):
            if any(start in ends and sum(held[start:stop]) == total for start in range(stop)):
                ends.add(stop)
        return len(held) in ends

    def holds(d: Numbers, v: Numbers, n: Mapping[str, int]) -> bool:
        held = [v[p] for p in places]
        turns = range(len(held)) if table.get("closed") else range(1)
        return any(cut(held[t:] + held[:t], number(table["total"], n)) for t in turns)

    return holds


@reads("equal-difference", "progression")
def _steps(table: Table, scene: Scene) -> Holds:
    straight = table["kind"] == "progression"

    def test(held: list[int]) -> bool:
        steps = {(b - a) if straight else abs(b - a) for a, b in pairwise(around(table, held))}
        return len(steps) == 1 and steps != {0}

    return _along(table, scene, test)


@reads("little-killer")
def _little(table: Table, scene: Scene) -> Holds:
    inside, top = scene.inside(table), scene.extent(table)
    (start,) = scene.at(table["start"])
    down = 1 if "down" in table["direction"] else -1
    across = 1 if "right" in table["direction"] else -1
    r, c = scene.board.cells[start]
    near, places = (r - top[0], c - top[1]), []
    while near in inside:
        places.append(inside[near])
        near = near[0] + down, near[1] + across
    return lambda d, v, n: sum(v[p] for p in places) == number(table["sum"], n)


@reads("sandwich", "x-sum", "seen-count", "numbered-room", "head-sum", "battlefield")
def _outside(table: Table, scene: Scene) -> Holds:
    places, digits = scene.line(table), scene.board.digits

    def sandwich(d: list[int], v: list[int], clue: int) -> bool:
        ends = [k for k, x in enumerate(d) if x in (digits[0], digits[-1])]
        if d.count(digits[0]) != 1 or d.count(digits[-1]) != 1:
            return False
        return sum(v[ends[0] + 1 : ends[1]]) == clue

    def seen(d: list[int], v: list[int], clue: int) -> bool:
        highest, count = float("-inf"), 0
        for height in v:
            if height > highest:
                highest, count = height, count + 1
        return count == clue

    def battlefield(d: list[int], v: list[int], clue: int) -> bool:
        left, right = min(d[0], len(d)), min(d[-1], len(d))
        hit = [0] * len(d)
        for k in range(left):
            hit[k] += 1
        for k in range(right):
            hit[len(d) - 1 - k] += 1
        wanted = 2 if 2 in hit else 0
        return sum(x for x, times in zip(v, hit, strict=True) if times == wanted) == clue

    tests: dict[str, Callable[[list[int], list[int], int], bool]] = {
        "sandwich": sandwich,
        "x-sum": lambda d, v, clue: d[0] <= len(d) and sum(v[: d[0]]) == clue,
        "seen-count": seen,
        "numbered-room": lambda d, v, clue: 1 <= d[0] <= len(d) and d[d[0] - 1] == clue,
        "head-sum": lambda d, v, clue: sum(v[: table.get("length", 2)]) == clue,
        "battlefield": battlefield,
    }
    test = tests[table["kind"]]
    clue = {"seen-count": "seen", "numbered-room": "digit"}.get(table["kind"], "sum")
    return lambda d, v, n: test(
        [d[p] for p in places], [v[p] for p in places], number(table[clue], n)
    )


@reads("even", "odd", "low", "high", "among")
def _marked(table: Table, scene: Scene) -> Holds:
    digits = scene.board.digits
    half = len(digits) // 2
    allowed = {
        "even": [x for x in digits if x % 2 == 0],
        "odd": [x for x in digits if x % 2],
        "low": digits[:half],
        "high": digits[len(digits) - half :],
        "among": table.get("digits", ()),
    }[table["kind"]]
    return _along(table, scene, lambda held: all(x in allowed for x in held), digits=True)


@reads("below-neighbours", "above-neighbours")
def _neighbours(table: Table, scene: Scene) -> Holds:
    listed = {p for other in scene.every(table["kind"]) for p in scene.at(other["cells"])}
    own = set(scene.at(table["cells"]))
    beside = scene.beside({"kind": ""})
    pairs = [(a, b) for one in beside for a, b in (one, one[::-1]) if a in own and b not in listed]
    if table["kind"] == "below-neighbours":
        return lambda d, v, n: all(v[a] < v[b] for a, b in pairs)
    return lambda d, v, n: all(v[a] > v[b] for a, b in pairs)


@reads("counts-neighbours")
def _counts(table: Table, scene: Scene) -> Holds:
    wanted, sides = set(table["digits"]), table.get("around") == "sides"
    near = {
        place: [
            scene.index[r + i, c + j]
            for i in (-1, 0, 1)
            for j in (-1, 0, 1)
            if (i or j) and not (sides and i and j) and (r + i, c + j) in scene.index
        ]
        for place in scene.at(table["cells"])
        for r, c in [scene.board.cells[place]]
    }
    return lambda d, v, n: all(
        d[place] == sum(d[p] in wanted for p in around) for place, around in near.items()
    )


@reads("counting-circles")
def _circles(table: Table, scene: Scene) -> Holds:
    return _along(table, scene, lambda held: all(held.count(x) == x for x in held), digits=True)


@reads("indexing")
def _indexing(table: Table, scene: Scene) -> Holds:
    inside, own = scene.inside(table), int(table["line"][1:])
    size = scene.extent(table)[2]
    column = table["line"][0] == "c"

    def holds(d: Numbers, v: Numbers, n: Mapping[str, int]) -> bool:
        for k in range(size):
            told = d[inside[(k, own - 1) if column else (own - 1, k)]]
            if not 1 <= told <= size:
                return False
            if d[inside[(k, told - 1) if column else (told - 1, k)]] != own:
                return False
        return True

    return holds


FORMULAS: dict[str, Callable[[int, int], bool]] = {
    "a < b or a == 3": lambda a, b: a < b or a == 3,
    "a + b != 5": lambda a, b: a + b != 5,
    "(a * b) % 3 == 1": lambda a, b: a * b % 3 == 1,
    "abs(a - b) >= 2": lambda a, b: abs(a - b) >= 2,
    "a == 2*b - 1 or b > a + 1": lambda a, b: a == 2 * b - 1 or b > a + 1,
    "max(a, b) ** 2 > 2 * (a + b)": lambda a, b: max(a, b) ** 2 > 2 * (a + b),
    "not (a == 1 and b % 2 == 0)": lambda a, b: not (a == 1 and b % 2 == 0),
}
"""Formulas of two cells, and the same in Python."""


@reads("relation")
def _relation(table: Table, scene: Scene) -> Holds:
    test = FORMULAS[table["holds"]]
    if "cells" in table:
        first, second = scene.at(table["cells"])
        pairs = [(first, second)]
    else:
        steps = {
            "row neighbours": [(0, 1)],
            "column neighbours": [(1, 0)],
            "orthogonal neighbours": [(0, 1), (1, 0)],
            "diagonal neighbours": [(1, 1), (1, -1)],
        }[table["each"]]
        inside = scene.inside(table)
        pairs = [
            (place, inside[r + down, c + across])
            for (r, c), place in inside.items()
            for down, across in steps
            if (r + down, c + across) in inside
        ]

    def holds(d: Sequence[int], v: Sequence[int], n: Any) -> bool:
        # Both cells are read, also where a formula could be decided by one of them.
        return all(test(v[a] + 0, v[b] + 0) for a, b in pairs)

    return holds


@reads("sequence")
def _sequence(table: Table, scene: Scene) -> Holds:
    pattern = re.compile(table["pattern"])
    return _along(
        table,
        scene,
        lambda held: pattern.fullmatch("".join(map(scene.board.symbol, held))) is not None,
        digits=True,
    )


@reads("exactly", "at-least")
def _combined(table: Table, scene: Scene) -> Holds:
    tests = [READINGS[inner["kind"]](inner, scene) for inner in table["of"]]
    wanted, exact = table["count"], table["kind"] == "exactly"

    def holds(d: Numbers, v: Numbers, n: Mapping[str, int]) -> bool:
        true = sum(test(d, v, n) for test in tests)
        return true == wanted if exact else true >= wanted

    return holds
