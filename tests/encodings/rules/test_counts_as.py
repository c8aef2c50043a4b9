"""Cells of a shading that count as something else, under every kind of rule that adds or compares.

What a board allows is worked out here from the readings of the attack, which were written again from
the descriptions, with values by formulas of Python's own: every digit and shade of small boards.
"""

from __future__ import annotations

from collections.abc import Callable
from itertools import product
from typing import Any

import pytest

from gridassay.encodings.documents import read_document
from gridassay.encodings.lines import PuzzleError
from gridassay.encodings.puzzle import Puzzle
from gridassay.encodings.rules import RULES
from gridassay.encodings.variables import Letter
from gridassay.verify import check

from ...attack.boards import Board, cells_of
from ...attack.counted_cells import NOTHING
from ...attack.layers import _toml
from ...attack.readings import READINGS, Scene
from .witnesses import witnesses

LAYER = '[[layer]]\nname = "water"\nkind = "shading"\nvalues = ["deep", "shallow"]\n'
WAYS: dict[str, Callable[[int], int]] = {
    "-d": lambda d: -d,
    "2*d": lambda d: 2 * d,
    "0": lambda d: 0,
    "d - 2": lambda d: d - 2,
    "d": lambda d: d,
}
BOTH = (("-d", "d"), ("2*d", "d - 2"), ("0", "d"))
THREE = {"cells": "r1c1 r1c2 r1c3"}
TWO = {"cells": "r1c1 r1c2"}
SIDE = {"line": "r1", "side": "left"}
RULES_ON_VALUES: tuple[tuple[str, dict[str, Any]], ...] = (
    ("cage", THREE | {"sum": 2}),
    ("cage", THREE | {"sum": -3, "repeats": True}),
    ("cage", TWO | {"at-least": -1, "at-most": 1, "repeats": True}),
    ("cage", TWO | {"sum": "A", "repeats": True}),
    *(
        ("calculation-cage", THREE | {"operation": sign, "target": target})
        for sign in "+-*/"
        for target in (-2, 0, 1, "A")
    ),
    ("calculation-cage", TWO | {"target": -1}),
    ("calculation-cage", {"cells": "r1c2", "target": -1}),
    ("equal-sums", {"groups": ["r1c1 r1c2", "r1c3"]}),
    ("greater-sum", {"groups": ["r1c1 r1c2", "r1c3"]}),
    ("thermometer", THREE),
    ("slow-thermometer", THREE),
    ("arrow", {"bulb": "r1c1", "shaft": "r1c2 r1c3"}),
    ("double-arrow", THREE),
    ("palindrome", THREE),
    ("renban", THREE),
    ("whisper", THREE | {"difference": 3}),
    ("spread", THREE | {"difference": 2}),
    ("between-ends", THREE),
    ("outside-ends", THREE | {"difference": 2}),
    ("zipper", THREE),
    ("modular", THREE | {"modulus": 2}),
    ("parity-line", THREE),
    *(("sum-run", THREE | {"total": total}) for total in (-2, 0, 1, 3, "A")),
    ("equal-difference", THREE),
    ("progression", THREE),
    ("consecutive-pair", TWO),
    ("double-pair", TWO),
    ("greater", TWO),
    *(("pair-sum", TWO | {"sum": total}) for total in (-2, 1, "A")),
    *(("pair-difference", TWO | {"value": value}) for value in (0, 3, "A")),
    *(("pair-ratio", TWO | {"value": value}) for value in (-1, 2)),
    ("marks-complete", {"kinds": ["consecutive-pair", "double-pair"]}),
    ("marks-complete", {"kinds": ["pair-sum"], "sums": [0, -2]}),
    ("nonconsecutive", {}),
    ("little-killer", {"start": "r1c1", "direction": "down-right", "sum": -1}),
    *(("sandwich", {"line": "r1", "sum": total}) for total in (-2, 0, "A")),
    *(("battlefield", {"line": "r1", "sum": total}) for total in (-2, 1, "A")),
    *(("x-sum", SIDE | {"sum": total}) for total in (-3, 1, "A")),
    *(("seen-count", SIDE | {"seen": seen}) for seen in (1, 2)),
    ("numbered-room", SIDE | {"digit": 2}),
    *(("head-sum", SIDE | {"sum": total, "length": 2}) for total in (-3, 1, "A")),
    ("below-neighbours", {"cells": "r1c2"}),
    ("above-neighbours", {"cells": "r1c1"}),
    ("relation", TWO | {"holds": "a == 2*b - 1 or b > a + 1"}),
    ("relation", {"each": "row neighbours", "holds": "(a * b) % 3 == 1"}),
)


