"""The rule text: the setter's own sentence if there is one, else ours, each once."""

from __future__ import annotations

import pytest

from gridassay.encodings.documents import read_document
from gridassay.encodings.lines import PuzzleError
from gridassay.verify.reference import rule_text

CAGE = '[[rule]]\nkind = "cage"\ncells = "{}"\nsum = {}\n{}'


def test_the_setters_own_sentence_is_printed_once_instead_of_ours() -> None:
    own = 'text = "Catches\\n  add up."\n'
    rules = (("r1c1 r1c2", 5, own), ("r2c1 r2c2", 5, ""), ("r3c1 r3c2", 6, own))
    puzzle = read_document("size = 4\n" + "".join(CAGE.format(*rule) for rule in rules))
    _, *printed = rule_text(puzzle)
    assert printed == ["Catches add up.", puzzle.rules[1].wording()]
    assert puzzle.rules[0].wording() == puzzle.rules[1].wording()


def test_it_is_printed_of_a_nested_rule_too() -> None:
    nested = 'kind = "{}"\ncells = "r1c1"\n{}'
    text = "size = 4\n[[rule]]\nkind = 'exactly'\ncount = 1\n"
    text += "[[rule.of]]\n" + nested.format("even", 'text = "Boats are even."\n')
    text += "[[rule.of]]\n" + nested.format("odd", "")
    *_, printed = rule_text(read_document(text))
    assert "the even mark r1c1 (Boats are even); the odd mark r1c1 (a cell with" in printed


@pytest.mark.parametrize("blank", ["", "  "])
def test_an_empty_sentence_is_none(blank: str) -> None:
    with pytest.raises(PuzzleError, match=r"t\.toml:6: rule 1 \(cage\): text"):
        read_document("size = 4\n" + CAGE.format("r1c1", 3, f'text = "{blank}"\n'), "t.toml")


@pytest.mark.parametrize(
    ("about", "holds", "said"),
    [
        (
            'each = "row neighbours"',
            "a != b",
            "In any two neighbouring cells of a row, the two digits are different.",
        ),
        (
            'each = "diagonal neighbours"',
            "not a == b",
            "In any two cells that touch diagonally, the two digits are different.",
        ),
        ('cells = "r1c1..r1c3"', "not a < c", "the first digit is at least the third digit."),
        (
            'cells = "r1c1..r1c3"',
            "not (a < b < c)",
            "it is not true that the first digit is less than the second digit, and the second digit "
            "is less than the third digit.",
        ),
        (
            'cells = "r1c1..r1c4"',
            "a + b + c == d",
            "the sum of the first three digits equals the fourth digit.",
        ),
        (
            'cells = "r1c1..r1c4"',
            "a < b + c + d",
            "the first digit is less than the sum of the last three digits.",
        ),
        (
            'cells = "r1c1..r1c4"',
            "a + c + d < 9",
            "the first, the third and the fourth digit add up to less than 9.",
        ),
    ],
)
def test_short_formulas_are_told_in_words(about: str, holds: str, said: str) -> None:
    rule = f'[[rule]]\nkind = "relation"\n{about}\nholds = "{holds}"\n'
    assert list(rule_text(read_document(f"size = 4\n{rule}")))[-1].endswith(said)


def test_several_nested_clues_of_a_sort_are_named_in_the_plural() -> None:
    inner = "".join(
        f"[[rule.of]]\nkind = {kind}\n{fields}\n"
        for kind, fields in (
            ("'sandwich'", 'line = "r1"\nsum = 4'),
            ("'sandwich'", 'line = "c2"\nsum = 5'),
            ("'counting-circles'", 'cells = "r1c1 r2c2"'),
            ("'counting-circles'", 'cells = "r3c3 r2c2"'),
            ("'among'", 'cells = "r1c1"\ndigits = [1, 2]'),
            ("'among'", 'cells = "r1c2"\ndigits = [1, 2]'),
        )
    )
    text = f"size = 4\n[[rule]]\nkind = 'exactly'\ncount = 1\n{inner}"
    *_, printed = rule_text(read_document(text))
    assert "the sandwiches 4 of row 1 and 5 of column 2 (" in printed
    assert "the counting circles r1c1 r2c2 and r3c3 r2c2 (" in printed
    assert "the choices of digits 1 2 at r1c1 and 1 2 at r1c2 (" in printed


def test_regions_are_not_called_boxes() -> None:
    regions = 'size = 4\nregions = """\nAABB\nAABB\nCCDD\nCCDD\n"""\n'
    rule = '[[rule]]\nkind = "relation"\neach = "boxes"\nholds = "a < b"\n'
    assert list(rule_text(read_document(regions + rule)))[-1].startswith("In every region, read")
    assert list(rule_text(read_document(f"size = 4\n{rule}")))[-1].startswith("In every box, read")


def test_a_sandwich_lies_between_digits_that_are_named() -> None:
    rule = '[[rule]]\nkind = "sandwich"\nline = "r1"\nsum = 4\n'
    for digits, ends in (("", "the 1 and the 4"), ("digits = [0, 2, 5, 7]\n", "the 0 and the 7")):
        *_, printed = rule_text(read_document(f"size = 4\n{digits}{rule}"))
        assert f"the total of the digits between {ends} in its row or column" in printed
