"""Rules of the whole grid: witnesses on bare canvases, brute force over all 4×4 grids."""

from __future__ import annotations

import random
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, fields, replace
from functools import cache, cached_property
from itertools import permutations, product

import pytest

from gridassay.encodings.constraints import Permutation
from gridassay.encodings.documents import read_document
from gridassay.encodings.lines import PuzzleError
from gridassay.encodings.model import Model
from gridassay.encodings.puzzle import Fact, Puzzle, Solution
from gridassay.verify.engines.sat import SatEngine

from .witnesses import CLOCK, bare, solutions, witnesses


def rule(kind: str, extra: str = "") -> str:
    return f'[[rule]]\nkind = "{kind}"\n{extra}\n'


BARE = [
    ("diagonals", ""),
    ("diagonals", 'which = "falling"'),
    ("diagonals", 'which = "rising"'),
    ("anti-knight", ""),
    ("anti-knight", "wrap = true"),
    ("anti-king", ""),
    ("anti-king", "wrap = true"),
    ("anti-queen", "digits = [1]"),
    ("anti-queen", "digits = [1, 2]"),
    ("nonconsecutive", ""),
]


@pytest.mark.parametrize(("kind", "extra"), BARE)
def test_witnesses_on_a_square(kind: str, extra: str) -> None:
    witnesses(bare(3, 3, 2, rule(kind, extra)))
    witnesses(bare(2, 2, 4, rule(kind, extra)))


@pytest.mark.parametrize(("kind", "extra"), BARE[3:])
def test_witnesses_on_a_strip(kind: str, extra: str) -> None:
    witnesses(bare(2, 4, 2, rule(kind, extra)))
    witnesses(bare(3, 2, 3, rule(kind, extra)))


@pytest.mark.parametrize(("kind", "extra"), BARE)
def test_witnesses_around_a_hole(kind: str, extra: str) -> None:
    head = 'rows = 3\ncolumns = 3\nhouses = "none"\ndigits = [0, 1]\ngivens = "....._..."\n'
    witnesses(read_document(head + rule(kind, extra.replace("2", "0"))))


