"""The look of puzzles: patterns, mirrored looks, echoes."""

from __future__ import annotations

import re

import pytest

from gridassay.encodings.puzzle import Puzzle
from gridassay.verify import read, symmetries

from ... import published

# By hand: 1 to 9 across the first row, each later row moved on by 3 3 4 3 3 4 3 3. Cell (r, c) and its
# opposite add up to 9, or to 18 if both are 9: a half turn with 1↔8, 2↔7, 3↔6, 4↔5 changes nothing.
CYCLIC = "123456789456789123789123456234567891567891234891234567345678912678912345912345678"


def names(puzzle: Puzzle) -> list[str]:
    return [turn.name for turn in symmetries(puzzle, solution=False).patterns]


def dotted(kept: set[int], line: str = CYCLIC) -> str:
    return "".join(symbol if place in kept else "." for place, symbol in enumerate(line))


@pytest.mark.parametrize(
    ("marks", "expected"),
    [
        ("#... .... .... ...#", ["half turn", "falling diagonal mirror", "rising diagonal mirror"]),
        ("#..# .... .... ....", ["left-right mirror"]),
        ("#... .... .... #...", ["top-bottom mirror"]),
        (".#.. ...# #... ..#.", ["half turn", "quarter turn"]),
        (".#.. #... .... ....", ["falling diagonal mirror"]),
        ("..#. ...# .... ....", ["rising diagonal mirror"]),
        ("##.. .... .... ...#", []),
        (".... .... .... ....", []),
    ],
)
def test_patterns_of_givens(marks: str, expected: list[str]) -> None:
    # Digits that keep every house right whatever the pattern: a full grid's, where marked.
    line = "".join(
        digit if mark == "#" else "."
        for digit, mark in zip("1234341221434321", marks.replace(" ", ""), strict=True)
    )
    assert names(read(line)) == expected


def test_a_mirrored_look_is_told_with_its_renaming() -> None:
    kept = {0, 1, 4, 11, 13, 19, 24, 30, 40, 50, 56, 61, 67, 69, 76, 79, 80}
    known = symmetries(read(dotted(kept)), solution=False)
    assert [turn.name for turn in known.patterns] == ["half turn"]
    words = [look.words() for look in known.looks]
    assert words == ["a half turn with 1↔8 2↔7 3↔6 4↔5 carries the puzzle onto itself"]
    assert known.automorphisms % 2 == 0


def test_a_symmetric_pattern_alone_is_no_mirrored_look() -> None:
    known = symmetries(read(published.ENCYCLOPAEDIA))
    assert [turn.name for turn in known.patterns] == ["half turn"]
    assert known.looks == ()
    assert known.echoes == ()
    assert (known.automorphisms, known.solution_automorphisms) == (1, 1)


@pytest.mark.parametrize(
    ("rules", "expected"),
    [
        ([("thermometer", "r1c1..r1c3"), ("thermometer", "r6c6..r6c4")], ["half turn"]),
        ([("thermometer", "r1c1..r1c3"), ("thermometer", "r6c4..r6c6")], []),
        ([("thermometer", "r1c1..r1c3"), ("cage", "r6c6..r6c4")], []),
        ([("cage", "r1c1..r1c3"), ("cage", "r6c4..r6c6")], ["half turn"]),
        ([("cage", "r3c3 r3c4")], ["left-right mirror"]),
    ],
)
def test_shapes_take_part_with_their_direction(
    rules: list[tuple[str, str]], expected: list[str]
) -> None:
    tables = [f'[[rule]]\nkind = "{kind}"\ncells = "{cells}"' for kind, cells in rules]
    assert names(read("\n".join(["size = 6", *tables]))) == expected


def test_values_count_for_the_look_and_not_for_the_pattern() -> None:
    def cages(first: int, second: int) -> Puzzle:
        return read(
            f'size = 6\n[[rule]]\nkind = "cage"\ncells = "r1c1 r1c2"\nsum = {first}\n'
            f'[[rule]]\nkind = "cage"\ncells = "r6c5 r6c6"\nsum = {second}'
        )

    for first, second, digits in ((5, 5, "1→1"), (5, 9, "1→6"), (5, 8, None)):
        known = symmetries(cages(first, second), solution=False)
        assert [turn.name for turn in known.patterns] == ["half turn"]
        found = [f"1→{look.way.digits[1]}" for look in known.looks]
        assert found == ([] if digits is None else [digits])


def test_boxes_echo_under_one_renaming() -> None:
    # Four boxes kept, opposite corners alike after a half turn; a stray given spoils the whole look.
    kept = {0, 1, 10, 20, 6, 7, 15, 26}
    kept |= {80 - place for place in kept}
    known = symmetries(read(dotted(kept | {40, 3})), solution=False)
    assert known.patterns == ()
    assert known.looks == ()
    sentences = [echo.words() for echo in known.echoes]
    assert len(sentences) == 2
    for first, second, sentence in ((1, 9, sentences[0]), (3, 7, sentences[1])):
        assert re.match(f"box {second} is box {first} after a half turn with ", sentence)


def test_boxes_with_the_same_digits_echo() -> None:
    line = "12." + "." * 6 + "3.." + "." * 6 + "..." + "." * 6
    line += ("..." + "12." + "...") + ("..." + "3.." + "...") + "." * 9 + "." * 27
    known = symmetries(read(line), solution=False)
    assert [echo.words() for echo in known.echoes] == ["box 5 is box 1 with the same digits"]


def test_boxes_with_one_pattern_and_other_digits_are_no_echo() -> None:
    line = "12." + "." * 6 + "3.." + "." * 6 + "..." + "." * 6
    line += ("..." + "48." + "...") + ("..." + "7.." + "...") + "." * 9 + "." * 27
    assert symmetries(read(line), solution=False).echoes == ()


def test_a_mirrored_look_need_be_no_pattern() -> None:
    # Two thermometers that rise the same way: end for end they fall, and so do 1 to 6 from 7.
    rules = "".join(
        f'\n[[rule]]\nkind = "thermometer"\ncells = "{cells}"'
        for cells in ("r1c3..r1c5", "r6c2..r6c4")
    )
    line = "1" + "." * 34 + "6"
    known = symmetries(read(f'size = 6\ngivens = "{line}"{rules}'), solution=False)
    assert known.patterns == ()
    words = [look.words() for look in known.looks]
    assert words == ["a half turn with 1↔6 2↔5 3↔4 carries the puzzle onto itself"]
