from __future__ import annotations

from random import Random
from typing import Any

import pytest

from gridassay.encodings.grid import Cell
from gridassay.encodings.puzzle import Fact, Puzzle, Solution
from gridassay.verify import check, read
from gridassay.verify.budget import Clock
from gridassay.verify.clue_worth import effects
from gridassay.verify.clue_worth.effects import Clues, clues, wasted_clues
from gridassay.verify.clue_worth.keepers import Search, keepers
from gridassay.verify.clue_worth.thinning import Thinned
from gridassay.verify.engines import engine_for, sat_engine_for
from gridassay.verify.engines.questions import Denial

from ...published import SEVENTEEN, killer
from ..small import CELLS, all_grids, fitting, puzzle_of


def some_puzzles(count: int) -> list[Puzzle]:
    """Puzzles with one solution and 4 to 9 givens, some of them wasted."""
    rng = Random(288)
    made: list[Puzzle] = []
    while len(made) < count:
        puzzle = puzzle_of(rng.choice(all_grids()), rng.sample(range(16), rng.randrange(4, 10)))
        if len(fitting(puzzle.givens)) == 1:
            made.append(puzzle)
    return made


@pytest.mark.parametrize("puzzle", some_puzzles(25), ids=Puzzle.given_line)
def test_effects_are_what_looking_through_all_grids_says(puzzle: Puzzle) -> None:
    [solution] = fitting(puzzle.givens)
    result = clues(puzzle)
    assert result.complete
    for effect, given in zip(result.givens, puzzle.givens, strict=True):
        assert effect.clue == given
        left = fitting(fact for fact in puzzle.givens if fact != given)
        assert effect.wasted is (len(left) == 1)
        assert effect.without is not None
        assert (effect.without.count, effect.without.exact) == (len(left), True)
        opens = [cell for p, cell in enumerate(CELLS) if len({grid[p] for grid in left}) > 1]
        assert effect.opens == tuple(opens)
        others = [_differing(solution, grid) for grid in left if grid != solution]
        if not others:
            assert effect.nearest is None
            continue
        assert effect.nearest is not None
        assert effect.nearest.exact
        assert effect.nearest.solution in left
        assert effect.nearest.cells == _differing(solution, effect.nearest.solution)
        assert len(effect.nearest.cells) == min(map(len, others))
        assert {fact.variable for fact in puzzle.givens} & {*effect.nearest.cells} == {
            given.variable
        }
    wasted = [effect.wasted for effect in result.givens]
    assert result.irreducible is not any(wasted)
    _droppable_is_maximal(puzzle, result)


def _differing(one: Solution, other: Solution) -> tuple[Cell, ...]:
    return tuple(cell for cell, a, b in zip(CELLS, one, other, strict=True) if a != b)


def _droppable_is_maximal(puzzle: Puzzle, result: Clues) -> None:
    assert result.droppable is not None
    kept = [fact for fact in puzzle.givens if fact not in result.droppable]
    assert len(fitting(kept)) == 1
    for given in kept:
        assert len(fitting(fact for fact in kept if fact != given)) > 1


@pytest.mark.parametrize("line", SEVENTEEN)
def test_no_given_of_a_published_17_is_wasted(line: str) -> None:
    puzzle = read(line)
    [known] = check(puzzle).solutions
    assert len(puzzle.givens) == 17
    with Thinned(puzzle, known, sat_engine_for(puzzle, Clock())) as thinned:
        others = dict(wasted_clues(thinned, Clock()))
    for given in puzzle.givens:
        other = others[given]
        assert other is not None
        place = puzzle.canvas.index[given.variable]  # type: ignore[index]
        assert other[place] != given.value


