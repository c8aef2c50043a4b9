from __future__ import annotations

from dataclasses import replace

import pytest

from gridassay.encodings.documents import read_document
from gridassay.encodings.grid import Cell
from gridassay.verify import check, read
from gridassay.verify.draw.colour import contrast
from gridassay.verify.draw.style import DARK, LIGHT
from gridassay.verify.draw.views import (
    NothingToShow,
    conflict_view,
    differing_view,
    heat_view,
    possible_view,
    solution_view,
    view_of_solution,
)

UNIQUE = "1......2..3..4.."
SEVERAL = "1.....2........."
NONE = "1..1............"


def test_the_solution_fills_every_cell() -> None:
    puzzle = read(UNIQUE)
    view = solution_view(puzzle)
    assert sorted(view.digits) == list(puzzle.canvas.cells)
    assert view.digits[Cell(1, 1)] == 1


def test_letters_are_told_with_the_solution() -> None:
    puzzle = read_document(
        'size = 4\ngivens = "1234341221434321"\n'
        '[[rule]]\nkind = "cage"\ncells = "r1c1 r2c1"\nsum = "A"\n',
        "x",
    )
    assert solution_view(puzzle).caption == "A = 4"


@pytest.mark.parametrize(
    ("line", "message"), [(NONE, "it has no solution"), (SEVERAL, "it has several")]
)
def test_there_is_no_solution_to_show_unless_it_is_the_only_one(line: str, message: str) -> None:
    with pytest.raises(NothingToShow, match=message):
        solution_view(read(line))


def test_differing_cells_are_those_in_which_the_two_differ() -> None:
    view = differing_view(read(SEVERAL))
    assert view.differing
    assert all(first != second for first, second in view.differing.values())
    assert len(view.digits) + len(view.differing) == 16
    with pytest.raises(NothingToShow, match="the verdict is unique"):
        differing_view(read(UNIQUE))


def test_possible_digits_are_candidates_or_certain() -> None:
    view = possible_view(read(SEVERAL))
    assert view.digits[Cell(1, 1)] == 1
    assert all(len(digits) > 1 for digits in view.candidates.values())
    assert len(view.digits) + len(view.candidates) == 16
    with pytest.raises(NothingToShow):
        possible_view(read(NONE))


def test_doublers_of_a_solution_are_marked() -> None:
    puzzle = read_document("size = 4\n[doublers]\n", "x")
    solution = check(puzzle).solutions[0]
    view = view_of_solution(puzzle, solution)
    assert len(view.doubled) == 4
    assert {cell.row for cell in view.doubled} == {1, 2, 3, 4}


def test_a_conflict_is_pointed_out_and_named() -> None:
    view = conflict_view(read(NONE))
    assert sorted(view.ringed) == [Cell(1, 1), Cell(1, 4)]
    assert [house.name for house in view.houses] == ["row 1"]
    assert view.caption == "Cannot all hold: r1c1=1, r1c4=1, row 1."
    with pytest.raises(NothingToShow, match="no conflict to show: the verdict is multiple"):
        conflict_view(read(SEVERAL))


def test_givens_are_shaded_by_what_is_open_without_them() -> None:
    puzzle = read("12.....2..3..4..")
    view = heat_view(puzzle)
    for given in puzzle.givens:
        without = replace(puzzle, givens=tuple(g for g in puzzle.givens if g != given))
        open_cells = len(possible_view(without).candidates)
        assert view.heat[given.variable] == pytest.approx(open_cells / 12)  # type: ignore[index]
    assert 0 in view.heat.values()
    # True of a light page and of a dark one, on which more heat is brighter.
    assert "stronger" in view.caption
    assert contrast(DARK.heat(1), DARK.paper) > contrast(DARK.heat(0.5), DARK.paper) > 1
    assert contrast(LIGHT.heat(1), LIGHT.paper) > contrast(LIGHT.heat(0.5), LIGHT.paper) > 1
    assert max(view.heat.values()) > 0
    with pytest.raises(NothingToShow, match="the verdict is multiple"):
        heat_view(read(SEVERAL))
