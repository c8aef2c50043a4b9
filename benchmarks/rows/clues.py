"""Rows for the worth of clues: wasted or not, keeper sets, a variant with many rules."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from random import Random
from time import process_time

from benchmarks.corpora import lines
from benchmarks.measure import Measured, Row, inverse, ratio, spread
from benchmarks.peers import cp_per_puzzle
from gridassay.encodings.grid import Cell
from gridassay.encodings.puzzle import Fact, Puzzle
from gridassay.verify import check, read
from gridassay.verify.budget import Clock
from gridassay.verify.clue_worth.effects import clues, wasted_clues
from gridassay.verify.clue_worth.keepers import Search, keepers
from gridassay.verify.clue_worth.thinning import Thinned
from gridassay.verify.engines import sat_engine_for


@cache
def _with_givens(count: int, puzzles: int = 8) -> tuple[Puzzle, ...]:
    """Minimal 17-given puzzles with givens of their solutions added at random."""
    rng = Random(count)
    made = []
    for line in lines("seventeen")[:puzzles]:
        puzzle = read(line)
        [solution] = check(puzzle).solutions
        given = {fact.variable for fact in puzzle.givens}
        pairs = zip(puzzle.canvas.cells, solution, strict=True)
        spare = [Fact(cell, digit) for cell, digit in pairs if cell not in given]
        more = rng.sample(spare, count - len(given))
        made.append(replace(puzzle, givens=tuple(sorted((*puzzle.givens, *more)))))
    return tuple(made)


def _wasted(puzzle: Puzzle) -> list[bool]:
    """Whether each given is wasted, the verdict that this rests on included."""
    [known] = check(puzzle).solutions
    clock = Clock()
    with Thinned(puzzle, known, sat_engine_for(puzzle, clock)) as thinned:
        return [other is None for _, other in wasted_clues(thinned, clock)]


def _wasted_by_cp(puzzle: Puzzle) -> list[bool]:
    return [
        cp_per_puzzle.count(replace(puzzle, givens=_others(puzzle, given)).given_line()) == 1
        for given in puzzle.givens
    ]


def _others(puzzle: Puzzle, given: Fact) -> tuple[Fact, ...]:
    return tuple(other for other in puzzle.givens if other != given)


def wasted_in_verdicts(count: int, quick: bool) -> Measured:
    """All of "wasted or not" of a puzzle against its verdict, both warm."""
    puzzles = _with_givens(count)
    return ratio(
        lambda: [_wasted(puzzle) for puzzle in puzzles],
        lambda: [check(puzzle) for puzzle in puzzles],
        rounds=8 if quick else 30,
        each=len(puzzles),
    )


def wasted_against_cp(quick: bool) -> Measured:
    """The same against an OR-Tools model built without each given."""
    puzzles = _with_givens(30)
    if [_wasted(puzzle) for puzzle in puzzles] != [_wasted_by_cp(puzzle) for puzzle in puzzles]:
        raise AssertionError("OR-Tools calls other givens wasted than gridassay")
    return inverse(
        ratio(
            lambda: [_wasted(puzzle) for puzzle in puzzles],
            lambda: [_wasted_by_cp(puzzle) for puzzle in puzzles],
            rounds=3 if quick else 8,
            each=len(puzzles),
        )
    )


def exact_keepers(count: int, quick: bool) -> Measured:
    """Processor seconds to an exact keeper set among so many givens, over several puzzles."""
    taken = []
    for puzzle in _with_givens(count)[: 3 if quick else 8]:
        [known] = check(puzzle).solutions
        clock = Clock(120)
        with Thinned(puzzle, known, sat_engine_for(puzzle, clock)) as thinned:
            started = process_time()
            found = keepers(thinned, Search(), clock)
            taken.append(process_time() - started)
        if not found.exact:
            raise AssertionError(f"no exact keeper set of {count} givens in two minutes")
    return spread(taken, f"slowest {max(taken):.2g} s")


def many_rules(quick: bool) -> Measured:
    """Processor seconds for the whole analysis of 30 cages without givens, keeper set included."""
    puzzle = _thirty_cages()
    started = process_time()
    found = clues(puzzle, budget=120, keepers=Search("rules"))
    if not (found.complete and found.keepers and found.keepers.exact):
        raise AssertionError("the cages are not weighed in two minutes")
    return spread([process_time() - started])


def _thirty_cages() -> Puzzle:
    """Cages grown at random on a solution, the first seed that leaves one."""
    [solution] = check(read(lines("seventeen")[0])).solutions
    canvas = read(lines("seventeen")[0]).canvas
    value = dict(zip(canvas.cells, solution, strict=True))
    for seed in range(1000):
        rng = Random(seed)
        free = set(canvas.cells)
        cages: list[list[Cell]] = []
        while free and len(cages) < 30:
            cage = [rng.choice(sorted(free))]
            free.discard(cage[0])
            while len(cage) < rng.choice((2, 3, 3, 4)):
                held = {value[cell] for cell in cage}
                around = {n for c in cage for n in canvas.neighbours(c)} & free
                fitting = sorted(n for n in around if value[n] not in held)
                if not fitting:
                    break
                cage.append(rng.choice(fitting))
                free.discard(cage[-1])
            cages.append(cage)
        text = "\n".join(
            f'[[rule]]\nkind = "cage"\ncells = "{" ".join(map(str, cage))}"\n'
            f"sum = {sum(value[cell] for cell in cage)}"
            for cage in cages
        )
        puzzle = read(text)
        if len(cages) == 30 and check(puzzle).status == "unique":
            return puzzle
    raise AssertionError("no seed leaves one solution")


ROWS = (
    Row(5, "24 givens: all wasted or not, in verdicts", "at most", 10, "×",
        lambda quick: wasted_in_verdicts(24, quick)),
    Row(5, "40 givens: all wasted or not, in verdicts", "at most", 10, "×",
        lambda quick: wasted_in_verdicts(40, quick)),
    Row(5, "30 givens: OR-Tools without each against us", "at least", 40, "×", wasted_against_cp),
    Row(5, "exact keeper set of 40 givens", "at most", 1, "s",
        lambda quick: exact_keepers(40, quick)),
    Row(5, "exact keeper set of 50 givens", "at most", 1, "s",
        lambda quick: exact_keepers(50, quick)),
    Row(5, "30 cages, no givens: analysis and keeper set", "at most", 10, "s", many_rules),
)  # fmt: skip
