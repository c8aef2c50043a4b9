"""Every usual slip, planted in a small puzzle of each family and found again."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import pytest

from gridassay.encodings.board import Board
from gridassay.encodings.documents import read_document, read_rule
from gridassay.encodings.grid import Cell
from gridassay.encodings.puzzle import Fact, Puzzle
from gridassay.encodings.rules import RULES
from gridassay.encodings.rules.base import Rule
from gridassay.verify import check, read
from gridassay.verify.budget import Clock
from gridassay.verify.mending.misprints import altered_rules
from gridassay.verify.mending.slips import Slip, usual_slips

GRID = "123456456123231564564231312645645312"
"""A 6×6 grid with boxes of 2 rows and 3 columns, made up for these tests."""


def rule(kind: str, **fields: object) -> dict[str, object]:
    return {"kind": kind} | {key.replace("_", "-"): value for key, value in fields.items()}


RIGHT_AND_WRONG = [
    (rule("cage", cells="r1c1 r1c2 r2c2", sum=8), {"sum": 11}, "sum should be 8, not 11"),
    (rule("cage", cells="r1c3 r1c4 r1c5", sum=12), {"sum": 21}, "sum should be 12, not 21"),
    (
        rule("cage", cells="r1c1 r1c2", sum=3),
        {"cells": "r1c1 r1c2 r1c3"},
        "should not include r1c3",
    ),
    (
        rule("cage", cells="r1c1 r1c2 r1c3", sum=6),
        {"cells": "r1c1 r1c2"},
        "should also include r1c3",
    ),
    (
        rule("thermometer", cells="r1c1 r1c2 r1c3"),
        {"cells": "r1c3 r1c2 r1c1"},
        "should be read from its other end",
    ),
    (
        rule("greater", cells="r1c2 r1c1"),
        {"cells": "r1c1 r1c2"},
        "should be read from its other end",
    ),
    (
        rule("consecutive-pair", cells="r2c1 r2c2"),
        {"kind": "double-pair"},
        "should be consecutive-pair, not double-pair",
    ),
    (
        rule("little-killer", start="r1c4", direction="down-right", sum=10),
        {"direction": "down-left"},
        "direction should be down-right, not down-left",
    ),
    (rule("even", cells="r1c2"), {"kind": "odd"}, "should be even, not odd"),
]


def right_puzzle(table: dict[str, object]) -> Puzzle:
    """The rule on the 6×6 grid, with givens taken away while one solution is left."""
    whole = read(GRID)
    puzzle = replace(whole, rules=(read_rule(table),))
    assert next(puzzle.violations(check(whole).solutions[0]), None) is None
    for given in whole.givens:
        fewer = replace(puzzle, givens=tuple(g for g in puzzle.givens if g != given))
        if check(fewer).status == "unique":
            puzzle = fewer
    return puzzle


@pytest.mark.parametrize(("right", "wrong", "words"), RIGHT_AND_WRONG)
def test_a_misprinted_rule_is_found(
    right: dict[str, object], wrong: dict[str, object], words: str
) -> None:
    puzzle = right_puzzle(right)
    misprinted = replace(puzzle, rules=(read_rule(right | wrong),))
    assert check(misprinted).status in ("none", "multiple")
    found = usual_slips(misprinted, budget=Clock(60))
    assert found.complete
    mends = {slip.text.partition(": ")[2]: slip for slip in found.found}
    assert words in mends
    assert mends[words].puzzle.line(mends[words].solution) == GRID
    assert mends[words].puzzle.rules == puzzle.rules


def test_a_mark_may_be_meant_for_one_of_another_kind_with_its_own_number() -> None:
    board = Board(read(GRID).canvas)
    dot = read_rule(rule("consecutive-pair", cells="r1c1 r1c2"))
    tens = read_rule(rule("pair-sum", cells="r4c1 r4c2", sum=10))
    texts = {
        str(text): other for text, other in altered_rules(dot, "dot", board, [dot, tens, tens])
    }
    assert texts["dot: should be pair-sum with sum 10, not consecutive-pair"] == read_rule(
        rule("pair-sum", cells="r1c1 r1c2", sum=10)
    )
    back = {str(text) for text, _ in altered_rules(tens, "tens", board, [dot, tens])}
    assert "tens: should be consecutive-pair, not pair-sum" in back


CLASSIC = "53467891267219534819834256785976142342685379171392485696153728428741963534528617" + "9"
"""A 9×9 grid; its givens below are this file's own choice."""


def unique_classic() -> Puzzle:
    whole = read(CLASSIC)
    puzzle = whole
    for given in whole.givens[::2] + whole.givens[1::2]:
        fewer = replace(puzzle, givens=tuple(g for g in puzzle.givens if g != given))
        if check(fewer).status == "unique":
            puzzle = fewer
    return puzzle


