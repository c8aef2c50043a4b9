"""Houses by kind and number: the numbers are places in reading order, regions have their letters."""

from __future__ import annotations

from gridassay.encodings.grid import Cell, Grid, canvas_of
from gridassay.verify.listening.numbered_houses import numbered_houses


def test_rows_columns_and_boxes_are_counted() -> None:
    canvas = canvas_of([Grid(6, box=(2, 3))])
    found = numbered_houses(canvas)
    cells = {house.name: house.cells for house in canvas.houses}
    assert len(found) == len(cells) == 18
    assert {cell.row for cell in cells[found["row", "3"]]} == {3}
    assert {cell.column for cell in cells[found["column", "6"]]} == {6}
    assert cells[found["box", "2"]][0] == Cell(1, 4)
    assert ("region", "1") not in found


def test_regions_go_by_their_letters_in_any_case() -> None:
    canvas = canvas_of([Grid(4, regions="AAAACCCCDDDDBBBB")])
    found = numbered_houses(canvas)
    cells = {house.name: house.cells for house in canvas.houses}
    rows = {letter: {cell.row for cell in cells[found["region", letter]]} for letter in "abcd"}
    assert rows == {"a": {1}, "b": {4}, "c": {2}, "d": {3}}


def test_several_grids_have_several_houses_of_a_number() -> None:
    assert not numbered_houses(canvas_of([Grid(4), Grid(4, at=Cell(1, 6), name="B")]))
