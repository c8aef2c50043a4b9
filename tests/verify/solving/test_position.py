"""Positions: what placing clears, what sees what, and candidates files."""

from __future__ import annotations

import pytest

from gridassay.encodings.grid import Cell, classic
from gridassay.encodings.lines import PuzzleError
from gridassay.encodings.puzzle import Puzzle
from gridassay.verify import read
from gridassay.verify.solving.board.candidates_file import read_candidates, write_candidates
from gridassay.verify.solving.board.position import Position, layout_of

from ... import published

FOUR = Puzzle(classic(4))


def seen_from(puzzle: Puzzle, name: Cell) -> int:
    layout = layout_of(puzzle)
    return layout.sees[layout.index[name]].bit_count()


def test_a_house_is_what_its_cells_make_it() -> None:
    """The kind is known of the house and kept by its zone, also in grids that share cells."""
    one = '[[grid]]\nname = "A"\nat = "r1c1"\nsize = 4\n'
    grids = one + one.replace("A", "B").replace("r1c1", "r3c3")
    for puzzle in (FOUR, read(grids, "two.toml")):
        layout = layout_of(puzzle)
        for zone in layout.zones:
            cells = [layout.cells[cell] for cell in zone.cells]
            straight = len({cell.row for cell in cells}), len({cell.column for cell in cells})
            assert zone.kind == {(1, 4): "row", (4, 1): "column", (2, 2): "box"}[straight]


def test_houses_and_rules_count_in_what_a_cell_sees() -> None:
    assert seen_from(read("." * 81), Cell(5, 5)) == 20
    rules = {
        'kind = "diagonals"': 20 + 12,
        'kind = "anti-king"': 20,
        'kind = "anti-knight"': 20 + 8,
        'kind = "cage"\ncells = "r5c5 r6c4 r7c3"': 21,
        'kind = "cage"\ncells = "r5c5 r6c4 r7c3"\nrepeats = true\nsum = 9': 20,
        'kind = "thermometer"\ncells = "r5c5 r4c4 r3c3 r2c2"': 20,
    }
    for rule, count in rules.items():
        assert seen_from(read(f"size = 9\n[[rule]]\n{rule}\n", "a.toml"), Cell(5, 5)) == count, rule


def test_a_thermometer_sees_along_its_parts_outside_houses() -> None:
    puzzle = read('size = 9\n[[rule]]\nkind = "thermometer"\ncells = "r3c3 r4c4 r5c5"\n', "a.toml")
    layout = layout_of(puzzle)
    one, other = layout.index[Cell(3, 3)], layout.index[Cell(4, 4)]
    assert layout.sees[one] >> other & 1
    assert layout.link(one, other) == (puzzle.rule_names[0], 0)


def test_an_optional_rule_has_no_say() -> None:
    rule = '[[rule]]\nkind = "cage"\ncells = "r5c5 r6c4 r7c3"\noptional = true\n'
    assert seen_from(read(f"size = 9\n{rule}", "a.toml"), Cell(5, 5)) == 20


def test_givens_clear_their_peers() -> None:
    position = Position.start(read("1..............."))
    layout = position.layout
    text = write_candidates(position)
    assert text.splitlines()[0].split() == ["1", "234", "234", "234"]
    assert text.splitlines()[1].split() == ["234", "234", "1234", "1234"]
    assert position.given == position.placed == 1
    assert position.line() == "1" + "." * 15
    assert layout.cells[0] == Cell(1, 1)


def test_candidates_files_read_back() -> None:
    puzzle = read(published.ENCYCLOPAEDIA)
    position = Position.start(puzzle)
    again = read_candidates(write_candidates(position), puzzle)
    assert again.masks == position.masks
    assert again.placed & position.placed == position.placed
    assert again.given == position.given


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("1 2 3 4\n", "1 rows of candidates, but 4 are needed"),
        ("1 2 3 4\n1 2 3\n1 2 3 4\n1 2 3 4\n", "a.txt:2: 3 lists of candidates, but 4 are needed"),
        ("1 2 3 4\n1 2 3 4\n1 2 x 4\n1 2 3 4\n", "a.txt:3: r3c3: 'x' is not a digit here"),
        ("1 2 3 4\n1 2 3 4\n1 2 - 4\n1 2 3 4\n", "a.txt:3: r3c3 has no candidate"),
    ],
)
def test_candidates_files_that_cannot_be_read(text: str, said: str) -> None:
    with pytest.raises(PuzzleError) as caught:
        read_candidates(text, FOUR, "a.txt")
    assert said in str(caught.value)


def test_candidates_may_not_lack_a_given() -> None:
    puzzle = read("1...............")
    with pytest.raises(PuzzleError, match="r1c1 is given as 1"):
        read_candidates("2 . . .\n. . . .\n. . . .\n. . . .\n", puzzle, "a.txt")


def test_layouts_are_shared_by_plain_puzzles_of_a_size() -> None:
    assert layout_of(read("1" + "." * 15)) is layout_of(read("2" + "." * 15))
