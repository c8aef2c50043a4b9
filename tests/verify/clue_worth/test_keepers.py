from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from itertools import combinations, count
from random import Random

import clingo
import pytest

from gridassay.encodings.grid import Cell, classic
from gridassay.encodings.puzzle import Fact, Puzzle, Solution
from gridassay.verify import PuzzleError, check, read
from gridassay.verify.budget import Clock, OutOfTime
from gridassay.verify.clue_worth.keepers import Dropping, Keepers, Search, keepers
from gridassay.verify.clue_worth.orbits import PATTERNS, orbits
from gridassay.verify.clue_worth.thinning import Thinned
from gridassay.verify.engines import sat_engine_for

from ...published import SEVENTEEN
from ..small import CELLS, all_grids, fitting, puzzle_of, smallest_keepers

EVERY = 10_000


def enough(grid: Solution, size: int) -> list[frozenset[int]]:
    """All sets of so many places that no other grid agrees with."""
    others = [other for other in all_grids() if other != grid]
    return [
        frozenset(chosen)
        for chosen in combinations(range(16), size)
        if not any(all(other[p] == grid[p] for p in chosen) for other in others)
    ]


def hunt(puzzle: Puzzle, search: Search, seconds: float = 60) -> Keepers:
    clock = Clock(seconds)
    [known] = check(puzzle).solutions
    with Thinned(puzzle, known, sat_engine_for(puzzle, Clock(60))) as thinned:
        return keepers(thinned, search, clock)


def places(found: Keepers) -> set[frozenset[int]]:
    return {
        frozenset(CELLS.index(fact.variable) for fact in clues if isinstance(fact, Fact))
        for clues in found.sets
    }


@pytest.mark.parametrize("number", range(0, 288, 41))
def test_all_keeper_sets_of_a_full_grid(number: int) -> None:
    grid = all_grids()[number]
    found = hunt(puzzle_of(grid, range(16)), Search(most=EVERY))
    assert found.exact
    assert found.all_listed
    assert len(found.sets) == len(places(found))
    assert places(found) == set(smallest_keepers(grid, range(16)))


@pytest.mark.slow
def test_the_least_number_of_givens_at_4x4() -> None:
    # Published: no 4×4 puzzle with 3 givens has one solution, and some with 4 have.
    # What the digits are called changes nothing: one grid of each 24 is enough.
    least = []
    for grid in (one for one in all_grids() if tuple(one[:4]) == (1, 2, 3, 4)):
        found = hunt(puzzle_of(grid, range(16)), Search())
        assert found.exact
        assert found.size == len(smallest_keepers(grid, range(16))[0])
        least.append(found.size)
    assert (len(least), min(least)) == (12, 4)


@pytest.mark.parametrize("seed", range(12))
def test_keeper_sets_among_some_givens(seed: int) -> None:
    rng = Random(seed)
    grid = rng.choice(all_grids())
    core = rng.choice(smallest_keepers(grid, range(16)))
    chosen = sorted(core | set(rng.sample(range(16), 6)))
    found = hunt(puzzle_of(grid, chosen), Search(most=EVERY))
    assert places(found) == set(smallest_keepers(grid, chosen))


def test_what_must_stay_stays_and_costs() -> None:
    grid = all_grids()[0]
    puzzle = puzzle_of(grid, range(16))
    forced = (CELLS[0], CELLS[1], CELLS[2], CELLS[3])
    found = hunt(puzzle, Search(keep=forced, most=EVERY))
    sizes = (size for size in range(4, 17) if any({0, 1, 2, 3} <= k for k in enough(grid, size)))
    assert found.size == next(sizes)
    assert all({0, 1, 2, 3} <= kept for kept in places(found))


def test_orbits_are_dropped_whole() -> None:
    grid = all_grids()[100]
    found = hunt(puzzle_of(grid, range(16)), Search(symmetric="half turn", most=EVERY))
    kept = next(
        symmetric
        for size in range(2, 17, 2)
        if (symmetric := {k for k in enough(grid, size) if k == {15 - p for p in k}})
    )
    assert places(found) == kept


@pytest.mark.parametrize("pattern", PATTERNS)
def test_orbits_divide_the_cells(pattern: str) -> None:
    grouped = orbits(CELLS, classic(4), pattern)
    assert sorted(cell for orbit in grouped for cell in orbit) == sorted(CELLS)
    corner = next(orbit for orbit in grouped if Cell(1, 1) in orbit)
    expected = {"quarter turn": 4, "falling diagonal mirror": 1}.get(pattern, 2)
    assert len(corner) == expected