def counting(deep: str, shallow: str) -> str:
    """Both values count as a formula says; nothing is written of one that leaves the digit."""
    return "".join(
        f'[[rule]]\nkind = "counts-as"\nlayer = "water"\nvalue = "{value}"\nformula = "{text}"\n'
        for value, text in (("deep", deep), ("shallow", shallow))
        if text != "d"
    )


def board(columns: int, digits: tuple[int, ...], ways: tuple[str, str], rules: str = "") -> Puzzle:
    head = f'rows = 1\ncolumns = {columns}\nhouses = "none"\ndigits = {list(digits)}\n'
    return read_document(head + LAYER + counting(*ways) + rules, "test.toml")


def worked_out(
    puzzle: Puzzle, kind: str, fields: dict[str, Any], ways: tuple[str, str]
) -> set[Any]:
    """The assignments that the attack's reading of a rule accepts, values by Python's formulas."""
    canvas = puzzle.canvas
    size = len(canvas.cells)
    scene = Scene(
        Board("", "", canvas.rows, canvas.columns, canvas.digits, cells_of(1, size), (), (), ()),
        [table := {"kind": kind} | fields],
    )
    holds = READINGS[kind](table, scene)
    letters = puzzle.board.letters
    found = set()
    for digits in product(canvas.digits, repeat=size):
        for shades in product((0, 1), repeat=size):
            values = [WAYS[ways[s]](d) for d, s in zip(digits, shades, strict=True)]
            for numbers in product(*letters.values()):
                try:
                    accepted = holds(digits, values, dict(zip(letters, numbers, strict=True)))
                except ArithmeticError:
                    accepted = False
                if accepted:
                    found.add((*digits, *numbers, *shades))
    return found


@pytest.mark.parametrize("number", range(len(RULES_ON_VALUES)))
def test_every_rule_reads_what_cells_count_as(number: int) -> None:
    kind, fields = RULES_ON_VALUES[number]
    ways = BOTH[number % len(BOTH)]
    digits = (1, 2) if "A" in fields.values() else (1, 2, 3)
    puzzle = board(3, digits, ways, _toml({"kind": kind} | fields))
    assert [isinstance(one, Letter) for one in puzzle.board.shown[3:]].count(True) == len(
        puzzle.board.letters
    )
    wanted = worked_out(puzzle, kind, fields, ways)
    rows = list(product(*(puzzle.board.domains[v] for v in puzzle.board.shown)))
    assert {row for row in rows if next(puzzle.violations(row), None) is None} == wanted
    assert witnesses(puzzle) == len(wanted)


UNDEFINED: dict[str, Callable[[int], int]] = {
    "2 // (d - 1)": lambda d: 2 // (d - 1) if d != 1 else NOTHING,
    "2 ** (d - 2)": lambda d: 2 ** (d - 2) if d >= 2 else NOTHING,
    "-d": lambda d: -d,
    "d": lambda d: d,
}
"""The first two have no whole number for the digit 1."""
PARTLY = (("2 // (d - 1)", "d"), ("-d", "2 ** (d - 2)"), ("2 ** (d - 2)", "2 // (d - 1)"))


