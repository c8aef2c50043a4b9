"""Letters and doublers end to end, against brute force over all 4×4 grids written here.

A solution is the digits and the unknowns; a rule that is off, or that lies, must neither multiply
solutions nor lose any.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from itertools import combinations, permutations, product

import pytest

from gridassay.encodings.constraints import Letter
from gridassay.encodings.documents import read_document
from gridassay.encodings.puzzle import Puzzle, Solution
from gridassay.verify.counting.verdict import check
from gridassay.verify.engines.cp import CpEngine
from gridassay.verify.engines.questions import Demand
from gridassay.verify.engines.sat import SatEngine

from .rules.witnesses import CLOCK, solutions

Grid = tuple[int, ...]
BOX = [row // 2 * 2 + column // 2 for row, column in product(range(4), repeat=2)]


def grids() -> Iterator[Grid]:
    """The 288 grids of 4×4 with 2×2 boxes."""
    rows = list(permutations((1, 2, 3, 4)))
    for four in product(rows, repeat=4):
        if any(a == b for one, two in combinations(four, 2) for a, b in zip(one, two, strict=True)):
            continue
        grid = sum(four, ())
        boxes: dict[int, set[int]] = {}
        for box, digit in zip(BOX, grid, strict=True):
            boxes.setdefault(box, set()).add(digit)
        if all(len(digits) == 4 for digits in boxes.values()):
            yield grid


GRIDS = list(grids())


def doubled(grid: Grid) -> Iterator[tuple[int, ...]]:
    """Every set of doublers of a grid, as 1 or 0 a cell: one a row, column, box and digit."""
    for columns in permutations(range(4)):
        cells = [4 * row + column for row, column in enumerate(columns)]
        if len({BOX[cell] for cell in cells}) == len({grid[cell] for cell in cells}) == 4:
            yield tuple(int(cell in cells) for cell in range(16))


def found(text: str) -> list[Solution]:
    puzzle = read_document(f"size = 4\n{text}", "t.toml")
    engine = SatEngine(puzzle.model, CLOCK)
    rows: list[Solution] = []
    demands: list[Demand] = []
    while (row := engine.solve(puzzle.givens, CLOCK, demands=demands)) is not None:
        rows.append(row)
        demands.append(engine.forbid(row))
    assert len(rows) == len(set(rows))
    assert all(next(puzzle.violations(row), None) is None for row in rows)
    return rows


def test_all_grids_are_there() -> None:
    assert len(GRIDS) == 288  # common knowledge of the trade; OEIS A107739


Values = list[int]
Reading = Callable[[Grid, Values], bool]


def first_digits_total(grid: Grid, value: Values) -> bool:
    return sum(value[15 - place] for place in range(grid[15])) == 6


RULES: dict[str, Reading] = {
    'kind = "cage"\ncells = "r1c1 r1c2 r2c1"\nsum = 11': lambda grid, value: (
        value[0] + value[1] + value[4] == 11
    ),
    'kind = "x-sum"\nline = "r4"\nside = "right"\nsum = 6': first_digits_total,
    'kind = "thermometer"\ncells = "r2c3 r2c4 r3c4"': lambda grid, value: (
        value[6] < value[7] < value[11]
    ),
    'kind = "relation"\ncells = "r3c1 r3c2"\nholds = "a == 4*b"': lambda grid, value: (
        value[8] == 4 * value[9]
    ),
    'kind = "sequence"\ncells = "r1c1..r1c4"\npattern = "[12]+[34]+"': lambda grid, value: (
        set(grid[:2]) == {1, 2}
    ),
}


@pytest.mark.parametrize(
    "chosen", [*combinations(RULES, 1), *combinations(RULES, 2), tuple(RULES)[::2]]
)
def test_doublers_against_brute_force(chosen: tuple[str, ...]) -> None:
    expected = set()
    for grid in GRIDS:
        for double in doubled(grid):
            value = [digit * (1 + twice) for digit, twice in zip(grid, double, strict=True)]
            if all(RULES[rule](grid, value) for rule in chosen):
                expected.add(grid + double)
    text = "".join(f"[[rule]]\n{rule}\n" for rule in chosen)
    assert set(found("[doublers]\n" + text)) == expected


def test_doublers_alone() -> None:
    for given in GRIDS[::40]:
        text = "".join(map(str, given))
        expected = {given + double for double in doubled(given)}
        assert set(found(f'givens = "{text}"\n[doublers]\n')) == expected
    assert any(list(doubled(given)) for given in GRIDS[::40])


def test_two_solutions_that_differ_in_doublers_alone() -> None:
    given = next(grid for grid in GRIDS if len(list(doubled(grid))) > 1)
    text = f'size = 4\ngivens = "{"".join(map(str, given))}"\n[doublers]\n'
    verdict = check(read_document(text, "t.toml"), engine="both")
    assert verdict.status == "multiple"
    assert all(str(variable).startswith("doubler r") for variable in verdict.differs)
    first, second = verdict.solutions
    assert first[:16] == second[:16] == given


LETTERED = """
[[rule]]
kind = "cage"
cells = "r1c1 r1c2"
sum = "A"
[[rule]]
kind = "cage"
cells = "r4c3 r4c4"
sum = "A"
[[rule]]
kind = "sandwich"
line = "c2"
sum = "B"
"""


def lettered(grid: Grid) -> tuple[int, int] | None:
    if grid[0] + grid[1] != grid[14] + grid[15]:
        return None
    column = grid[1::4]
    low, high = sorted((column.index(1), column.index(4)))
    return grid[0] + grid[1], sum(column[low + 1 : high])


@pytest.mark.parametrize("different", [False, True])
def test_letters_against_brute_force(different: bool) -> None:
    expected = set()
    for grid in GRIDS:
        letters = lettered(grid)
        if letters is not None and not (different and letters[0] == letters[1]):
            expected.add(grid + letters)
    head = 'letters = "different"\n' if different else ""
    assert set(found(head + LETTERED)) == expected
    assert len({row[:16] for row in expected}) == len(expected)  # the grid tells the letters


def test_letters_and_doublers_together() -> None:
    expected = set()
    for grid in GRIDS:
        for double in doubled(grid):
            value = [digit * (1 + twice) for digit, twice in zip(grid, double, strict=True)]
            if value[0] + value[1] == value[14] + value[15] == 5:
                expected.add((*grid, *double, 5))
    text = LETTERED.partition('[[rule]]\nkind = "sandwich"')[0]
    five = '[[rule]]\nkind = "cage"\ncells = "r1c1 r1c2"\nsum = 5\n'
    assert set(found("[doublers]\n" + text + five)) == expected


def test_two_solutions_that_differ_in_a_letter_alone() -> None:
    given = "".join(map(str, GRIDS[0]))
    liar = '[[rule]]\nkind = "exactly"\ncount = 0\n' + (
        '[[rule.of]]\nkind = "cage"\ncells = "r1c1 r1c2"\nsum = "A"\n'
    )
    puzzle = read_document(f'size = 4\ngivens = "{given}"\n{liar}', "t.toml")
    verdict = check(puzzle, engine="both")
    assert verdict.status == "multiple"
    assert verdict.differs == (Letter("A"),)
    # A cage of two cells could total 2 to 8; one of these would be the truth.
    truth = GRIDS[0][0] + GRIDS[0][1]
    told = {row[-1] for row in found(f'givens = "{given}"\n{liar}')}
    assert told == set(range(2, 9)) - {truth}


def off(puzzle: Puzzle, names: set[str]) -> list[str]:
    return [premise.name for premise in puzzle.model.premises if premise.name not in names]


@pytest.mark.parametrize("different", [False, True])
def test_a_rule_that_is_off_frees_its_letter_and_multiplies_nothing(different: bool) -> None:
    head = 'size = 4\nletters = "different"\n' if different else "size = 4\n"
    puzzle = read_document(head + LETTERED, "t.toml")
    sandwich, cages = "sandwich c2", {"cage r1c1 r1c2", "cage r4c3 r4c4"}
    for away, kept in (
        ({sandwich}, sum(grid[0] + grid[1] == grid[14] + grid[15] for grid in GRIDS)),
        (cages, len(GRIDS)),
        (cages | {sandwich}, len(GRIDS)),
    ):
        on = off(puzzle, away)
        rows = solutions(SatEngine(puzzle.model, CLOCK), on)
        assert len(rows) == len(set(rows)) == kept
        for row in rows[:10]:
            assert next(puzzle.violations(row, ignoring=sorted(away)), None) is None
        engine = CpEngine(puzzle.model)
        assert engine.solve(puzzle.givens, CLOCK, on=on) is not None
    # Of a letter's two cages one that is on holds it.
    rows = solutions(SatEngine(puzzle.model, CLOCK), off(puzzle, {"cage r1c1 r1c2", sandwich}))
    assert len(rows) == len(GRIDS)
    assert all(row[-2] == row[14] + row[15] for row in rows)


def test_optional_rules_leave_different_letters_alone() -> None:
    # Both letters would be 1 at least, were they pinned and made to differ.
    optional = "".join(
        f'[[rule]]\nkind = "cage"\ncells = "r{n}c1"\nsum = "{letter}"\noptional = true\n'
        for n, letter in ((1, "A"), (2, "B"))
    )
    given = "".join(map(str, GRIDS[0]))
    text = f'size = 4\nletters = "different"\ngivens = "{given}"\n{optional}'
    assert check(read_document(text, "t.toml"), engine="both").status == "unique"


def test_nested_letters_are_freed_with_their_combination() -> None:
    nested = (
        '[[rule]]\nkind = "exactly"\ncount = 1\nid = "rumours"\n'
        '[[rule.of]]\nkind = "cage"\ncells = "r1c1 r1c2"\nsum = "A"\n'
        '[[rule.of]]\nkind = "cage"\ncells = "r2c1 r2c2"\nsum = "A"\n'
    )
    puzzle = read_document("size = 4\n" + nested, "t.toml")
    assert len(solutions(SatEngine(puzzle.model, CLOCK), off(puzzle, {"rumours"}))) == len(GRIDS)
    # On: A is the total of just one of the two; the box makes both totals add up to 10.
    expected = {
        (*grid, total)
        for grid in GRIDS
        for total in range(2, 9)
        if (grid[0] + grid[1] == total) != (grid[4] + grid[5] == total)
    }
    assert set(found(nested)) == expected