def texts(puzzle: Puzzle) -> dict[str, str]:
    found = usual_slips(puzzle, budget=Clock(60))
    assert found.complete
    for slip in found.found:
        verdict = check(slip.puzzle)
        assert verdict.solutions == (slip.solution,)
        assert verdict.status == "unique"
    return {slip.text: slip.puzzle.line(slip.solution) for slip in found.found}


def test_a_changed_digit_is_found() -> None:
    puzzle = unique_classic()
    for place in range(0, len(puzzle.givens), 6):
        cell, digit = puzzle.givens[place]
        other = digit % 9 + 1
        givens = (*puzzle.givens[:place], Fact(cell, other), *puzzle.givens[place + 1 :])
        assert (
            texts(replace(puzzle, givens=givens))[f"{cell} should be {digit}, not {other}"]
            == CLASSIC
        )


def test_exchanged_digits_are_found() -> None:
    puzzle = unique_classic()
    first, second = next((a, b) for a in puzzle.givens for b in puzzle.givens if a.value < b.value)
    swapped = {
        first: Fact(first.variable, second.value),
        second: Fact(second.variable, first.value),
    }
    wrong = replace(puzzle, givens=tuple(swapped.get(given, given) for given in puzzle.givens))
    words = f"the digits in {first.variable} and {second.variable} should be swapped"
    reversed_words = f"the digits in {second.variable} and {first.variable} should be swapped"
    found = texts(wrong)
    assert CLASSIC in (found.get(words), found.get(reversed_words))


def test_a_given_one_cell_off_is_found() -> None:
    puzzle = unique_classic()
    taken = {given.variable for given in puzzle.givens}
    given, beside = next(
        (given, cell)
        for given in puzzle.givens
        if isinstance(given.variable, Cell)
        for cell in puzzle.canvas.neighbours(given.variable)
        if cell not in taken
    )
    moved = tuple(Fact(beside, g.value) if g == given else g for g in puzzle.givens)
    words = f"the {given.value} in {beside} belongs in {given.variable}"
    assert texts(replace(puzzle, givens=moved))[words] == CLASSIC


def test_slips_mend_a_puzzle_with_several_solutions_too() -> None:
    puzzle = unique_classic()
    for given in puzzle.givens:
        for digit in range(1, 10):
            givens = tuple(Fact(g.variable, digit) if g == given else g for g in puzzle.givens)
            wrong = replace(puzzle, givens=givens)
            if check(wrong).status == "multiple":
                assert (
                    texts(wrong)[f"{given.variable} should be {given.value}, not {digit}"]
                    == CLASSIC
                )
                return
    pytest.fail("no single changed digit of this puzzle leaves it several solutions")


def test_an_undecided_pool_is_settled_by_compiling_the_altered_rule() -> None:
    """A long cage whose right total is rare: no pool of solutions holds them all."""
    text = """
        size = 4
        givens = "1... .... .... ...."
        [[rule]]
        kind = "cage"
        cells = "r1c1 r1c2 r1c3 r2c4"
        sum = 19
        repeats = true
        [[rule]]
        kind = "thermometer"
        cells = "r1c1 r1c2 r1c3 r1c4"
        [[rule]]
        kind = "thermometer"
        cells = "r2c1 r2c2"
        [[rule]]
        kind = "thermometer"
        cells = "r3c1 r4c1"
        [[rule]]
        kind = "thermometer"
        cells = "r3c2 r4c2"
        """
    puzzle = read_document(text, "rare.toml")
    for slip in usual_slips(puzzle, budget=Clock(60)).found:
        assert check(slip.puzzle).solutions == (slip.solution,)


ABOVE = """
    size = 4
    [[rule]]
    kind = "above-neighbours"
    cells = "r2c3 r1c3"
    """
"""The smallest puzzle whose search for slips came to a wrong solution: its altered copies, compiled
beside it, were taken for drawn marks, so that some neighbours were not compared."""


def test_a_copy_that_is_tried_is_not_drawn_on_the_puzzle() -> None:
    puzzle = read_document(ABOVE, "above.toml")
    found = usual_slips(puzzle, budget=Clock(60))
    assert found.complete
    assert_every_slip_and_no_other(puzzle, found.found)


FOUR = "1234341221434321"
"""A 4×4 grid, made up for these tests."""

CONSECUTIVE = [
    rule("consecutive-pair", cells=f"{one} {other}")
    for one, digit in read(FOUR).givens
    for other, beside in read(FOUR).givens
    if one in read(FOUR).canvas.neighbours(other) and beside - digit == 1  # type: ignore[arg-type]
]

DOTS = [
    # One dot printed black for white: as printed, these two neighbours are not consecutive.
    (
        [rule("marks-complete", kinds=["consecutive-pair"])],
        CONSECUTIVE,
        {"kind": "double-pair"},
        "should be consecutive-pair, not double-pair",
    ),
    # A plus sign on one cell too few: the two are not compared with one another.
    (
        [rule("above-neighbours", cells="r3c3")],
        [rule("above-neighbours", cells="r1c1 r1c2")],
        {"cells": "r1c1"},
        "should also include r1c2",
    ),
]


