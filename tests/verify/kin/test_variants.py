"""Kin among puzzles with rules: rules take part, and fix digits where they read them as numbers."""

from __future__ import annotations

import re
import subprocess
import sys
from collections.abc import Callable
from random import Random

import pytest

from gridassay.encodings.puzzle import Puzzle
from gridassay.verify import canonical, kin_groups, read, symmetries
from gridassay.verify.budget import Clock, OutOfTime
from gridassay.verify.kin import groups_of, layout, way_between
from gridassay.verify.kin.transformation import Transformation, carries

CLOCK = Clock(float("inf"))


def puzzle(*rules: str, head: str = "size = 6", source: str = "harbour.toml") -> Puzzle:
    return read("\n".join([head, *(f"[[rule]]\n{rule}" for rule in rules)]), source)


def thermometer(cells: str) -> str:
    return f'kind = "thermometer"\ncells = "{cells}"'


def cage(cells: str, total: int | None = None) -> str:
    return f'kind = "cage"\ncells = "{cells}"' + ("" if total is None else f"\nsum = {total}")


def given(cell: str, digit: int) -> str:
    """A given as the givens of a 6×6 file."""
    row, column = (int(number) - 1 for number in re.findall(r"\d", cell))
    line = ["."] * 36
    line[row * 6 + column] = str(digit)
    return f'size = 6\ngivens = "{"".join(line)}"'


def same(first: Puzzle, second: Puzzle) -> bool:
    """Whether two are kin; if they are, the way has been checked, and back too."""
    if canonical(first).text != canonical(second).text:
        return False
    way_between(first, second)
    way_between(second, first)
    return True


def moved(text: str, move: Callable[[int, int], tuple[int, int]]) -> str:
    """A file with every cell moved."""

    def cell(match: re.Match[str]) -> str:
        row, column = move(int(match[1]), int(match[2]))
        return f"r{row}c{column}"

    return re.sub(r"r(\d)c(\d)", cell, text)


MOVES: list[Callable[[int, int], tuple[int, int]]] = [
    lambda r, c: (7 - r, 7 - c),
    lambda r, c: (r, 7 - c),
    lambda r, c: ({1: 2, 2: 1}.get(r, r), c),
    lambda r, c: ({1: 5, 2: 6, 5: 1, 6: 2}.get(r, r), {4: 6, 6: 4}.get(c, c)),
]


@pytest.mark.parametrize("move", range(len(MOVES)))
def test_rules_move_with_their_cells(move: int) -> None:
    rng = Random(5 + move)
    spots = [f"r{r}c{c}" for r in range(1, 7) for c in range(1, 7)]
    for _ in range(5):
        rules = [
            thermometer(" ".join(rng.sample(spots, 4))),
            cage(" ".join(rng.sample(spots, 3)), rng.randint(8, 14)),
            cage(" ".join(rng.sample(spots, 3))),
            f'kind = "relation"\nholds = "a < b + c"\ncells = "{" ".join(rng.sample(spots, 3))}"',
        ]
        first = puzzle(*rules)
        second = puzzle(*(moved(rule, MOVES[move]) for rule in reversed(rules)))
        assert same(first, second)
        assert layout(first) == layout(second)


def test_a_total_or_a_cell_makes_a_difference() -> None:
    first = puzzle(cage("r1c1 r1c2 r2c1", 9), thermometer("r5c1..r5c4"))
    others = [
        puzzle(cage("r1c1 r1c2 r2c1", 10), thermometer("r5c1..r5c4")),
        puzzle(cage("r1c1 r1c2 r2c1"), thermometer("r5c1..r5c4")),
        puzzle(cage("r1c1 r1c2 r2c2", 9), thermometer("r5c1..r5c4")),
        puzzle(cage("r1c1 r1c2 r2c1", 9), thermometer("r5c4..r5c1")),
        puzzle(cage("r1c1 r1c2 r2c1", 9), thermometer("r5c1..r5c3")),
        puzzle(cage("r1c1 r1c2 r2c1", 9) + "\noptional = true", thermometer("r5c1..r5c4")),
        puzzle(cage("r1c1 r1c2 r2c1", 9)),
    ]
    assert len(kin_groups([first, *others])) == 1 + len(others)
    assert layout(first) == layout(others[0]) == layout(others[1])
    assert layout(first) not in {layout(others[3]), layout(others[4])}


def test_digits_are_renamed_where_no_rule_minds() -> None:
    one, other = (puzzle(cage("r1c1 r2c2 r3c3"), head=given("r1c1", d)) for d in (1, 4))
    assert same(one, other)


def test_digits_swapped_under_an_arrow_are_no_kin() -> None:
    # The shaft totals the bulb, so 3 in the shaft is not 2 in the shaft.
    arrow = 'kind = "arrow"\nbulb = "r1c1"\nshaft = "r1c2 r1c3"'
    puzzles = [puzzle(arrow, head=given(cell, d)) for cell in ("r1c1", "r1c2") for d in (2, 3)]
    assert len(kin_groups(puzzles)) == 4
    turned = puzzle(moved(arrow, MOVES[0]), head=given("r6c5", 3))
    assert same(puzzles[3], turned)


def test_a_thermometer_the_other_way_is_kin_with_its_digits_reflected() -> None:
    rising = puzzle(thermometer("r1c1..r1c4"), head=given("r4c1", 2))
    falling = puzzle(thermometer("r1c4..r1c1"), head=given("r4c1", 5))
    assert same(rising, falling)
    assert "1↔6 2↔5 3↔4" in way_between(rising, falling).words()
    unreflected = puzzle(thermometer("r1c4..r1c1"), head=given("r4c1", 2))
    assert not same(rising, unreflected)


