from __future__ import annotations

from math import hypot

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gridassay.encodings.grid import Cell, parse_cells
from gridassay.verify.draw.geometry import arrowhead, cut_out, hatch, inset, outlines, toward

SOME_CELLS = st.sets(st.builds(Cell, st.integers(1, 5), st.integers(1, 5)), min_size=1, max_size=20)


def area(path: list[tuple[float, float]]) -> float:
    """The shoelace formula: positive for a path that runs clockwise on a page."""
    return (
        sum(
            x1 * y2 - x2 * y1 for (x1, y1), (x2, y2) in zip(path, [*path[1:], path[0]], strict=True)
        )
        / 2
    )


@given(SOME_CELLS)
def test_outlines_enclose_the_cells_and_nothing_else(cells: set[Cell]) -> None:
    assert sum(area(path) for path in outlines(cells)) == len(cells)


@given(SOME_CELLS, st.sampled_from([0.05, 0.1, 0.2]))
def test_an_inset_takes_a_strip_along_every_open_side(cells: set[Cell], depth: float) -> None:
    open_sides = sum(
        cell.step(down, right) not in cells
        for cell in cells
        for down, right in ((0, 1), (1, 0), (0, -1), (-1, 0))
    )
    inside = sum(area(inset(path, depth)) for path in outlines(cells))
    turns = list(outlines(cells))
    corners = sum(_right_turns(path) for path in turns)
    # Strips along the sides overlap in each corner that points outwards and miss one that points in.
    assert inside == pytest.approx(len(cells) - depth * open_sides + depth**2 * corners)


def _right_turns(path: list[tuple[int, int]]) -> int:
    """Right turns less left turns: 4 for an outer outline, -4 for that of a hole."""
    total = 0
    for before, here, after in zip([path[-1], *path[:-1]], path, [*path[1:], path[0]], strict=True):
        cross = (here[0] - before[0]) * (after[1] - here[1]) - (here[1] - before[1]) * (
            after[0] - here[0]
        )
        total += 1 if cross > 0 else -1
    return total


def test_cells_that_touch_at_a_corner_have_outlines_of_their_own() -> None:
    assert len(list(outlines(parse_cells("r1c1 r2c2")))) == 2


def test_a_ring_has_an_outline_inside() -> None:
    ring = [
        Cell(row, column) for row in (1, 2, 3) for column in (1, 2, 3) if (row, column) != (2, 2)
    ]
    assert sorted(len(path) for path in outlines(ring)) == [4, 4]


@pytest.mark.parametrize("angle", [0, 22.5, 45, 90, 135, 157.5])
def test_hatches_stay_inside_and_meet_at_edges(angle: float) -> None:
    first, second = list(hatch(0, 0, 10, angle, 1.7)), list(hatch(10, 0, 10, angle, 1.7))
    assert len(first) >= 5
    for start, end in first:
        assert all(-1e-9 <= part <= 10 + 1e-9 for part in (*start, *end))
    if angle not in (0, 90):
        touching = {round(y, 6) for line in first for x, y in line if abs(x - 10) < 1e-9}
        going_on = {round(y, 6) for line in second for x, y in line if abs(x - 10) < 1e-9}
        inner = {y for y in touching if 0.01 < y < 9.99}
        assert inner
        assert inner <= going_on


def test_an_arrowhead_is_as_long_as_asked_and_ends_at_the_tip() -> None:
    left, tip, right = arrowhead((0, 0), (10, 0), 2)
    assert tip == (10, 0)
    assert left[0] == right[0] == 8
    assert left[1] == -right[1] != 0
    assert hypot(*toward((0, 0), (3, 4), 2)) == pytest.approx(2)


def test_a_line_is_parted_where_a_gap_is_asked_for() -> None:
    path = [(0.0, 0.0), (10.0, 0.0), (10.0, 10.0)]
    assert cut_out(path, [], 2) == (tuple(path),)
    assert cut_out(path, [(5.0, 0.0)], 2) == (((0, 0), (3, 0)), ((7, 0), (10, 0), (10, 10)))
    # About a bend, and over an end.
    assert cut_out(path, [(10.0, 0.0)], 2) == (((0, 0), (8, 0)), ((10, 2), (10, 10)))
    assert cut_out(path, [(0.0, 0.0)], 4) == (((4, 0), (10, 0), (10, 10)),)
    assert cut_out(path, [(5.0, 5.0)], 2) == (tuple(path),)
    assert cut_out(path, [(10.0, 0.0)], 30) == ()