def test_spare_givens_are_wasted_one_by_one() -> None:
    # A given that the others imply may go; one of the 17 may go only where the spare ones stand in.
    puzzle = read(SEVENTEEN[1])
    [known] = check(puzzle).solutions
    given = {fact.variable for fact in puzzle.givens}
    spare = [Fact(c, d) for c, d in zip(puzzle.canvas.cells, known, strict=True) if c not in given]
    more = Puzzle(puzzle.canvas, puzzle.givens + tuple(Random(3).sample(spare, 10)))
    with Thinned(more, known, sat_engine_for(more, Clock())) as thinned:
        others = dict(wasted_clues(thinned, Clock()))
    assert all(others[fact] is None for fact in more.givens[17:])
    for fact in more.givens[:17]:
        rest = Puzzle(puzzle.canvas, tuple(other for other in more.givens if other != fact))
        assert (others[fact] is None) is (check(rest).status == "unique")


TIDE = """
title = "Two Channels"
size = 4
givens = "1... .... .... ...."
[[rule]]
id = "channel"
kind = "thermometer"
cells = "r1c1..r1c4"
[[rule]]
id = "quay"
kind = "cage"
cells = "r2c1 r2c2"
sum = {quay}
[[rule]]
id = "spare"
kind = "cage"
cells = "r1c1 r1c2"
sum = 3
[[rule]]
id = "never"
kind = "cage"
cells = "r4c4"
sum = 1
optional = true
[[rule]]
id = "shed"
kind = "cage"
cells = "r4c2 r4c3"
sum = "A"
[[rule]]
id = "lock"
kind = "cage"
cells = "r2c3 r4c4"
sum = "A"
"""


def test_rules_are_weighed_like_givens() -> None:
    compared = 0
    for grid in all_grids():
        givens = f"1... .{grid[5]}.. .... .{grid[13]}.."
        text = TIDE.format(quay=grid[4] + grid[5]).replace("1... .... .... ....", givens)
        puzzle = read(text)
        if len(_fitting_with_a_letter(puzzle)) != 1:
            continue
        compared += 1
        result = clues(puzzle)
        assert [effect.clue for effect in result.rules] == [
            "channel", "quay", "spare", "shed", "lock"
        ]  # fmt: skip
        for effect in result.rules:
            rest = tuple(rule for rule in puzzle.rules if rule.id != effect.clue)
            found = _fitting_with_a_letter(Puzzle(puzzle.canvas, puzzle.givens, rest))
            assert effect.without is not None
            assert effect.without.count == len(found)
            assert effect.wasted is (len(found) == 1)
            several = {p for p, _ in enumerate(found[0]) if len({one[p] for one in found}) > 1}
            shown = puzzle.board.shown
            assert effect.opens == tuple(v for p, v in enumerate(shown) if p in several)
        assert result.givens[0].wasted
    assert compared >= 2


def _fitting_with_a_letter(puzzle: Puzzle) -> list[Solution]:
    return [
        (*grid, a)
        for grid in fitting(puzzle.givens)
        for a in range(2, 9)
        if not [*puzzle.violations((*grid, a))]
    ]


def test_a_letter_goes_with_the_last_rule_that_mentions_it() -> None:
    # The whole grid is given, so every rule is wasted, and what a letter would be is nobody's matter.
    text = TIDE.format(quay=7).replace('"1... .... .... ...."', '"1234 3412 4321 2143"')
    puzzle = read(text.replace('cells = "r2c3 r4c4"', 'cells = "r2c4 r3c2"'))
    assert check(puzzle).status == "unique"
    result = clues(puzzle, keepers=Search("rules"))
    assert [effect.wasted for effect in result.rules] == [True] * 5
    assert result.keepers is not None
    assert result.keepers.size == 0


def test_dropping_stops_where_it_gets_hard(monkeypatch: pytest.MonkeyPatch) -> None:
    puzzle = read(killer())
    patient = clues(puzzle, deep=False, budget=60)
    monkeypatch.setattr(effects, "DROPPING_EFFORT", 0)
    hasty = clues(puzzle, deep=False, budget=60)
    assert patient.droppable is not None
    assert hasty.droppable is not None
    assert set(hasty.droppable) < set(patient.droppable)
    named = zip(puzzle.rule_names, puzzle.rules, strict=True)
    rest = tuple(rule for name, rule in named if name not in hasty.droppable)
    assert check(Puzzle(puzzle.canvas, (), rest)).status == "unique"


