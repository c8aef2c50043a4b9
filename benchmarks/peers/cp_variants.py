"""The variants of the corpus written straight in OR-Tools CP-SAT, as a user of it would by hand.

One function per kind of rule, with the global constraint that is nearest: all-different, linear sums
and domains, products, maxima, automata, tables. Every house is stated whole, nothing is switched. A
model is built for each puzzle; the second solve forbids the cells of the first.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from itertools import combinations, pairwise, product
from math import inf
from time import perf_counter
from typing import Any

from ortools.sat.python import cp_model

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
from gridassay.encodings.rules.base import Rule

Model = cp_model.CpModel
Var = Any


def count(puzzle: Puzzle, limit: float = inf) -> int | None:
    """0, 1 or 2 solutions of a puzzle; None if that takes more seconds than the limit."""
    started = perf_counter()
    peer = Peer(puzzle)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    cells = list(peer.x.values())
    for found in range(2):
        solver.parameters.max_time_in_seconds = max(0.0, limit - (perf_counter() - started))
        status = solver.solve(peer.model)
        if status == cp_model.UNKNOWN:
            return None
        if status == cp_model.INFEASIBLE:
            return found
        peer.model.add_forbidden_assignments(cells, [[solver.value(cell) for cell in cells]])
    return 2


class Peer:
    """A puzzle as a CP-SAT model."""

    def __init__(self, puzzle: Puzzle) -> None:
        self.puzzle, self.canvas = puzzle, puzzle.canvas
        self.low, self.high = self.canvas.digits[0], self.canvas.digits[-1]
        self.model = Model()
        self.x = {cell: self.number() for cell in self.canvas.cells}
        self._is: dict[tuple[Cell, int], Var] = {}
        for house in self.canvas.houses:
            self.model.add_all_different(self.of(house.cells))
        for given in puzzle.givens:
            self.model.add(self.x[given.variable] == given.value)  # type: ignore[index]
        for rule in puzzle.rules:
            _STATE[rule.kind](self, rule)

    def number(self, low: int | None = None, high: int | None = None) -> Var:
        """A variable for a digit, or for a number between two."""
        return self.model.new_int_var(
            self.low if low is None else low, self.high if high is None else high, ""
        )

    def of(self, cells: Sequence[Cell]) -> list[Var]:
        """The variables of cells."""
        return [self.x[cell] for cell in cells]

    def has(self, cell: Cell, digit: int) -> Var:
        """A literal that is true exactly if the cell holds the digit."""
        if (cell, digit) not in self._is:
            literal = self._is[cell, digit] = self.model.new_bool_var("")
            self.model.add(self.x[cell] == digit).only_enforce_if(literal)
            self.model.add(self.x[cell] != digit).only_enforce_if(~literal)
        return self._is[cell, digit]

    def differ(self, a: Var, b: Var, *, least: int) -> None:
        """The two are at least this far apart."""
        far = self.high - self.low
        domain = cp_model.Domain.from_intervals([[-far, -least], [least, far]])
        self.model.add_linear_expression_in_domain(a - b, domain)

    def apart(self, a: Var, b: Var, differences: Sequence[int]) -> None:
        """Their difference is one of these."""
        domain = cp_model.Domain.from_values([s * d for d in differences for s in (-1, 1)])
        self.model.add_linear_expression_in_domain(a - b, domain)


def _each_grid(peer: Peer, rule: Any) -> None:
    canvas, x = peer.canvas, peer.x
    size = canvas.rows
    span = range(1, size + 1)
    if rule.kind == "diagonals":
        if rule.which != "rising":
            peer.model.add_all_different([x[Cell(k, k)] for k in span])
        if rule.which != "falling":
            peer.model.add_all_different([x[Cell(k, size + 1 - k)] for k in span])
    elif rule.kind == "windows":
        for top, left in product((2, 6), repeat=2):
            window = [x[Cell(top + d, left + r)] for d in range(3) for r in range(3)]
            peer.model.add_all_different(window)
    elif rule.kind == "box-places":
        boxes = [box.cells for box in canvas.grids[0].areas]
        for place in zip(*boxes, strict=True):
            peer.model.add_all_different(peer.of(place))
    elif rule.kind in MOVES:
        for cell, (down, right) in product(canvas.cells, MOVES[rule.kind]):
            other = cell.step(down, right)
            if other in x:
                peer.model.add(x[cell] != x[other])


def _anti_queen(peer: Peer, rule: Any) -> None:
    for cells in crossings(peer.canvas):
        for digit in rule.digits:
            peer.model.add_at_most_one(peer.has(cell, digit) for cell in cells)


def _nonconsecutive(peer: Peer, rule: Any) -> None:
    for a, b in neighbourhoods(peer.canvas, "orthogonal neighbours"):
        peer.apart(peer.x[a], peer.x[b], [0, *range(2, peer.high)])


def _entropic_squares(peer: Peer, rule: Any) -> None:
    third = peer.high // 3
    for square in neighbourhoods(peer.canvas, "2x2 squares"):
        for start in range(peer.low, peer.high, third):
            digits = range(start, start + third)
            peer.model.add_bool_or([peer.has(cell, d) for cell in square for d in digits])


def _equal(peer: Peer, rule: Any) -> None:
    for a, b in zip(rule.cells, rule.of, strict=True):
        peer.model.add(peer.x[a] == peer.x[b])


def _mark(peer: Peer, rule: Any) -> None:
    a, b = peer.of(rule.cells)
    if rule.kind == "pair-sum":
        peer.model.add(a + b == rule.sum)
    elif rule.kind == "consecutive-pair":
        peer.apart(a, b, [1])
    elif rule.kind == "pair-difference":
        peer.apart(a, b, [rule.value])
    elif rule.kind == "greater":
        peer.model.add(a > b)
    else:
        times = 2 if rule.kind == "double-pair" else rule.value
        rows = [(n, times * n) for n in range(peer.low, peer.high // times + 1)]
        peer.model.add_allowed_assignments([a, b], [*rows, *[row[::-1] for row in rows]])


def _complete(peer: Peer, rule: Any) -> None:
    digits = peer.canvas.digits
    marked = marked_pairs(peer.puzzle, rule.kinds)
    for pair in neighbourhoods(peer.canvas, "orthogonal neighbours"):
        if frozenset(pair) in marked:
            continue
        a, b = peer.of(pair)
        if "consecutive-pair" in rule.kinds:
            peer.apart(a, b, [0, *range(2, peer.high)])
        if "double-pair" in rule.kinds:
            rows = [(m, n) for m in digits for n in digits if m == 2 * n or n == 2 * m]
            peer.model.add_forbidden_assignments([a, b], rows)
        for total in rule.sums or ():
            peer.model.add(a + b != total)


def _contains(peer: Peer, rule: Any) -> None:
    for digit in set(rule.digits):
        literals = [peer.has(cell, digit) for cell in rule.cells]
        peer.model.add(sum(literals) >= rule.digits.count(digit))


def _cage(peer: Peer, rule: Any) -> None:
    peer.model.add_all_different(peer.of(rule.cells))
    peer.model.add(sum(peer.of(rule.cells)) == rule.sum)


def _groups(peer: Peer, rule: Any) -> None:
    first, second = (sum(peer.of(group)) for group in rule.groups)
    if rule.kind == "equal-sums":
        peer.model.add(first == second)
    else:
        peer.model.add(first > second)


def _calculation(peer: Peer, rule: Any) -> None:
    numbers = peer.of(rule.cells)
    if rule.operation == "+":
        peer.model.add(sum(numbers) == rule.target)
    elif rule.operation == "*":
        peer.model.add_multiplication_equality(rule.target, numbers)
    else:
        rows = subtractions(rule.operation, rule.target, peer.canvas.digits, len(numbers))
        peer.model.add_allowed_assignments(numbers, rows)


def _rising(peer: Peer, rule: Any) -> None:
    least = 1 if rule.kind == "thermometer" else 0
    for a, b in pairwise(peer.of(rule.cells)):
        peer.model.add(a + least <= b)


def _arrow(peer: Peer, rule: Any) -> None:
    if rule.kind == "double-arrow":
        first, *inside, last = peer.of(rule.cells)
        peer.model.add(first + last == sum(inside))
        return
    bulb = sum(10**k * digit for k, digit in enumerate(reversed(peer.of(sorted(rule.bulb)))))
    peer.model.add(bulb == sum(peer.of(rule.shaft)))


def _palindrome(peer: Peer, rule: Any) -> None:
    numbers = peer.of(rule.cells)
    for a, b in zip(numbers[: len(numbers) // 2], reversed(numbers), strict=False):
        peer.model.add(a == b)


def _renban(peer: Peer, rule: Any) -> None:
    numbers = peer.of(rule.cells)
    least, most = peer.number(), peer.number()
    peer.model.add_all_different(numbers)
    peer.model.add_min_equality(least, numbers)
    peer.model.add_max_equality(most, numbers)
    peer.model.add(most - least == len(numbers) - 1)


def _classes(peer: Peer, rule: Any) -> None:
    """Windows of cells whose remainders, or thirds, differ."""
    count = {"modular": getattr(rule, "modulus", 3), "entropic": 3, "parity-line": 2}[rule.kind]
    kinds = []
    for number in peer.of(rule.cells):
        kind = peer.number(0, count - 1)
        if rule.kind == "entropic":
            peer.model.add_division_equality(kind, number - 1, peer.high // 3)
        else:
            peer.model.add_modulo_equality(kind, number, count)
        kinds.append(kind)
    for window in spans(kinds, count):
        peer.model.add_all_different(window)


def _whisper(peer: Peer, rule: Any) -> None:
    for a, b in pairwise(peer.of(rule.cells)):
        peer.differ(a, b, least=rule.difference)


def _spread(peer: Peer, rule: Any) -> None:
    for a, b in combinations(peer.of(rule.cells), 2):
        peer.differ(a, b, least=rule.difference)


def _ends(peer: Peer, rule: Any) -> None:
    first, *inside, last = peer.of(rule.cells)
    low, high = peer.number(), peer.number()
    peer.model.add_min_equality(low, [first, last])
    peer.model.add_max_equality(high, [first, last])
    if rule.kind == "outside-ends":
        peer.model.add(high - low >= rule.difference)
    for number in inside:
        if rule.kind == "between-ends":
            peer.model.add(low < number)
            peer.model.add(number < high)
        else:
            below = peer.model.new_bool_var("")
            peer.model.add(number < low).only_enforce_if(below)
            peer.model.add(number > high).only_enforce_if(~below)


def _steps(peer: Peer, rule: Any) -> None:
    far = peer.high - peer.low
    step = peer.number(1, far)
    if rule.kind == "progression":
        step = peer.number(-far, far)
        peer.model.add(step != 0)
    for a, b in pairwise(peer.of(rule.cells)):
        if rule.kind == "progression":
            peer.model.add(b - a == step)
        else:
            peer.model.add_abs_equality(step, a - b)


def _region_sum(peer: Peer, rule: Any) -> None:
    first, *others = (sum(peer.of(piece)) for piece in pieces(peer.canvas, rule.cells))
    for other in others:
        peer.model.add(first == other)


def _zipper(peer: Peer, rule: Any) -> None:
    numbers = peer.of(rule.cells)
    half = len(numbers) // 2
    sums = [a + b for a, b in zip(numbers[:half], reversed(numbers), strict=False)]
    sums += numbers[half : half + 1] if len(numbers) % 2 else []
    for other in sums[1:]:
        peer.model.add(sums[0] == other)


def _sum_run(peer: Peer, rule: Any) -> None:
    moves = cuts(rule.total, peer.canvas.digits)
    peer.model.add_automaton(peer.of(rule.cells), 0, [0], moves)


def _little_killer(peer: Peer, rule: Any) -> None:
    peer.model.add(sum(peer.of(rule.diagonal(peer.puzzle.board))) == rule.sum)


def _sandwich(peer: Peer, rule: Any) -> None:
    cells = rule.reading(peer.puzzle.board)
    for i, j in combinations(range(len(cells)), 2):
        between = sum(peer.of(cells[i + 1 : j]))
        for low, high in ((cells[i], cells[j]), (cells[j], cells[i])):
            ends = [peer.has(low, peer.low), peer.has(high, peer.high)]
            peer.model.add(between == rule.sum).only_enforce_if(ends)


def _x_sum(peer: Peer, rule: Any) -> None:
    cells = rule.reading(peer.puzzle.board)
    for digit in peer.canvas.digits:
        total = sum(peer.of(cells[:digit]))
        peer.model.add(total == rule.sum).only_enforce_if(peer.has(cells[0], digit))


def _seen_count(peer: Peer, rule: Any) -> None:
    numbers = peer.of(rule.reading(peer.puzzle.board))
    highest, seen = numbers[0], []
    for number in numbers[1:]:
        higher = peer.model.new_bool_var("")
        peer.model.add(number > highest).only_enforce_if(higher)
        peer.model.add(number < highest).only_enforce_if(~higher)
        top = peer.number()
        peer.model.add_max_equality(top, [highest, number])
        highest = top
        seen.append(higher)
    peer.model.add(sum(seen) == rule.seen - 1)


def _numbered_room(peer: Peer, rule: Any) -> None:
    numbers = peer.of(rule.reading(peer.puzzle.board))
    peer.model.add_element(numbers[0] - 1, numbers, rule.digit)


def _head_sum(peer: Peer, rule: Any) -> None:
    peer.model.add(sum(peer.of(rule.head(peer.puzzle.board))) == rule.sum)


def _head_digits(peer: Peer, rule: Any) -> None:
    for digit in rule.digits:
        cells = rule.head(peer.puzzle.board)
        peer.model.add_bool_or([peer.has(cell, digit) for cell in cells])


def _battlefield(peer: Peer, rule: Any) -> None:
    cells = rule.reading(peer.puzzle.board)
    for first, last in product(peer.canvas.digits, repeat=2):
        reach = sorted((first, len(cells) - last))
        total = sum(peer.of(cells[reach[0] : reach[1]]))
        ends = [peer.has(cells[0], first), peer.has(cells[-1], last)]
        peer.model.add(total == rule.sum).only_enforce_if(ends)


def _among(peer: Peer, rule: Any) -> None:
    digits = rule.digits if rule.kind == "among" else rule.allowed(peer.canvas.digits)
    for cell in rule.cells:
        peer.model.add_linear_expression_in_domain(
            peer.x[cell], cp_model.Domain.from_values(list(digits))
        )


def _beside(peer: Peer, rule: Any) -> None:
    for cell in rule.cells:
        for other in peer.canvas.neighbours(cell):
            if other not in rule.cells and rule.kind == "below-neighbours":
                peer.model.add(peer.x[cell] < peer.x[other])
            elif other not in rule.cells:
                peer.model.add(peer.x[cell] > peer.x[other])


def _circles(peer: Peer, rule: Any) -> None:
    for digit in peer.canvas.digits:
        used = peer.model.new_bool_var("")
        held = sum(peer.has(cell, digit) for cell in rule.cells)
        peer.model.add(held == digit * used)


def _indexing(peer: Peer, rule: Any) -> None:
    number = int(rule.line[1:])
    for cell, digit in product(rule.reading(peer.puzzle.board), peer.canvas.digits):
        target = Cell(cell.row, digit) if rule.line[0] == "c" else Cell(digit, cell.column)
        peer.model.add_implication(peer.has(cell, digit), peer.has(target, number))


def _relation(peer: Peer, rule: Any) -> None:
    for cells in rule.neighbourhoods(peer.puzzle.board):
        _FORMULAS[rule.formula](peer, *peer.of(cells))


def _far(peer: Peer, a: Var, b: Var) -> None:
    peer.differ(a, b, least=4)


def _product(peer: Peer, a: Var, b: Var, c: Var) -> None:
    peer.model.add_multiplication_equality(c, [a, b])


def _below(peer: Peer, a: Var, b: Var, c: Var) -> None:
    first, second = peer.model.new_bool_var(""), peer.model.new_bool_var("")
    peer.model.add(a < b).only_enforce_if(first)
    peer.model.add(c < b).only_enforce_if(second)
    peer.model.add_bool_or([first, second])


def _no_double(peer: Peer, a: Var, b: Var) -> None:
    peer.model.add(a != 2 * b)
    peer.model.add(b != 2 * a)


_FORMULAS: dict[str, Callable[..., Any]] = {
    "a + b == c": lambda peer, a, b, c: peer.model.add(a + b == c),
    "a + c == 2*b": lambda peer, a, b, c: peer.model.add(a + c == 2 * b),
    "abs(a - b) >= 4": _far,
    "a * b == c": _product,
    "a < b or c < b": _below,
    "max(a, b, c) == d": lambda peer, a, b, c, d: peer.model.add_max_equality(d, [a, b, c]),
    "a + b == c + d": lambda peer, a, b, c, d: peer.model.add(a + b == c + d),
    "a + b != 10": lambda peer, a, b: peer.model.add(a + b != 10),
    "a != 2*b and b != 2*a": _no_double,
    "abs(a - b) <= 7": lambda peer, a, b: peer.apart(a, b, range(8)),
    "a + b + c + d <= 28": lambda peer, a, b, c, d: peer.model.add(a + b + c + d <= 28),
}


def _sequence(peer: Peer, rule: Any) -> None:
    start, final, moves = pattern(rule.pattern, peer.canvas.digits)
    peer.model.add_automaton(peer.of(rule.cells), start, final, moves)


def _some(peer: Peer, rule: Any) -> None:
    literals = []
    for clue in rule.of:
        literals.append(peer.model.new_bool_var(""))
        _NESTED[clue.kind](peer, clue, literals[-1])
    if rule.kind == "exactly":
        peer.model.add(sum(literals) == rule.count)
    else:
        peer.model.add(sum(literals) >= rule.count)


def _told_sum(peer: Peer, rule: Any, literal: Var) -> None:
    board = peer.puzzle.board
    cells = rule.diagonal(board) if rule.kind == "little-killer" else rule.head(board)
    peer.model.add(sum(peer.of(cells)) == rule.sum).only_enforce_if(literal)
    peer.model.add(sum(peer.of(cells)) != rule.sum).only_enforce_if(~literal)


def _told_rising(peer: Peer, rule: Any, literal: Var) -> None:
    falls = []
    for a, b in pairwise(peer.of(rule.cells)):
        falls.append(peer.model.new_bool_var(""))
        peer.model.add(a < b).only_enforce_if(literal)
        peer.model.add(a >= b).only_enforce_if(falls[-1])
    peer.model.add_bool_or([literal, *falls])


_NESTED: dict[str, Callable[[Peer, Any, Var], None]] = {
    "little-killer": _told_sum,
    "head-sum": _told_sum,
    "thermometer": _told_rising,
}


def _kinds() -> Iterator[tuple[str, Callable[[Peer, Any], None]]]:
    for kind in ("diagonals", "windows", "box-places", *MOVES):
        yield kind, _each_grid
    for kind in ("pair-sum", "consecutive-pair", "pair-difference", "greater"):
        yield kind, _mark
    for kind in ("double-pair", "pair-ratio"):
        yield kind, _mark
    for kind in ("even", "odd", "low", "high", "among"):
        yield kind, _among


def _alike(peer: Peer, rule: Rule) -> None:
    peer.model.add_all_different(peer.of(rule.where()))


_STATE: dict[str, Callable[[Peer, Any], None]] = dict(_kinds()) | {
    "anti-queen": _anti_queen,
    "nonconsecutive": _nonconsecutive,
    "entropic-squares": _entropic_squares,
    "all-different": _alike,
    "copy": _equal,
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
    "modular": _classes,
    "entropic": _classes,
    "parity-line": _classes,
    "whisper": _whisper,
    "spread": _spread,
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