def test_planted_redundancy_at_9x9() -> None:
    # No puzzle of 16 givens has one solution (McGuire, Tugemann, Civario 2014), so 17 stay.
    rng = Random(5)
    puzzle = read(SEVENTEEN[0])
    [solution] = check(puzzle).solutions
    given = {fact.variable for fact in puzzle.givens}
    spare = [
        Fact(cell, digit)
        for cell, digit in zip(puzzle.canvas.cells, solution, strict=True)
        if cell not in given
    ]
    planted = rng.sample(spare, 12)
    found = hunt(replace(puzzle, givens=puzzle.givens + tuple(planted)), Search(most=50))
    assert found.exact
    assert found.size == 17
    assert set(puzzle.givens) in [set(clues) for clues in found.sets]
    for clues in found.sets:
        kept = tuple(fact for fact in clues if isinstance(fact, Fact))
        assert check(replace(puzzle, givens=kept)).status == "unique"


VARIANT = """
size = 4
givens = "{3}... .... ..{4}. ...{5}"
[[rule]]
kind = "cage"
cells = "r1c2 r2c2"
sum = {0}
[[rule]]
kind = "cage"
cells = "r3c1 r4c1"
sum = {1}
[[rule]]
kind = "cage"
cells = "r2c3 r2c4"
sum = {2}
[[rule]]
kind = "thermometer"
cells = "r4c2 r4c3"
[[rule]]
kind = "thermometer"
cells = "r1c3 r1c4"
[[rule]]
kind = "thermometer"
cells = "r2c4 r3c4"
"""

# The same clues for clingo, written apart from gridassay: broken(G,E) where grid G breaks clue E.
GRIDS = """
1 { d(R,C,V) : V=1..4 } 1 :- R=1..4, C=1..4.
:- d(R,C,V), d(R,D,V), C<D.
:- d(R,C,V), d(S,C,V), R<S.
:- d(R,C,V), d(S,D,V), (R-1)/2=(S-1)/2, (C-1)/2=(D-1)/2, (R,C)<(S,D).
broken(1) :- not d(1,1,s3).
broken(2) :- not d(3,3,s4).
broken(9) :- not d(4,4,s5).
broken(3) :- d(1,2,V), d(2,2,W), V+W!=s0.
broken(4) :- d(3,1,V), d(4,1,W), V+W!=s1.
broken(5) :- d(2,3,V), d(2,4,W), V+W!=s2.
broken(6) :- d(4,2,V), d(4,3,W), V>=W.
broken(7) :- d(1,3,V), d(1,4,W), V>=W.
broken(8) :- d(2,4,V), d(3,4,W), V>=W.
#show broken/1.
"""
CHOICE = """
{ keep(1..9) }.
:- other(G), not keep(E) : broken(G,E).
#minimize { 1,E : keep(E) }.
"""


def by_clingo(numbers: tuple[int, ...]) -> tuple[int, int]:
    """How many grids keep every clue, and the size of a smallest keeper set over all clues."""
    control = clingo.Control(["0", *(f"-cs{n}={number}" for n, number in enumerate(numbers))])
    control.add("base", [], GRIDS)
    control.ground([("base", [])])
    broken: list[list[int]] = []
    control.solve(
        on_model=lambda m: broken.append([s.arguments[0].number for s in m.symbols(shown=True)])
    )
    facts = "".join(
        f"other({g}). " + "".join(f"broken({g},{e}). " for e in clues)
        for g, clues in enumerate(broken)
        if clues
    )
    chooser = clingo.Control(["--opt-mode=opt"])
    chooser.add("base", [], facts + CHOICE)
    chooser.ground([("base", [])])
    costs: list[int] = []
    chooser.solve(on_model=lambda m: costs.append(m.cost[0]))
    return sum(not clues for clues in broken), costs[-1]


def numbers_of(grid: Solution) -> tuple[int, ...]:
    """The totals and givens of the layout that a grid keeps."""
    return grid[1] + grid[5], grid[8] + grid[12], grid[6] + grid[7], grid[0], grid[10], grid[15]


NUMBERS = sorted(map(numbers_of, all_grids()[::4]))


def test_agrees_with_an_independent_clingo_program() -> None:
    compared = 0
    for numbers in NUMBERS:
        puzzle = read(VARIANT.format(*numbers))
        fitting, size = by_clingo(numbers)
        assert check(puzzle).status == ("none", "unique", "multiple")[min(fitting, 2)]
        if fitting == 1:
            found = hunt(puzzle, Search("both"))
            assert found.exact
            assert found.size == size
            compared += 1
    assert compared >= 5