@pytest.mark.parametrize("number", range(len(RULES_ON_VALUES)))
def test_a_rule_that_reads_a_cell_without_a_value_is_false(
    number: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    kind, fields = RULES_ON_VALUES[number]
    ways = PARTLY[number % len(PARTLY)]
    digits = (1, 2) if "A" in fields.values() else (1, 2, 3)
    puzzle = board(3, digits, ways, _toml({"kind": kind} | fields))
    monkeypatch.setattr(f"{__name__}.WAYS", UNDEFINED)
    wanted = worked_out(puzzle, kind, fields, ways)
    assert witnesses(puzzle) == len(wanted)
    rows = list(product(*(puzzle.board.domains[v] for v in puzzle.board.shown)))
    assert {row for row in rows if next(puzzle.violations(row), None) is None} == wanted


def rule(value: str, formula: str, more: str = "") -> str:
    """One rule, in TOML."""
    fields = f'layer = "water"\nvalue = "{value}"\nformula = "{formula}"\n{more}'
    return f'[[rule]]\nkind = "counts-as"\n{fields}\n'


def read(rules: str, extra: str = "") -> Puzzle:
    head = f'rows = 1\ncolumns = 2\nhouses = "none"\ndigits = [0, 1, 2]\n{extra}'
    return read_document(head + LAYER + rules, "t.toml")


@pytest.mark.parametrize(
    ("rules", "message"),
    [
        (rule("deep", "d +"), "formula: column 4: a cell or a number is missing"),
        (rule("deep", "d == 2"), "formula: column 3: a number, as 2 * d is, ends before '=='"),
        (rule("deep", "2*e"), "'e' is unknown"),
        (rule("deep", "A*d"), "formula: A is not known here, only d, the digit of the cell"),
        (rule("deep", "d / 2"), "'/' is not an operator here: write '//', which rounds down"),
        (rule("deep", "999*d"), "formula: it is 1998 for the digit 2, but 1000 is the most"),
        (rule("wet", "d"), "water has no value 'wet', only deep or shallow"),
        (
            rule("deep", "0") + rule("deep", "1"),
            "t.toml:15: rule 2 (counts-as): rule 1 already says what these cells count as",
        ),
        (
            '[[rule]]\nkind = "exactly"\ncount = 1\n'
            + rule("deep", "0").replace("[[rule]]", "[[rule.of]]"),
            "it says what cells count as, which is never true or false",
        ),
    ],
)
def test_what_cannot_be_is_told(rules: str, message: str) -> None:
    with pytest.raises(PuzzleError) as told:
        read(rules)
    assert message in str(told.value)


def test_only_one_layer_and_no_doublers() -> None:
    second = '[[layer]]\nname = "wind"\nkind = "shading"\nvalues = ["calm", "gale"]\n'
    other = rule("deep", "0") + rule("calm", "0").replace("water", "wind")
    with pytest.raises(PuzzleError, match="rule 1 says it of the layer water"):
        read(second + other)
    with pytest.raises(PuzzleError, match="doublers already say what cells count as"):
        read(rule("deep", "0"), "[doublers]\n")


def test_an_optional_one_leaves_the_digit() -> None:
    cage = '[[rule]]\nkind = "cage"\ncells = "r1c1 r1c2"\nsum = 4\nrepeats = true\n'
    off = read(rule("deep", "3*d", "optional = true") + cage)
    assert off.board.counting is None
    assert {row[:2] for row in worlds(off)} == {(2, 2)}
    on = read(rule("deep", "3*d") + cage)
    assert {row[:2] for row in worlds(on)} == {(1, 1), (2, 2)}


def worlds(puzzle: Puzzle) -> list[tuple[int, ...]]:
    every = product(*(puzzle.board.domains[v] for v in puzzle.board.shown))
    return [row for row in every if next(puzzle.violations(row), None) is None]


def test_it_is_part_of_the_board_and_not_a_premise() -> None:
    puzzle = read(rule("deep", "-d") + '[[rule]]\nkind = "greater"\ncells = "r1c1 r1c2"\n')
    assert [one.name for one in puzzle.model.premises] == ["greater r1c1 r1c2"]
    assert puzzle.rule_names == ("counts-as water deep", "greater r1c1 r1c2")
    assert puzzle.rules[0].wording() == (
        "In sums and comparisons each deep cell counts as minus its digit."
    )


@pytest.mark.parametrize(
    ("formula", "words"),
    [
        ("0", "0"),
        ("2*d", "2 times its digit"),
        ("3*d", "3 times its digit"),
        ("d+1", "its digit plus 1"),
        ("-d", "minus its digit"),
        ("10 - d**2", "10 − d^2, where d is its digit"),
    ],
)
def test_its_sentence_says_the_formula(formula: str, words: str) -> None:
    puzzle = read(rule("shallow", formula))
    assert puzzle.rules[0].wording() == (
        f"In sums and comparisons each shallow cell counts as {words}."
    )
    assert RULES["counts-as"].model_fields["formula"].description


def test_both_engines_agree_on_a_larger_board() -> None:
    text = (
        'size = 4\n[[layer]]\nname = "water"\nkind = "shading"\nvalues = ["deep", "shallow"]\n'
        'givens = "d..s .... ...d s..."\n'
        + rule("deep", "-d")
        + '[[rule]]\nkind = "connected"\nlayer = "water"\nvalue = "deep"\n'
        + '[[rule]]\nkind = "cage"\ncells = "r1c1 r1c2 r2c2"\nsum = -9\n'
        + '[[rule]]\nkind = "cage"\ncells = "r3c3 r3c4 r4c4"\nsum = -1\n'
    )
    found = check(read_document(text), engine="both")
    assert found.status in ("unique", "multiple")
    assert all(next(found.puzzle.violations(one), None) is None for one in found.solutions)


HALF = rule("deep", "2 ** (d - 2)")
"""Deep cells with the digit 1 have no value, those with 2 count as 1."""
PARISHES = '[[layer]]\nname = "parishes"\nkind = "regions"\nsizes = "free"\n'
CRUISE = '[[layer]]\nname = "cruise"\nkind = "path"\n'


def in_a_row(layer: str, told: str) -> Puzzle:
    head = 'rows = 1\ncolumns = 3\nhouses = "none"\ndigits = [1, 2]\n'
    return read_document(head + LAYER + layer + HALF + f"[[rule]]\n{told}\n")


@pytest.mark.parametrize(
    ("layer", "told", "read"),
    [
        (
            PARISHES,
            'kind = "region-total"\nlayer = "parishes"\ncell = "r1c1"\ntotal = 2',
            lambda two, three: {0} | ({1} if two else set()) | ({2} if two and three else set()),
        ),
        (
            PARISHES,
            'kind = "region-total"\nlayer = "parishes"\ntotal = 2',
            lambda two, three: {0, 1, 2},
        ),
        (
            CRUISE,
            'kind = "along"\nlayer = "cruise"\nformula = "a + b >= 0"',
            lambda two, three: ({0, 1} if two else set()) | ({1, 2} if three else set()),
        ),
        (
            CRUISE,
            'kind = "stretch-total"\nlayer = "cruise"\ntotal = 2',
            lambda two, three: ({0, 1} if two else set()) | ({1, 2} if three else set()),
        ),
        (CRUISE, 'kind = "stretch-total"\nlayer = "cruise"\ntotal = "equal"', lambda *_: set()),
    ],
)
def test_only_the_cells_that_are_read_need_a_value(
    layer: str, told: str, read: Callable[[int, int], set[int]]
) -> None:
    puzzle = in_a_row(layer, told)
    assert witnesses(puzzle)
    without = 0
    for row in worlds(puzzle):
        digits, shades, pairs = row[:3], row[3:6], row[6:]
        empty = {place for place in range(3) if digits[place] == 1 and shades[place] == 0}
        assert not empty & read(*pairs)
        without += bool(empty)
    assert without or "region-total" in told


def test_nobody_needs_a_value_that_no_rule_reads() -> None:
    puzzle = in_a_row("", 'kind = "greater"\ncells = "r1c1 r1c2"')
    deep_ones = [row for row in worlds(puzzle) if row[2] == 1 and row[5] == 0]
    assert deep_ones
    assert all(row[:2] == (2, 1) or row[3:5] != (1, 1) for row in deep_ones)


def test_a_nested_rule_that_reads_no_value_is_a_false_one() -> None:
    told = 'kind = "exactly"\ncount = 0\n[[rule.of]]\nkind = "cage"\ncells = "r1c1"\nat-least = 0'
    puzzle = in_a_row("", told)
    assert witnesses(puzzle) == 16
    assert {(row[0], row[3]) for row in worlds(puzzle)} == {(1, 0)}


@pytest.mark.parametrize("kind", ["equal-sums", "greater-sum"])
def test_a_cell_in_both_groups_needs_a_value_although_it_cancels_out(kind: str) -> None:
    puzzle = in_a_row("", f'kind = "{kind}"\ngroups = ["r1c1 r1c2", "r1c2 r1c3"]')
    assert witnesses(puzzle)
    rows = list(worlds(puzzle))
    assert rows
    assert not [row for row in rows if row[1] == 1 and row[4] == 0]