@pytest.mark.parametrize(("rows", "columns", "digits"), [(2, 2, 6), (3, 2, 3), (2, 2, 3)])
def test_entropic_witnesses(rows: int, columns: int, digits: int) -> None:
    accepted = witnesses(bare(rows, columns, digits, rule("entropic-squares")))
    if (rows, columns) == (2, 2):
        # 36 maps of four cells onto three thirds (3!·S(4,3)), each cell then any of its third.
        assert accepted == 36 * (digits // 3) ** 4


def test_nonconsecutive_speaks_of_what_cells_count() -> None:
    witnesses(bare(1, 3, 3, rule("nonconsecutive"), "[doublers]"))


@dataclass(frozen=True)
class Houseless(Puzzle):
    """A puzzle of its rules alone, its grid there to be spoken of."""

    @cached_property
    def model(self) -> Model:
        whole = super().model
        return replace(whole, premises=tuple(p for p in whole.premises if p.kind == "rule"))

    def violations(self, solution: Solution, ignoring: Sequence[str] = ()) -> Iterator[str]:
        return super().violations(solution, [house.name for house in self.canvas.houses])


def houseless(text: str) -> Houseless:
    puzzle = read_document(text)
    return Houseless(**{field.name: getattr(puzzle, field.name) for field in fields(puzzle)})


@cache
def four_by_four() -> tuple[Solution, ...]:
    """All 4×4 grids with 2×2 boxes, by trying every four rows."""
    found = []
    rows = list(permutations((1, 2, 3, 4)))
    for a, b, c, d in product(rows, repeat=4):
        if len({*a[:2], *b[:2]}) == 4 and len({*c[:2], *d[:2]}) == 4:
            columns = zip(a, b, c, d, strict=True)
            if all(len(set(column)) == 4 for column in columns):
                found.append((*a, *b, *c, *d))
    return tuple(found)


Reading = Callable[[Sequence[int]], bool]


def _apart(moves: Sequence[tuple[int, int]], same: Callable[[int, int], bool]) -> Reading:
    """No cell of a 4×4 grid and the one a move away are ``same``."""

    def holds(grid: Sequence[int]) -> bool:
        return not any(
            same(grid[4 * r + c], grid[4 * (r + down) + c + right])
            for r in range(4)
            for c in range(4)
            for down, right in moves
            if 0 <= r + down < 4 and 0 <= c + right < 4
        )

    return holds


def _different(*sets: Sequence[int]) -> Reading:
    """The cells at these places of the line are all different."""
    return lambda grid: all(len({grid[i] for i in places}) == 4 for places in sets)


def _equal(a: int, b: int) -> bool:
    return a == b


FALLING, RISING = (0, 5, 10, 15), (3, 6, 9, 12)
BRUTE: list[tuple[str, str, Reading]] = [
    ("diagonals", "", _different(FALLING, RISING)),
    ("diagonals", 'which = "falling"', _different(FALLING)),
    ("diagonals", 'which = "rising"', _different(RISING)),
    ("windows", "", _different((5, 6, 9, 10))),
    ("box-places", "", _different((0, 2, 8, 10), (1, 3, 9, 11), (4, 6, 12, 14), (5, 7, 13, 15))),
    ("anti-knight", "", _apart([(1, 2), (2, 1), (1, -2), (2, -1)], _equal)),
    ("anti-king", "", _apart([(1, 1), (1, -1)], _equal)),
    (
        "anti-queen",
        "digits = [1, 3]",
        _apart(
            [(k, s * k) for k in (1, 2, 3) for s in (1, -1)], lambda a, b: a == b and a in (1, 3)
        ),
    ),
    ("nonconsecutive", "", _apart([(1, 0), (0, 1)], lambda a, b: abs(a - b) == 1)),
]


@pytest.mark.parametrize(("kind", "extra", "reading"), BRUTE)
def test_brute_force_at_four_by_four(kind: str, extra: str, reading: Reading) -> None:
    assert len(four_by_four()) == 288  # the number of 4×4 sudoku grids
    expected = {grid for grid in four_by_four() if reading(grid)}
    puzzle = read_document(f"size = 4\n{rule(kind, extra)}")
    assert set(solutions(SatEngine(puzzle.model, CLOCK))) == expected


@pytest.mark.parametrize(("kind", "extra", "reading"), BRUTE)
def test_witnesses_without_houses(kind: str, extra: str, reading: Reading) -> None:
    random.seed(20)
    rows = [tuple(random.choices((1, 2, 3, 4), k=16)) for _ in range(20)]
    rows += random.sample(four_by_four(), 20)
    for grid in [grid for grid in four_by_four() if reading(grid)][:20]:
        place, digit = random.randrange(16), random.randint(1, 4)
        rows += [grid, (*grid[:place], digit, *grid[place + 1 :])]
    puzzle = houseless(f"size = 4\n{rule(kind, extra)}")
    assert witnesses(puzzle, rows=rows) == sum(
        reading(row) for row in set(rows) if kind != "anti-king" or _kings(row)
    )


def _kings(grid: Sequence[int]) -> bool:
    return _apart([(1, 0), (0, 1)], _equal)(grid)


@pytest.mark.parametrize("kind", ["box-places", "diagonals", "anti-knight", "entropic-squares"])
def test_six_by_six(kind: str) -> None:
    """Wide boxes, and a pattern that keeps each rule, with slips in it."""
    pattern = [(place * 2 + row * 3 + row // 2) % 6 + 1 for row in range(6) for place in range(6)]
    random.seed(6)
    rows = {tuple(pattern)}
    for _ in range(40):
        slipped = list(pattern)
        for place in random.sample(range(36), random.choice((1, 2))):
            slipped[place] = random.randint(1, 6)
        rows.add(tuple(slipped))
    witnesses(houseless(f"size = 6\n{rule(kind)}"), rows=sorted(rows))


def test_entropic_under_a_given_row() -> None:
    # A 6×6 canvas is too large to try; a row under a given one, column by column, is not.
    thirds = {digit: (digit - 1) // 2 for digit in range(1, 7)}
    top, columns = (1, 3, 5), 3
    words: list[tuple[int, ...]] = [()]
    for column in range(columns):
        words = [
            (*word, digit)
            for word in words
            for digit in range(1, 7)
            if not column
            or {thirds[d] for d in (top[column - 1], top[column], word[-1], digit)} == {0, 1, 2}
        ]
    head = 'rows = 2\ncolumns = 3\nhouses = "none"\ndigits = [1, 2, 3, 4, 5, 6]\n'
    puzzle = read_document(f'{head}givens = "135..."\n{rule("entropic-squares")}')
    engine = SatEngine(puzzle.model, CLOCK)
    found = set()
    for word in product(range(1, 7), repeat=columns):
        facts = [
            *puzzle.givens,
            *(Fact(cell, d) for cell, d in zip(puzzle.canvas.cells[3:], word, strict=True)),
        ]
        if engine.solve(facts, CLOCK) is not None:
            found.add(word)
    assert found == set(words)


def test_windows_of_nine() -> None:
    puzzle = read_document(f"size = 9\n{rule('windows')}")
    parts = list(puzzle.rules[0].parts(puzzle.board))
    assert [part.label for part in parts] == ["window 1", "window 2", "window 3", "window 4"]
    corners = [str(next(iter(part.constraint.scope()))) for part in parts]
    assert corners == ["r2c2", "r2c6", "r6c2", "r6c6"]
    assert all(isinstance(part.constraint, Permutation) for part in parts)


def test_knight_moves_on_a_nine_by_nine() -> None:
    # 4(n−1)(n−2) unordered pairs of squares a knight's move apart on an n×n board, 4n² on a torus.
    for wrap, expected in (("", 4 * 8 * 7), ("wrap = true", 4 * 81)):
        puzzle = read_document(f"size = 9\n{rule('anti-knight', wrap)}")
        labels = [part.label for part in puzzle.rules[0].parts(puzzle.board)]
        assert len(set(labels)) == len(labels) == expected
        assert "anti-knight r3c3–r4c5" in labels


@pytest.mark.parametrize(
    ("kind", "extra", "text"),
    [
        ("diagonals", "", "No digit repeats on either marked diagonal."),
        (
            "diagonals",
            'which = "rising"',
            "No digit repeats on the marked diagonal from the bottom left to the top right corner.",
        ),
        ("anti-knight", "", "Cells a knight's move apart, as in chess, hold different digits."),
        (
            "anti-king",
            "wrap = true",
            "Cells a king's move apart, as in chess, hold different digits, also where the move leaves "
            "the grid on one side and comes in again on the opposite one.",
        ),
        (
            "anti-queen",
            "digits = [7, 9]",
            "No two 7s and no two 9s stand on the same diagonal, long or short.",
        ),
    ],
)
def test_text_depends_on_the_fields(kind: str, extra: str, text: str) -> None:
    assert read_document(f"size = 9\n{rule(kind, extra)}").rules[0].wording() == text


TWO = '[[grid]]\nname = "A"\nsize = 4\n[[grid]]\nname = "B"\nat = "r3c3"\nsize = 4\n'


@pytest.mark.parametrize("kind", ["diagonals", "windows", "box-places", "anti-king"])
def test_a_rule_speaks_of_its_own_grid(kind: str) -> None:
    puzzle = read_document(TWO + rule(kind, 'grid = "B"'))
    scope = {v for part in puzzle.rules[0].parts(puzzle.board) for v in part.constraint.scope()}
    assert scope <= set(puzzle.canvas.grids[1].cells)
    assert puzzle.rule_names == (f"{kind} of B",)
    assert puzzle.rules[0].wording().startswith("In grid B, ")
    random.seed(2)
    rows = []
    for grid in random.sample(four_by_four(), 60):
        numbers = dict.fromkeys(puzzle.canvas.cells, 1)
        numbers |= dict(zip(puzzle.canvas.grids[1].cells, grid, strict=True))
        rows.append(tuple(numbers.values()))
    witnesses(houseless(TWO + rule(kind, 'grid = "B"')), rows=rows)


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("size = 6\n" + rule("windows"), "windows need square boxes"),
        ("size = 5\n" + rule("box-places"), "box-places needs boxes"),
        ("size = 4\n" + rule("entropic-squares"), "4 digits cannot be divided into thirds"),
        ("size = 4\n" + rule("anti-queen", "digits = [5]"), "5 is not a digit here"),
        ("size = 4\n" + rule("anti-queen"), "digits is missing"),
        ("size = 4\n" + rule("diagonals", 'which = "fallen"'), "did you mean 'falling'?"),
        ("size = 4\n" + rule("anti-king", "warp = true"), "did you mean 'wrap'?"),
        ("size = 4\n" + rule("anti-king", 'grid = "C"'), "there is no grid 'C', only 'A'"),
        (TWO + rule("nonconsecutive"), "say which grid is meant: grid = 'A' or 'B'"),
        (
            'rows = 2\ncolumns = 3\nhouses = "none"\n' + rule("diagonals"),
            "diagonals need a square, but there are 2 rows of 3",
        ),
        (
            'rows = 1\ncolumns = 3\nhouses = "none"\n' + rule("anti-king", "wrap = true"),
            "wrap needs at least 2 rows and columns",
        ),
        ('rows = 4\ncolumns = 4\nhouses = "none"\n' + rule("windows"), "this needs a grid"),
    ],
)
def test_errors(text: str, message: str) -> None:
    with pytest.raises(PuzzleError) as caught:
        read_document(text)
    assert message in str(caught.value)