def test_nearest_solutions_without_a_rule() -> None:
    whole = read(killer())
    [known] = check(whole).solutions
    with Thinned(whole, known, sat_engine_for(whole, Clock(60))) as thinned:
        names = keepers(thinned, Search("rules"), Clock(1)).sets[0]
    rules = tuple(r for n, r in zip(whole.rule_names, whole.rules, strict=True) if n in names)
    puzzle = Puzzle(whole.canvas, (), rules)
    result = clues(puzzle, budget=120, limit=2)
    assert result.irreducible
    for effect in result.rules:
        assert effect.nearest is not None
        assert effect.nearest.exact
        assert effect.nearest.cells
        assert [*puzzle.violations(effect.nearest.solution)] == [effect.clue]


@pytest.mark.parametrize("name", ["sat", "cp"])
def test_engines_bound_how_many_assertions_are_true(name: Any) -> None:
    puzzle = puzzle_of(all_grids()[0], ())
    engine = engine_for(puzzle, Clock(60), name)
    bounds = engine.at_most([Denial(c, n) for c, n in zip(CELLS, all_grids()[0], strict=True)])
    assert len(bounds) == 16
    forbidden = engine.forbid(all_grids()[0])
    least = min(len(_differing(all_grids()[0], grid)) for grid in all_grids()[1:])
    assert engine.solve((), Clock(60), demands=[bounds[0]]) == all_grids()[0]
    assert engine.solve((), Clock(60), demands=[forbidden, bounds[least - 1]]) is None
    near = engine.solve((), Clock(60), demands=[forbidden, bounds[least]])
    assert near is not None
    assert len(_differing(all_grids()[0], near)) == least


def test_the_budget_stops_it_with_what_is_known() -> None:
    assert clues(read(SEVENTEEN[0]), budget=0).verdict.status in ("undecided", "unique")
    result = clues(read(SEVENTEEN[0]), budget=0.02)
    assert not result.complete
    assert result.to_json()["irreducible"] in (None, True)


def test_a_puzzle_with_several_solutions_is_not_weighed() -> None:
    result = clues(puzzle_of(all_grids()[0], [0]), keepers=Search())
    assert result.verdict.status == "multiple"
    assert result.givens == ()
    assert result.keepers is None
    assert result.irreducible is None


def test_json_keeps_the_contract() -> None:
    puzzle = some_puzzles(1)[0]
    told = clues(puzzle, keepers=Search(most=2)).to_json()
    assert told["verdict"] == "unique"
    assert isinstance(told["irreducible"], bool)
    first = told["givens"][0]
    assert {"cell", "digit", "wasted", "without", "opens"} <= first.keys()
    assert first["cell"] == str(puzzle.givens[0].variable)
    assert set(first["without"]) == {"count", "exact"}
    assert told["keepers"]["size"] == len(told["keepers"]["cells"])
    assert told["keepers"]["exact"] is True


def test_json_names_the_givens_of_layers_in_words() -> None:
    water = '[[layer]]\nname = "water"\nkind = "shading"\nvalues = ["deep", "shallow"]\n'
    puzzle = read(
        f'digits = "none"\nrows = 1\ncolumns = 2\n{water}givens = "d."\n[[rule]]\nkind = "count-in"\n'
        'layer = "water"\nvalue = "deep"\ncells = "r1c1 r1c2"\ncount = 1\n'
    )
    (given,) = clues(puzzle).to_json()["givens"]
    assert (given["unknown"], given["value"]) == ("water r1c1", "deep")
    assert given["nearest"]["layers"] == {"water": "sd"}