@pytest.mark.parametrize(("others", "right", "wrong", "words"), DOTS)
def test_what_a_slip_draws_counts_for_the_rules_that_look_at_it(
    others: list[dict[str, object]],
    right: list[dict[str, object]],
    wrong: dict[str, object],
    words: str,
) -> None:
    plain = read("." * 16)
    whole = replace(plain, rules=tuple(map(read_rule, [*right, *others])))
    line = whole.line(check(whole).solutions[0])
    meant = whole.with_givens(read(line).givens)
    for given in meant.givens:
        fewer = meant.with_givens(one for one in meant.givens if one != given)
        if check(fewer).status == "unique":
            meant = fewer
    rules = (read_rule(right[0] | wrong), *meant.rules[1:])
    printed = replace(meant, rules=rules)
    found = usual_slips(printed, budget=Clock(60))
    assert found.complete
    mends = {slip.text.partition(": ")[2]: slip for slip in found.found}
    assert mends[words].puzzle.rules == meant.rules
    assert meant.line(mends[words].solution) == line
    assert_every_slip_and_no_other(printed, found.found)


def assert_every_slip_and_no_other(puzzle: Puzzle, found: Sequence[Slip]) -> None:
    """Every altered rule put into a puzzle of its own: the slips are these."""
    told = {slip.text: slip.solution for slip in found if ": " in slip.text}
    alone = {}
    for place, name in enumerate(puzzle.rule_names):
        for text, other in altered_rules(puzzle.rules[place], name, puzzle.board, puzzle.rules):
            rules = (*puzzle.rules[:place], other, *puzzle.rules[place + 1 :])
            verdict = check(replace(puzzle, rules=rules))
            if verdict.status == "unique":
                alone[str(text)] = verdict.solutions[0]
    assert told == alone


def test_without_time_the_search_says_that_it_is_not_complete() -> None:
    assert not usual_slips(read("11" + "." * 79), budget=Clock(0)).complete


@pytest.mark.parametrize("kind", sorted(RULES))
def test_every_kind_has_misprints_that_stand_on_the_board(kind: str) -> None:
    example = EXAMPLES.get(kind)
    if example is None:
        return
    board = Board(read("." * 81).canvas)
    plain = read_rule(example)
    plain.check(board)
    altered = list(altered_rules(plain, "it", board))
    assert altered
    for misprint, other in altered:
        assert isinstance(other, Rule)
        assert other != plain
        assert str(misprint).startswith("it: ")
        other.check(board)


EXAMPLES: dict[str, dict[str, object]] = {
    "arrow": rule("arrow", bulb="r1c1", shaft="r1c2 r1c3"),
    "cage": rule("cage", cells="r1c1 r1c2", sum=5),
    "sandwich": rule("sandwich", line="r3", sum=12),
    "palindrome": rule("palindrome", cells="r1c1..r1c4"),
    "renban": rule("renban", cells="r1c1..r1c4"),
    "x-sum": rule("x-sum", line="c2", side="top", sum=20),
    "pair-sum": rule("pair-sum", cells="r1c1 r1c2", sum=10),
    "little-killer": rule("little-killer", start="r1c2", direction="down-right", sum=19),
}


def test_a_digit_of_a_list_and_a_yes_for_a_no_are_slips() -> None:
    """1 and 2 stand in two cells in two orders; with "repeats" a total of 2 is 1 and 1."""
    text = (
        'rows = 1\ncolumns = 2\nhouses = "none"\ndigits = [1, 2, 3]\n'
        '[[rule]]\nkind = "cage"\ncells = "r1c1 r1c2"\nsum = 2\n'
    )
    said = {slip.text for slip in usual_slips(read_document(text), budget=60).found}
    assert "cage r1c1 r1c2: repeats should be true, not false" in said
    text = (
        'rows = 1\ncolumns = 2\nhouses = "none"\ndigits = [1, 2, 3]\n'
        '[[rule]]\nkind = "contains"\ncells = "r1c1 r1c2"\ndigits = [1, 2]\n'
    )
    puzzle = read_document(text)
    found = {slip.text: slip.solution for slip in usual_slips(puzzle, budget=60).found}
    name = puzzle.rule_names[0]
    # Two equal digits fill both cells; any two others stand in two orders.
    assert found[f"{name}: digits should be 1 1, not 1 2"] == (1, 1)
    assert found[f"{name}: digits should be 2 2, not 1 2"] == (2, 2)
    lists = {text for text in found if "digits" in text}
    assert lists == {
        f"{name}: digits should be 1 1, not 1 2",
        f"{name}: digits should be 2 2, not 1 2",
    }
