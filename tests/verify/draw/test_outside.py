from __future__ import annotations

from itertools import combinations

from hypothesis import given
from hypothesis import strategies as st

from gridassay.encodings.grid import Cell, classic
from gridassay.encodings.rules.base import Shape
from gridassay.verify.draw.outside import places

CELLS = classic(6).index.keys()


@st.composite
def clues(draw: st.DrawFn) -> Shape:
    place = draw(st.integers(1, 6))
    label = draw(st.sampled_from(["4", "27", "123", "A"]))
    first, direction = draw(
        st.sampled_from(
            [
                (Cell(place, 1), (0, 1)),
                (Cell(place, 6), (0, -1)),
                (Cell(1, place), (1, 0)),
                (Cell(6, place), (-1, 0)),
                (Cell(place, 1), (1, 1)),
                (Cell(1, place), (1, -1)),
            ]
        )
    )
    return Shape("outside", (first,), label, direction)


@given(st.lists(clues(), max_size=14))
def test_clues_stand_off_the_grid_and_off_each_other(shapes: list[Shape]) -> None:
    found = places(shapes, CELLS)
    for shape, place in zip(shapes, found, strict=True):
        down, right = shape.direction
        assert place.x < 0 or place.x > 6 or place.y < 0 or place.y > 6
        beyond = (place.x - shape.cells[0].column + 0.5) * right + (
            place.y - shape.cells[0].row + 0.5
        ) * down
        assert beyond < -0.5
    for one, other in combinations(found, 2):
        assert not one.meets(other)


def test_a_clue_between_two_grids_lies_on_the_edge() -> None:
    (place,) = places([Shape("outside", (Cell(3, 4),), "9", (0, 1))], CELLS)
    assert (place.x, place.y) == (3, 2.5)


def test_a_clue_without_a_direction_stands_at_the_left() -> None:
    (place,) = places([Shape("outside", (Cell(3, 1),), "9")], CELLS)
    assert place.x < 0
    assert place.y == 2.5
