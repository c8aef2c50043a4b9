"""Reasons as views, from plain names."""

from __future__ import annotations

import pytest

from gridassay.encodings.documents import read_document
from gridassay.encodings.grid import Cell
from gridassay.encodings.puzzle import Puzzle
from gridassay.verify.draw.premises import premises_view, step_view
from gridassay.verify.draw.scene import picture

from .pictures import with_role


@pytest.fixture
def puzzle() -> Puzzle:
    return read_document(
        'size = 4\ngivens = "1..............."\n'
        '[[rule]]\nkind = "anti-knight"\n[[rule]]\nkind = "cage"\ncells = "r4c3 r4c4"\nsum = 3\n',
        "x",
    )


def test_premises_are_found_by_the_names_that_results_use(puzzle: Puzzle) -> None:
    part = next(
        part.label
        for premise in puzzle.model.premises
        if premise.name == "anti-knight"
        for part in premise.parts
    )
    names = ["r1c1=1", "column 2", "cage r4c3 r4c4", part, "one solution is promised"]
    view = premises_view(puzzle, names)
    assert list(view.ringed) == [Cell(1, 1)]
    assert [house.name for house in view.houses] == ["column 2"]
    assert view.rules == ["cage r4c3 r4c4", "anti-knight"]


def test_a_step_rings_its_premises_and_strikes_its_conclusions(puzzle: Puzzle) -> None:
    candidates = {cell: (1, 2, 3, 4) for cell in puzzle.canvas.cells if cell != Cell(1, 1)}
    view = step_view(
        puzzle,
        digits={},
        candidates=candidates,
        premises=["row 1"],
        cells=[Cell(1, 1), Cell(1, 2)],
        cited=[2, 3],
        removes=[(Cell(1, 3), 2), (Cell(1, 4), 2)],
        places={Cell(2, 2): 4},
        text="a step",
    )
    drawn = picture(puzzle, view)
    counts = {
        "ring": 1,
        "candidate ring": 2,
        "strike": 2,
        "placed": 1,
        "house bracket": 1,
        "caption": 1,
        "candidate": 4 * 14,
    }
    assert {role: len(with_role(drawn, role)) for role in counts} == counts
