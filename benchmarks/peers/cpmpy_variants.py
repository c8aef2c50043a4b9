"""The variants of the corpus written in CPMpy, as a user of it would by hand, solved by OR-Tools.

One function per kind of rule, giving expressions: CPMpy's operators, globals and reification do the
rest. A model is built for each puzzle; the second solve goes on with the same solver object, which
then forbids the cells of the first solution.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from itertools import combinations, pairwise, product
from typing import Any

import cpmpy as cp

from benchmarks.peers.reading import (
    MOVES,
    crossings,
    cuts,
    marked_pairs,
    neighbourhoods,
    pattern,
    pieces,
    spans,
    subtractions,
)
from gridassay.encodings.grid import Cell
from gridassay.encodings.puzzle import Puzzle

X = dict[Cell, Any]
Stated = Iterator[Any]


def count(puzzle: Puzzle) -> int:
    """0, 1 or 2 solutions of a puzzle."""
    digits = puzzle.canvas.digits
    cells = cp.intvar(digits[0], digits[-1], shape=len(puzzle.canvas.cells))
    x: X = dict(zip(puzzle.canvas.cells, cells, strict=True))
    model = cp.Model(
        [cp.AllDifferent([x[c] for c in house]) for _, house, _ in puzzle.canvas.houses]
    )
    model += [x[given.variable] == given.value for given in puzzle.givens]  # type: ignore[index]
    for rule in puzzle.rules:
        model += list(_STATE[rule.kind](puzzle, x, rule))
    solver = cp.SolverLookup.get("ortools", model)
    found = 0
    while found < 2 and solver.solve(num_search_workers=1):
        found += 1
        solver += cp.any(cells != cells.value())
    return found


def _each_grid(puzzle: Puzzle, x: X, rule: Any) -> Stated:
    size = puzzle.canvas.rows
    span = range(1, size + 1)
    if rule.kind == "diagonals":
        if rule.which != "rising":
            yield cp.AllDifferent([x[Cell(k, k)] for k in span])
        if rule.which != "falling":
            yield cp.AllDifferent([x[Cell(k, size + 1 - k)] for k in span])
    elif rule.kind == "windows":
        for top, left in product((2, 6), repeat=2):
            yield cp.AllDifferent([x[Cell(top + d, left + r)] for d in range(3) for r in range(3)])
    elif rule.kind == "box-places":
        for place in zip(*[box.cells for box in puzzle.canvas.grids[0].areas], strict=True):
            yield cp.AllDifferent([x[cell] for cell in place])
    else:
        for cell, (down, right) in product(puzzle.canvas.cells, MOVES[rule.kind]):
            if cell.step(down, right) in x:
                yield x[cell] != x[cell.step(down, right)]


def _anti_queen(puzzle: Puzzle, x: X, rule: Any) -> Stated:
    for cells in crossings(puzzle.canvas):
        for digit in rule.digits:
            yield cp.sum([x[cell] == digit for cell in cells]) <= 1


def _nonconsecutive(puzzle: Puzzle, x: X, rule: Any) -> Stated:
    for a, b in neighbourhoods(puzzle.canvas, "orthogonal neighbours"):
        yield abs(x[a] - x[b]) != 1


def _entropic_squares(puzzle: Puzzle, x: X, rule: Any) -> Stated:
    third = len(puzzle.canvas.digits) // 3
    for square in neighbourhoods(puzzle.canvas, "2x2 squares"):
        yield cp.any([x[cell] <= third for cell in square])
        yield cp.any([(x[cell] > third) & (x[cell] <= 2 * third) for cell in square])
        yield cp.any([x[cell] > 2 * third for cell in square])


def _copy(puzzle: Puzzle, x: X, rule: Any) -> Stated:
    for a, b in zip(rule.cells, rule.of, strict=True):
        yield x[a] == x[b]


def _mark(puzzle: Puzzle, x: X, rule: Any) -> Stated:
    a, b = (x[cell] for cell in rule.cells)
    if rule.kind == "pair-sum":
        yield a + b == rule.sum
    elif rule.kind == "consecutive-pair":
        yield abs(a - b) == 1
    elif rule.kind == "pair-difference":
        yield abs(a - b) == rule.value
    elif rule.kind == "greater":
        yield a > b
    else:
        times = 2 if rule.kind == "double-pair" else rule.value
        yield (a == times * b) | (b == times * a)


def _complete(puzzle: Puzzle, x: X, rule: Any) -> Stated:
    marked = marked_pairs(puzzle, rule.kinds)
    for pair in neighbourhoods(puzzle.canvas, "orthogonal neighbours"):
        if frozenset(pair) in marked:
            continue
        a, b = (x[cell] for cell in pair)
        if "consecutive-pair" in rule.kinds:
            yield abs(a - b) != 1
        if "double-pair" in rule.kinds:
            yield a != 2 * b
            yield b != 2 * a
        for total in rule.sums or ():
            yield a + b != total


def _contains(puzzle: Puzzle, x: X, rule: Any) -> Stated:
    for digit in set(rule.digits):
        yield cp.sum([x[cell] == digit for cell in rule.cells]) >= rule.digits.count(digit)


def _all_different(puzzle: Puzzle, x: X, rule: Any) -> Stated:
    yield cp.AllDifferent([x[cell] for cell in rule.cells])


def _cage(puzzle: Puzzle, x: X, rule: Any) -> Stated:
    yield cp.AllDifferent([x[cell] for cell in rule.cells])
    yield cp.sum([x[cell] for cell in rule.cells]) == rule.sum


def _groups(puzzle: Puzzle, x: X, rule: Any) -> Stated:
    first, second = (cp.sum([x[cell] for cell in group]) for group in rule.groups)
    yield first == second if rule.kind == "equal-sums" else first > second


def _calculation(puzzle: Puzzle, x: X, rule: Any) -> Stated:
    numbers = [x[cell] for cell in rule.cells]
    if rule.operation == "+":
        yield cp.sum(numbers) == rule.target
    elif rule.operation == "*":
        product_of = numbers[0]
        for number in numbers[1:]:
            product_of = product_of * number
        yield product_of == rule.target
    else:
        digits = puzzle.canvas.digits
        yield cp.Table(numbers, subtractions(rule.operation, rule.target, digits, len(numbers)))


def _rising(puzzle: Puzzle, x: X, rule: Any) -> Stated:
    for a, b in pairwise(rule.cells):
        yield x[a] < x[b] if rule.kind == "thermometer" else x[a] <= x[b]


def _arrow(puzzle: Puzzle, x: X, rule: Any) -> Stated:
    if rule.kind == "double-arrow":
        first, *inside, last = (x[cell] for cell in rule.cells)
        yield first + last == cp.sum(inside)
        return
    bulb = [10**k * x[cell] for k, cell in enumerate(sorted(rule.bulb, reverse=True))]
    yield cp.sum(bulb) == cp.sum([x[cell] for cell in rule.shaft])


def _palindrome(puzzle: Puzzle, x: X, rule: Any) -> Stated:
    half = len(rule.cells) // 2
    for a, b in zip(rule.cells[:half], reversed(rule.cells), strict=False):
        yield x[a] == x[b]


def _renban(puzzle: Puzzle, x: X, rule: Any) -> Stated:
    numbers = [x[cell] for cell in rule.cells]
    yield cp.AllDifferent(numbers)
    yield cp.max(numbers) - cp.min(numbers) == len(numbers) - 1


def _classes(puzzle: Puzzle, x: X, rule: Any) -> Stated:
    count = {"modular": getattr(rule, "modulus", 3), "entropic": 3, "parity-line": 2}[rule.kind]
    third = len(puzzle.canvas.digits) // 3
    kinds = [
        (x[cell] - 1) // third if rule.kind == "entropic" else x[cell] % count
        for cell in rule.cells
    ]
    for window in spans(kinds, count):
        yield cp.AllDifferent(window)


def _apart(puzzle: Puzzle, x: X, rule: Any) -> Stated:
    pairs = pairwise(rule.cells) if rule.kind == "whisper" else combinations(rule.cells, 2)
    for a, b in pairs:
        yield abs(x[a] - x[b]) >= rule.difference


def _ends(puzzle: Puzzle, x: X, rule: Any) -> Stated:
    first, *inside, last = (x[cell] for cell in rule.cells)
    low, high = cp.min([first, last]), cp.max([first, last])
    if rule.kind == "outside-ends":
        yield abs(first - last) >= rule.difference
    for number in inside:
        if rule.kind == "between-ends":
            yield (low < number) & (number < high)
        else:
            yield (number < low) | (number > high)


def _steps(puzzle: Puzzle, x: X, rule: Any) -> Stated:
    far = puzzle.canvas.digits[-1] - puzzle.canvas.digits[0]
    step = cp.intvar(1, far) if rule.kind == "equal-difference" else cp.intvar(-far, far)
    yield step != 0
    for a, b in pairwise(rule.cells):
        yield abs(x[a] - x[b]) == step if rule.kind == "equal-difference" else x[b] - x[a] == step


def _region_sum(puzzle: Puzzle, x: X, rule: Any) -> Stated:
    first, *others = (
        cp.sum([x[cell] for cell in piece]) for piece in pieces(puzzle.canvas, rule.cells)
    )
    for other in others:
        yield first == other


def _zipper(puzzle: Puzzle, x: X, rule: Any) -> Stated:
    half = len(rule.cells) // 2
    pairs = zip(rule.cells[:half], reversed(rule.cells), strict=False)
    sums = [x[a] + x[b] for a, b in pairs]
    sums += [x[cell] for cell in rule.cells[half : half + 1] if len(rule.cells) % 2]
    for other in sums[1:]:
        yield sums[0] == other


def _sum_run(puzzle: Puzzle, x: X, rule: Any) -> Stated:
    moves = cuts(rule.total, puzzle.canvas.digits)
    yield cp.Regular([x[cell] for cell in rule.cells], moves, 0, [0])


def _little_killer(puzzle: Puzzle, x: X, rule: Any) -> Stated:
    yield cp.sum([x[cell] for cell in rule.diagonal(puzzle.board)]) == rule.sum


def _sandwich(puzzle: Puzzle, x: X, rule: Any) -> Stated:
    cells, digits = rule.reading(puzzle.board), puzzle.canvas.digits
    for i, j in combinations(range(len(cells)), 2):
        total = cp.sum([x[cell] for cell in cells[i + 1 : j]]) == rule.sum
        for low, high in ((cells[i], cells[j]), (cells[j], cells[i])):
            yield ((x[low] == digits[0]) & (x[high] == digits[-1])).implies(total)


def _x_sum(puzzle: Puzzle, x: X, rule: Any) -> Stated:
    cells = rule.reading(puzzle.board)
    for digit in puzzle.canvas.digits:
        total = cp.sum([x[cell] for cell in cells[:digit]]) == rule.sum
        yield (x[cells[0]] == digit).implies(total)


def _seen_count(puzzle: Puzzle, x: X, rule: Any) -> Stated:
    numbers = [x[cell] for cell in rule.reading(puzzle.board)]
    higher = [number > cp.max(numbers[:k]) for k, number in enumerate(numbers) if k]
    yield cp.sum(higher) == rule.seen - 1


def _numbered_room(puzzle: Puzzle, x: X, rule: Any) -> Stated:
    numbers = [x[cell] for cell in rule.reading(puzzle.board)]
    yield cp.Element(numbers, numbers[0] - 1) == rule.digit


def _head_sum(puzzle: Puzzle, x: X, rule: Any) -> Stated:
    yield cp.sum([x[cell] for cell in rule.head(puzzle.board)]) == rule.sum


def _head_digits(puzzle: Puzzle, x: X, rule: Any) -> Stated:
    for digit in rule.digits:
        yield cp.any([x[cell] == digit for cell in rule.head(puzzle.board)])


def _battlefield(puzzle: Puzzle, x: X, rule: Any) -> Stated:
    cells = rule.reading(puzzle.board)
    for first, last in product(puzzle.canvas.digits, repeat=2):
        low, high = sorted((first, len(cells) - last))
        total = cp.sum([x[cell] for cell in cells[low:high]]) == rule.sum
        yield ((x[cells[0]] == first) & (x[cells[-1]] == last)).implies(total)


def _among(puzzle: Puzzle, x: X, rule: Any) -> Stated:
    digits = rule.digits if rule.kind == "among" else rule.allowed(puzzle.canvas.digits)
    for cell in rule.cells:
        yield cp.InDomain(x[cell], list(digits))


def _beside(puzzle: Puzzle, x: X, rule: Any) -> Stated:
    for cell in rule.cells:
        for other in puzzle.canvas.neighbours(cell):
            if other not in rule.cells:
                below = rule.kind == "below-neighbours"
                yield x[cell] < x[other] if below else x[cell] > x[other]


def _circles(puzzle: Puzzle, x: X, rule: Any) -> Stated:
    for digit in puzzle.canvas.digits:
        held = cp.sum([x[cell] == digit for cell in rule.cells])
        yield (held == 0) | (held == digit)


def _indexing(puzzle: Puzzle, x: X, rule: Any) -> Stated:
    number = int(rule.line[1:])
    for cell, digit in product(rule.reading(puzzle.board), puzzle.canvas.digits):
        target = Cell(cell.row, digit) if rule.line[0] == "c" else Cell(digit, cell.column)
        yield (x[cell] == digit).implies(x[target] == number)


def _relation(puzzle: Puzzle, x: X, rule: Any) -> Stated:
    for cells in rule.neighbourhoods(puzzle.board):
        yield _FORMULAS[rule.formula](*[x[cell] for cell in cells])


_FORMULAS: dict[str, Callable[..., Any]] = {
    "a + b == c": lambda a, b, c: a + b == c,
    "a + c == 2*b": lambda a, b, c: a + c == 2 * b,
    "abs(a - b) >= 4": lambda a, b: abs(a - b) >= 4,
    "a * b == c": lambda a, b, c: a * b == c,
    "a < b or c < b": lambda a, b, c: (a < b) | (c < b),
    "max(a, b, c) == d": lambda a, b, c, d: cp.max([a, b, c]) == d,
    "a + b == c + d": lambda a, b, c, d: a + b == c + d,
    "a + b != 10": lambda a, b: a + b != 10,
    "a != 2*b and b != 2*a": lambda a, b: (a != 2 * b) & (b != 2 * a),
    "abs(a - b) <= 7": lambda a, b: abs(a - b) <= 7,
    "a + b + c + d <= 28": lambda a, b, c, d: a + b + c + d <= 28,
}


def _sequence(puzzle: Puzzle, x: X, rule: Any) -> Stated:
    start, final, moves = pattern(rule.pattern, puzzle.canvas.digits)
    yield cp.Regular([x[cell] for cell in rule.cells], moves, start, final)


def _some(puzzle: Puzzle, x: X, rule: Any) -> Stated:
    true = cp.sum([cp.all(list(_STATE[clue.kind](puzzle, x, clue))) for clue in rule.of])
    yield true == rule.count if rule.kind == "exactly" else true >= rule.count


_STATE: dict[str, Callable[[Puzzle, X, Any], Stated]] = {
    **dict.fromkeys(("diagonals", "windows", "box-places", *MOVES), _each_grid),
    **dict.fromkeys(("even", "odd", "low", "high", "among"), _among),
    **dict.fromkeys(("modular", "entropic", "parity-line"), _classes),
    "anti-queen": _anti_queen,
    "nonconsecutive": _nonconsecutive,
    "entropic-squares": _entropic_squares,
    "all-different": _all_different,
    "copy": _copy,
    "pair-sum": _mark,
    "pair-difference": _mark,
    "pair-ratio": _mark,
    "consecutive-pair": _mark,
    "double-pair": _mark,
    "greater": _mark,
    "marks-complete": _complete,
    "contains": _contains,
    "cage": _cage,
    "equal-sums": _groups,
    "greater-sum": _groups,
    "calculation-cage": _calculation,
    "thermometer": _rising,
    "slow-thermometer": _rising,
    "arrow": _arrow,
    "double-arrow": _arrow,
    "palindrome": _palindrome,
    "renban": _renban,
    "whisper": _apart,
    "spread": _apart,
    "between-ends": _ends,
    "outside-ends": _ends,
    "equal-difference": _steps,
    "progression": _steps,
    "region-sum": _region_sum,
    "zipper": _zipper,
    "sum-run": _sum_run,
    "little-killer": _little_killer,
    "sandwich": _sandwich,
    "x-sum": _x_sum,
    "seen-count": _seen_count,
    "numbered-room": _numbered_room,
    "head-sum": _head_sum,
    "head-digits": _head_digits,
    "battlefield": _battlefield,
    "below-neighbours": _beside,
    "above-neighbours": _beside,
    "counting-circles": _circles,
    "indexing": _indexing,
    "relation": _relation,
    "sequence": _sequence,
    "exactly": _some,
    "at-least": _some,
}
