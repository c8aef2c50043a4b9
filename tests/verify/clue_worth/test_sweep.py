from __future__ import annotations

from pathlib import Path

import pytest

from gridassay.encodings.puzzle import Puzzle
from gridassay.verify import PuzzleError, check, read
from gridassay.verify.clue_worth.filling import fill_in
from gridassay.verify.clue_worth.sweeping import OpenPuzzle, read_layout, read_layouts, sweep

LAYOUT = """# Two values are open in "Low Water".
title = "Is it?"   # a '?' here is a question
size = 4
givens = '''
?... # r1c1: ?
..3.
.1..
...2
'''

[[rule]]
kind = "cage"
cells = "r1c1 r1c2 r2c1"
sum = "?"   # the total

[[rule]]
kind = "whisper"
cells = "r1c4 r2c4"
difference = "?"

[[rule]]
kind = "exactly"
count = 1
[[rule.of]]
kind = "cage"
cells = "r2c1 r2c2"
sum = '?'
[[rule.of]]
kind = "cage"
cells = "r3c1 r3c3"
sum = 2
"""


def layout(text: str = LAYOUT) -> OpenPuzzle:
    found = read_layout(text, "low-water.toml")
    assert isinstance(found, OpenPuzzle)
    return found


SUM = 'sum = "?"   # the total\n'
WHISPER = '[[rule]]\nkind = "whisper"\ncells = "r1c4 r2c4"\ndifference = "?"\n'
EXACTLY = LAYOUT[LAYOUT.index('[[rule]]\nkind = "exactly"') :]


def with_value(key: str = "", value: int = 0) -> Puzzle:
    """The file with one value written by hand and the others left open by hand."""
    text = LAYOUT.replace("?...", f"{value}..." if key == "given" else "....")
    text = text.replace(SUM, f"sum = {value}\n" if key == "sum" else "")
    whisper = WHISPER.replace('"?"', str(value)) if key == "difference" else ""
    exactly = EXACTLY.replace("'?'", str(value)) if key == "nested" else ""
    return read(text.replace(WHISPER, whisper).replace(EXACTLY, exactly), "t.toml")


def test_holes_are_named_and_ranged() -> None:
    holes = {hole.name: list(hole.values) for hole in layout().holes}
    assert holes == {
        "r1c1": [1, 2, 3, 4],
        "sum of cage r1c1 r1c2 r2c1": list(range(3, 13)),
        "difference of whisper r1c4 r2c4": [1, 2, 3],
        "sum of cage r2c1 r2c2": list(range(2, 9)),
    }


def test_each_value_has_the_verdict_of_the_file_with_that_value() -> None:
    result = sweep(layout())
    assert result.complete
    for hole, key in zip(result.holes, ("given", "sum", "difference", "nested"), strict=True):
        for value, verdict in hole.verdicts:
            assert verdict == check(with_value(key, value)).status, (hole.name, value)
    said = {verdict for hole in result.holes for _, verdict in hole.verdicts}
    assert said >= {"none", "multiple"}


def test_values_that_give_one_solution() -> None:
    [hole] = sweep(layout("size = 4\ngivens = '1?.. ...2 ..3. .4..'")).holes
    assert hole.unique == (2,)
    assert dict(hole.verdicts) == {1: "none", 2: "unique", 3: "none", 4: "none"}


def test_filling_in_changes_nothing_but_the_holes() -> None:
    # Exactly one of the two nested cages is true, and r3c1 + r3c3 = 2 never is, so the first is.
    verdict = check(with_value())
    assert verdict.status == "multiple"
    for digits in verdict.solutions:
        written = fill_in(layout(), verdict.puzzle.line(digits))
        puzzle = read(written, "filled.toml")
        assert puzzle.title == "Is it?"
        assert "# a '?' here is a question" in written
        assert "# r1c1: ?" in written
        assert [*puzzle.violations(digits)] == []
        apart = abs(digits[3] - digits[7])
        expected = LAYOUT.replace("\n?...", f"\n{digits[0]}...")
        expected = expected.replace('sum = "?"', f"sum = {digits[0] + digits[1] + digits[4]}")
        expected = expected.replace('difference = "?"', f"difference = {apart}")
        assert written == expected.replace("sum = '?'", f"sum = {digits[4] + digits[5]}")


def test_lines_have_holes_too(tmp_path: Path) -> None:
    file = tmp_path / "tide.txt"
    file.write_text("1?.....2..3..4..\n1......2..3..4..\n")
    first, second = read_layouts(str(file))
    assert isinstance(first, OpenPuzzle)
    assert isinstance(second, Puzzle)
    [hole] = sweep(first).holes
    assert hole.name == "r1c2"
    assert hole.unique == (2,)
    [solution] = check(second).solutions
    assert fill_in(first, second.line(solution)) == "12.....2..3..4..\n"


@pytest.mark.parametrize(
    ("line", "message"),
    [
        ("1234", "the solution to fill in is not 16 digits of this puzzle"),
        ("1234341221434325", "the solution to fill in is not 16 digits of this puzzle"),
        ("1234341221434321", "the solution to fill in is not a solution of this puzzle: it breaks"),
    ],
)
def test_what_cannot_be_filled_in(line: str, message: str) -> None:
    with pytest.raises(PuzzleError, match=message):
        fill_in(layout(), line)


def test_a_puzzle_has_nothing_to_fill_in() -> None:
    puzzle = read("1......2..3..4..")
    with pytest.raises(PuzzleError, match="there is no '\\?' to fill in"):
        fill_in(puzzle, "1" * 16)


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("1?.....2..3..4..", "t:1: r1c2: a '?' works only with gridassay clues"),
        (
            'size = 4\n[[rule]]\nkind = "cage"\ncells = "r1c1"\nsum = "?"',
            "t:5: rule 1 (cage): sum: a '?' works only with gridassay clues",
        ),
        (
            'size = 4\n[[rule]]\nkind = "exactly"\ncount = 1\n[[rule.of]]\nkind = "cage"\n'
            'cells = "r1c1"\nsum = "?"',
            "t:8: rule 1 (exactly): sum: a '?' works only with gridassay clues",
        ),
        ("size = 4\ngivens = '?... .... .... ....'", "t:2: givens: r1c1: a '?' works only"),
    ],
)
def test_elsewhere_an_open_value_is_refused(text: str, message: str) -> None:
    with pytest.raises(PuzzleError) as caught:
        read(text, "t")
    assert str(caught.value).startswith(message)


def test_values_that_no_rule_takes_are_refused() -> None:
    text = 'size = 4\n[[rule]]\nkind = "cage"\ncells = "?"\nsum = 3'
    with pytest.raises(PuzzleError, match="rule 1: no value of cells can be read"):
        read_layout(text, "t")


def test_two_open_values_of_one_rule_that_needs_both_are_refused() -> None:
    table = '[[rule.of]]\nkind = "cage"\ncells = "r1c1"\nsum = "?"\n'
    text = f'size = 4\n[[rule]]\nkind = "exactly"\ncount = 1\n{table}{table}'
    with pytest.raises(PuzzleError, match="rule 1: only one '\\?' can be tried at a time here"):
        read_layout(text, "t")


def test_the_budget_leaves_values_undecided() -> None:
    result = sweep(layout(), budget=0)
    assert not result.complete
    assert {verdict for hole in result.holes for _, verdict in hole.verdicts} == {"undecided"}
