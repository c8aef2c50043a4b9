"""Pairs and crossings: witnesses, and the numbers of pairs that each mark leaves."""

from __future__ import annotations

from itertools import product

import pytest

from gridassay.encodings.documents import read_document
from gridassay.encodings.lines import PuzzleError
from gridassay.encodings.puzzle import Puzzle
from gridassay.verify.engines.sat import SatEngine

from .witnesses import CLOCK, bare, solutions, witnesses

FROM_ZERO = 'rows = 1\ncolumns = 2\nhouses = "none"\ndigits = [0, 1, 2, 3, 4]\n'


def mark(kind: str, fields: str = "", cells: str = "r1c1 r1c2") -> str:
    return f'[[rule]]\nkind = "{kind}"\ncells = "{cells}"\n{fields}\n'


def count(puzzle: Puzzle) -> int:
    return len(solutions(SatEngine(puzzle.model, CLOCK)))


MARKS = [
    ("consecutive-pair", ""),
    ("double-pair", ""),
    ("pair-sum", "sum = 5"),
    ("pair-sum", "sum = 99"),
    ("pair-sum", 'sum = "A"'),
    ("pair-difference", "value = 2"),
    ("pair-difference", "value = 0"),
    ("pair-difference", "value = -1"),
    ("pair-difference", 'value = "A"'),
    ("pair-ratio", "value = 3"),
    ("pair-ratio", "value = 1"),
    ("pair-ratio", "value = 0"),
    ("pair-ratio", 'value = "A"'),
    ("greater", ""),
]


@pytest.mark.parametrize(("kind", "fields"), MARKS)
def test_witnesses(kind: str, fields: str) -> None:
    witnesses(bare(1, 2, 6, mark(kind, fields)))
    witnesses(read_document(FROM_ZERO + mark(kind, fields)))


@pytest.mark.parametrize(("kind", "fields"), MARKS)
def test_witnesses_with_doublers(kind: str, fields: str) -> None:
    witnesses(bare(1, 2, 4, mark(kind, fields), "[doublers]"))


def test_a_letter_is_one_number_in_every_mark() -> None:
    two = mark("pair-sum", 'sum = "A"') + mark("pair-ratio", 'value = "A"', "r1c2 r1c3")
    # Of a + b = A and c = A·b or b = A·c, digits 1 to 4, by hand: b = 1 leaves (a, c, A) = (1, 2, 2),
    # (2, 3, 3) and (3, 4, 4); with b > 1 A is more than b, so that c = A·b is at least 6: none.
    assert witnesses(bare(1, 3, 4, two)) == 3