def test_only_rules_are_dropped_when_asked_over_rules() -> None:
    puzzle = next(
        candidate
        for numbers in NUMBERS
        if check(candidate := read(VARIANT.format(*numbers))).status == "unique"
    )
    found = hunt(puzzle, Search("rules", keep=(puzzle.rule_names[-1],)))
    assert puzzle.rule_names[-1] in found.sets[0]
    kept = [
        rule
        for name, rule in zip(puzzle.rule_names, puzzle.rules, strict=True)
        if name in found.sets[0]
    ]
    assert len(kept) == found.size
    assert check(replace(puzzle, rules=tuple(kept))).status == "unique"


def test_out_of_time_gives_what_is_known() -> None:
    found = hunt(puzzle_of(all_grids()[0], range(16)), Search(), seconds=-1)
    assert not found.exact
    assert found.size == 16
    assert 0 <= found.lower_bound <= 4


@pytest.mark.parametrize(
    ("search", "message"),
    [
        (Search(keep=(Cell(1, 1), Cell(9, 9))), "cannot keep r9c9: it is not among the clues"),
        (Search(keep=("cage#1",)), "cannot keep cage#1: it is not among the clues"),
        (Search(symmetric="spiral"), "there is no pattern 'spiral', only half turn"),
    ],
)
def test_searches_that_cannot_be(search: Search, message: str) -> None:
    with pytest.raises(PuzzleError, match=message):
        hunt(puzzle_of(all_grids()[0], range(16)), search)


@pytest.mark.parametrize("seed", range(10))
def test_what_is_kept_is_enough_and_none_of_it_can_go(seed: int) -> None:
    """Held against all 288 grids: more givens than are needed, one by one and two by two."""
    chance = Random(seed)
    grid = chance.choice(all_grids())
    puzzle = puzzle_of(grid, range(16))
    givens = chance.sample(list(puzzle.givens), 16)
    bundles = [givens[n : n + 2] for n in range(0, 16, 2)] if seed % 2 else [[g] for g in givens]
    with Thinned(puzzle, grid, sat_engine_for(puzzle, Clock(60))) as thinned:
        kept = Dropping(thinned, bundles).irreducible(range(len(bundles)), Clock(60))

    def fits(numbers: set[int]) -> int:
        facts = [fact for number in numbers for fact in bundles[number]]
        return len(fitting(facts))

    assert fits(kept) == 1
    assert len(kept) < len(bundles)
    assert all(fits(kept - {number}) > 1 for number in kept)


def test_the_bound_of_an_unfinished_search_counts_what_must_stay() -> None:
    """Stopped after every try: never below what stays, never above the least by brute force."""
    bounds = []
    for grid in (all_grids()[0], all_grids()[100]):
        puzzle = puzzle_of(grid, range(16))
        [known] = check(puzzle).solutions
        for stays in (1, 2):
            forced = CELLS[:stays]
            least = next(
                size
                for size in range(4, 17)
                if any(set(range(stays)) <= kept for kept in enough(grid, size))
            )
            for last in range(1, 5):
                tried = count(1)

                def stop(tried: Iterator[int] = tried, last: int = last) -> None:
                    if next(tried) == last:
                        raise OutOfTime

                with Thinned(puzzle, known, sat_engine_for(puzzle, Clock(60))) as thinned:
                    found = keepers(thinned, Search(keep=forced), Clock(60), stop)
                assert stays <= found.lower_bound <= least <= found.size
                bounds += [] if found.exact else [found.lower_bound - stays]
    assert max(bounds) > 0


@pytest.mark.parametrize("seed", range(6))
def test_a_set_that_another_grid_breaks_is_made_minimal(seed: int) -> None:
    """By all 288 grids: one agrees with everything beside the set, none if any of it is kept too."""
    rng = Random(seed)
    grid, other = rng.sample(all_grids(), 2)
    puzzle = puzzle_of(grid, range(16))
    [known] = check(puzzle).solutions
    with Thinned(puzzle, known, sat_engine_for(puzzle, Clock(60))) as thinned:
        dropping = Dropping(thinned, [[given] for given in puzzle.givens])
        missing = dropping.shrink_missing(other, [rng.randrange(9) for _ in range(16)], Clock(60))

    def let_in(without: frozenset[int]) -> bool:
        beside = set(range(16)) - without
        return any(one != grid and all(one[p] == grid[p] for p in beside) for one in all_grids())

    assert let_in(missing)
    assert not any(let_in(missing - {number}) for number in missing)


def test_json_lists_the_sets_only_if_several_are_asked_for() -> None:
    puzzle = puzzle_of(all_grids()[0], range(16))
    assert not {"sets", "all_listed"} & set(hunt(puzzle, Search()).to_json())
    several = hunt(puzzle, Search(most=3)).to_json()
    assert len(several["sets"]) == 3
    assert several["all_listed"] is False