def test_totals_reflect_as_well() -> None:
    # 3 cells of 1 to 6 that total 9 are, each digit taken from 7, 3 cells that total 12.
    low, high = (puzzle(cage("r1c1 r1c2 r1c3", total), source=str(total)) for total in (9, 12))
    assert same(low, high)
    assert not same(low, puzzle(cage("r1c1 r1c2 r1c3", 11)))


def test_letters_are_names() -> None:
    def two(first: str, second: str) -> Puzzle:
        return puzzle(
            f'kind = "cage"\ncells = "r1c1 r1c2"\nsum = "{first}"',
            f'kind = "cage"\ncells = "r3c1 r3c2"\nsum = "{second}"',
        )

    assert same(two("A", "B"), two("T", "S"))
    assert same(two("A", "A"), two("T", "T"))
    assert not same(two("A", "A"), two("A", "B"))


def test_a_rule_stated_twice_is_stated_once() -> None:
    once = puzzle(cage("r1c1 r2c2", 5))
    twice = puzzle(cage("r1c1 r2c2", 5), cage("r2c2 r1c1", 5))
    assert same(once, twice)
    assert (
        symmetries(once, solution=False).automorphisms
        == symmetries(twice, solution=False).automorphisms
    )


def test_a_wrong_way_is_seen_through() -> None:
    first = puzzle(cage("r1c1 r1c2", 5), head=given("r1c1", 2))
    stay = {cell: cell for cell in first.canvas.cells}
    digits = {digit: digit for digit in first.canvas.digits}

    def way(cells: dict[int, int], renamed: dict[int, int]) -> Transformation:
        moves = {c: c._replace(column=cells.get(c.column, c.column)) for c in stay}
        return Transformation(first.canvas, first.canvas, moves, digits | renamed, {})

    assert carries(way({}, {}), first, first, CLOCK)
    assert not carries(way({}, {5: 6, 6: 5}), first, first, CLOCK)
    assert not carries(way({5: 6, 6: 5, 1: 2, 2: 1}, {}), first, first, CLOCK)
    assert not carries(way({2: 3, 3: 2}, {}), first, first, CLOCK)


def test_overlapping_grids() -> None:
    def grids(first: str, second: str, cells: str) -> Puzzle:
        corners = (f'[[grid]]\nat = "{at}"\nsize = 4' for at in (first, second))
        return puzzle(cage(cells, 3), head="\n".join(corners))

    falling, rising = grids("r1c1", "r3c3", "r1c1 r1c2"), grids("r1c3", "r3c1", "r1c6 r1c5")
    assert same(falling, rising)
    assert way_between(falling, rising).words() == "left-right mirror"
    assert not same(falling, grids("r1c1", "r3c3", "r3c3 r3c4"))


def test_time_runs_out() -> None:
    with pytest.raises(OutOfTime):
        canonical(puzzle(cage("r1c1 r1c2", 5), head="size = 6\ndigits = [0,1,2,3,4,5]"), budget=0.0)
    groups = kin_groups([puzzle(cage("r1c1 r1c2", 6)), puzzle(cage("r1c1 r1c2", 6))], budget=0.0)
    assert [group.form for group in groups] == [None, None]


def test_cells_that_nothing_speaks_of_stay_out_of_it() -> None:
    bare = 'rows = 60\ncolumns = 60\nhouses = "none"\ndigits = [1, 2, 3]'
    first, second = (puzzle(cage(cells, 4), head=bare) for cells in ("r1c1 r1c2", "r9c9 r8c9"))
    assert same(first, second)
    assert symmetries(first, solution=False).automorphisms == 2 * 2  # two cells, 4 = 1 + 3


STOPPED = """
import signal
from igraph import Graph
from gridassay.verify import Clock, OutOfTime
from gridassay.verify.kin.interrupt import interrupt_when_late
before = signal.getsignal(signal.SIGALRM)
try:
    with interrupt_when_late(Clock(0.05)):
        Graph(4000).canonical_permutation()
except OutOfTime:
    print("stopped")
assert signal.getsignal(signal.SIGALRM) == before
assert signal.getitimer(signal.ITIMER_REAL) == (0.0, 0.0)
with interrupt_when_late(Clock(60)):
    assert len(Graph(4).canonical_permutation()) == 4
"""


def test_regions_to_be_found_have_the_symmetries_of_the_square_and_no_others() -> None:
    # The dihedral group of the square has eight elements; a given that is off its axes leaves one.
    head = 'size = 4\ndigits = "none"'
    layer = '[[layer]]\nname = "parishes"\nkind = "regions"\nsizes = 4\n'
    total = (
        '[[rule]]\nkind = "shapes"\nlayer = "parishes"\ntimes = "any"\nshapes = ["##/##", "####"]\n'
    )
    assert symmetries(read(f"{head}\n{layer}{total}"), budget=100).automorphisms == 8
    given = 'givens = ["r1c1=r1c2"]\n'
    assert symmetries(read(f"{head}\n{layer}{given}{total}"), budget=100).automorphisms == 1


def test_the_library_is_stopped_when_time_runs_out() -> None:
    # In a process of its own: the alarm needs the main thread, which test runners keep for themselves.
    run = subprocess.run(
        [sys.executable, "-c", STOPPED], capture_output=True, text=True, check=False
    )
    assert (run.stdout, run.stderr) == ("stopped\n", "")


def test_a_group_stands_though_no_time_is_left_for_its_ways() -> None:
    one, other = (puzzle(cage(cells, 6), source=cells) for cells in ("r1c1 r1c2", "r6c1 r6c2"))
    (group,) = groups_of([(one, canonical(one).text), (other, canonical(other).text)], budget=0.0)
    assert group.to_json() == ["r1c1 r1c2", "r6c1 r6c2"]
    assert (group.ways, group.ways_json()) == ((None,), [])