@pytest.mark.parametrize("n", [4, 5, 9])
def test_numbers_of_pairs(n: int) -> None:
    # Counting formulas: 2(n−1) ordered pairs differ by 1, 2⌊n/2⌋ are one twice the other, n(n−1)/2
    # fall; 2(n−d) differ by d; n−|n+1−s| total s; 2⌊n/k⌋ are in the ratio k > 1.
    assert count(bare(1, 2, n, mark("consecutive-pair"))) == 2 * (n - 1)
    assert count(bare(1, 2, n, mark("double-pair"))) == 2 * (n // 2)
    assert count(bare(1, 2, n, mark("greater"))) == n * (n - 1) // 2
    assert count(bare(1, 2, n, mark("pair-difference", "value = 3"))) == 2 * (n - 3)
    assert count(bare(1, 2, n, mark("pair-ratio", "value = 3"))) == 2 * (n // 3)
    for total in (2, 5, n, n + 1, n + 4, 2 * n):
        assert count(bare(1, 2, n, mark("pair-sum", f"sum = {total}"))) == n - abs(n + 1 - total)


CROSSING = "r1c1 r1c2 r2c1 r2c2"


@pytest.mark.parametrize(
    "digits", ["[3]", "[1, 4]", "[2, 2]", "[1, 2, 2, 3]", "[1, 1, 1, 1, 1]", "[9]"]
)
def test_contains_witnesses(digits: str) -> None:
    witnesses(bare(2, 2, 4, mark("contains", f"digits = {digits}", CROSSING)))


def test_contains_counts() -> None:
    # Inclusion and exclusion: words of length 4 over n letters with both of two given letters.
    n = 6
    found = count(bare(2, 2, n, mark("contains", "digits = [2, 5]", CROSSING)))
    assert found == n**4 - 2 * (n - 1) ** 4 + (n - 2) ** 4
    # A letter at least twice: all words but those with none or exactly one.
    found = count(bare(2, 2, n, mark("contains", "digits = [2, 2]", CROSSING)))
    assert found == n**4 - (n - 1) ** 4 - 4 * (n - 1) ** 3


def complete(kinds: str, fields: str = "") -> str:
    return f'[[rule]]\nkind = "marks-complete"\nkinds = {kinds}\n{fields}\n'


COMPLETE = [
    complete('["consecutive-pair"]'),
    complete('["consecutive-pair", "double-pair"]'),
    complete('["pair-sum"]', "sums = [5, 6]"),
    complete('["pair-difference"]', "differences = [0, 2]"),
    complete('["pair-ratio", "pair-sum"]', "ratios = [3]\nsums = [4]"),
]


@pytest.mark.parametrize("rule", COMPLETE)
@pytest.mark.parametrize(
    "drawn", ["", mark("consecutive-pair"), mark("pair-sum", "sum = 7", "r2c2 r1c2")]
)
def test_complete_witnesses(rule: str, drawn: str) -> None:
    witnesses(bare(2, 2, 4, rule + drawn))


@pytest.mark.parametrize("rule", COMPLETE)
def test_complete_witnesses_with_doublers(rule: str) -> None:
    witnesses(bare(1, 3, 4, rule + mark("consecutive-pair"), "[doublers]"))


def test_complete_against_brute_force() -> None:
    rule = complete('["consecutive-pair", "double-pair"]') + mark("double-pair")
    expected = {
        (a, b, c, d)
        for a, b, c, d in product(range(1, 5), repeat=4)
        if a in (2 * b, b / 2)
        and all(abs(x - y) != 1 and max(x, y) != 2 * min(x, y) for x, y in ((a, c), (b, d), (c, d)))
    }
    assert set(solutions(SatEngine(bare(2, 2, 4, rule).model, CLOCK))) == expected


def test_kinds_complete_separately_exempt_only_their_own() -> None:
    apart = complete('["consecutive-pair"]') + complete('["double-pair"]')
    # 1 and 2 would deserve both dots: with the black one only, the white rule forbids them.
    dotted = bare(1, 2, 4, apart + mark("double-pair"))
    together = complete('["consecutive-pair", "double-pair"]')
    both = bare(1, 2, 4, together + mark("double-pair"))
    assert set(solutions(SatEngine(dotted.model, CLOCK))) == {(2, 4), (4, 2)}
    assert set(solutions(SatEngine(both.model, CLOCK))) == {(1, 2), (2, 1), (2, 4), (4, 2)}


def test_a_mark_exempts_its_pair_while_off() -> None:
    puzzle = bare(1, 2, 4, complete('["consecutive-pair"]') + mark("consecutive-pair"))
    found = solutions(SatEngine(puzzle.model, CLOCK), ["marks-complete"])
    assert len(found) == 16


def test_a_mark_that_lies_exempts_its_pair() -> None:
    liar = '[[rule]]\nkind = "exactly"\ncount = 0\n[[rule.of]]\n'
    lie = mark("consecutive-pair").removeprefix("[[rule]]\n")
    puzzle = bare(1, 3, 3, complete('["consecutive-pair"]') + liar + lie)
    # Neither pair is consecutive, one because its mark lies and one because it has none.
    assert witnesses(puzzle) == sum(
        abs(a - b) != 1 and abs(b - c) != 1 for a, b, c in product((1, 2, 3), repeat=3)
    )
    labels = [part.label for part in puzzle.rules[0].parts(puzzle.board)]
    assert labels == ["no mark r1c2–r1c3"]


def test_complete_says_what_it_means() -> None:
    text = complete('["pair-sum", "consecutive-pair"]', "sums = [5, 10]")
    assert bare(2, 2, 4, text).rules[0].wording() == (
        "All sums of 5 or 10 and white dots are given: two cells that share a side and have none of "
        "these between them neither add up to 5 or 10 nor hold consecutive digits."
    )


@pytest.mark.parametrize(
    ("rule", "message"),
    [
        (mark("greater", cells="r1c1"), "cells lists 1, but 2 are needed"),
        (mark("greater", cells="r1c1 r1c1"), "r1c1 is listed twice"),
        (mark("greater", cells="r1c1 r9c1"), "r9c1 is not on the canvas"),
        (mark("pair-sum"), "sum is missing"),
        (mark("pair-sum", "sum = true"), "sum: this must be a number or a letter"),
        (mark("contains", "digits = []"), "digits: nothing is listed"),
        (mark("contains", "digits = 1"), "digits: this must be an array"),
        (mark("contains", "digits = [1]", "r1c1 r1c1"), "r1c1 is listed twice"),
        (complete('["pair-sum"]'), "pair-sum is among the kinds: say which sums are complete"),
        (complete('["double-pair"]', "sums = [5]"), "sums is given, but pair-sum is not among"),
        (complete('["double-pair", "double-pair"]'), "a kind is listed twice"),
        (complete('["double-pear"]'), "did you mean 'double-pair'?"),
        (complete('["double-pair"]', 'grid = "B"'), "there is no grid 'B', only a bare canvas"),
    ],
)
def test_errors(rule: str, message: str) -> None:
    with pytest.raises(PuzzleError) as caught:
        bare(2, 2, 4, rule)
    assert message in str(caught.value)
    assert "rule 1" in str(caught.value)


@pytest.mark.parametrize(
    ("cells", "sign"),
    [("r1c1 r1c2", ">"), ("r1c2 r1c1", "<"), ("r1c1 r2c1", "∨"), ("r2c1 r1c1", "∧")],
)
def test_the_sign_opens_towards_the_greater(cells: str, sign: str) -> None:
    puzzle = bare(2, 2, 4, mark("greater", cells=cells))
    assert [shape.label for shape in puzzle.rules[0].shapes(puzzle.board)] == [sign]


@pytest.mark.parametrize(
    ("cells", "crossing"),
    [
        ("r1c1 r1c2 r2c1 r2c2", True),
        ("r2c2 r1c1 r2c1 r1c2", True),
        ("r1c1 r1c2 r1c3 r2c2", False),
        ("r1c1 r1c3 r3c1 r3c3", False),
        ("r1c1 r1c2 r2c1", False),
    ],
)
def test_only_four_cells_around_one_point_are_called_a_crossing(cells: str, crossing: bool) -> None:
    """By a look at each: the second has the cells of the first in another order."""
    [rule] = bare(3, 3, 9, mark("contains", "digits = [1, 2]", cells)).rules
    assert ("crossing" in rule.wording()) is crossing
    assert ("Among the digits in" in rule.wording()) is not crossing
