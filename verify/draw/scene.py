"""A puzzle as a picture: its grids, givens and rules, and the highlights of a view.

Painted from the ground up: shaded cells, lines, the grid itself, the frames and rings of a reason,
cages and marks, digits, clues outside, and last the rings and strikes of candidates.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import groupby

from gridassay.encodings.grid import Canvas, Cell
from gridassay.encodings.puzzle import Puzzle
from gridassay.encodings.rules.base import Shape
from gridassay.verify.budget import looking_at_arguments
from gridassay.verify.draw.colour import mix
from gridassay.verify.draw.contents import contents, frames, join_lines, pointed_out, sights
from gridassay.verify.draw.frame import Frame
from gridassay.verify.draw.layers import layer_grounds, layer_lines
from gridassay.verify.draw.legend import legend_marks
from gridassay.verify.draw.looks import DrawnRule, looks
from gridassay.verify.draw.marks import Box, Group, Lines, Mark, Picture, Point, Stroke, Text
from gridassay.verify.draw.outside import TagPlace, outside_tag, places
from gridassay.verify.draw.room import CandidatePlaces, rooms
from gridassay.verify.draw.shapes import Layer, Pen, draw_shape
from gridassay.verify.draw.style import LIGHT, Look, Style
from gridassay.verify.draw.text import areas
from gridassay.verify.draw.text_size import CAPITAL, wrap
from gridassay.verify.draw.view import PLAIN, View
from gridassay.verify.words import as_printed

WIDTH = 90.0
"""The width of a picture in millimetres unless another is asked for: a column of a magazine."""

_EDGE = 0.06
_COORDINATES = 0.5
_LEGEND_SIZES = (1.0, 0.86, 0.74)
"""The letter sizes of a legend: the first that fits is used; the last is small print."""


@looking_at_arguments
def picture(
    puzzle: Puzzle,
    view: View = PLAIN,
    *,
    width: float = WIDTH,
    height: float | None = None,
    style: Style = LIGHT,
    number: int | None = None,
    heading: bool = True,
    legend: bool = True,
    numbered: bool = False,
    share: float = 1.0,
) -> Picture:
    """The picture of a puzzle, ``width`` millimetres wide and as high as it needs to be.

    If it would be higher than ``height``, the rules are set smaller, and then the grid is drawn
    smaller, down to half the width. ``heading`` puts title and credit above it, after ``number`` if
    it has one in a book; ``legend`` prints the rules below it, unless there are none beyond those
    of an ordinary grid; ``numbered`` writes row and column numbers beside it. The grid takes no
    more than a ``share`` of the width: as much as its neighbours with clues beside them.
    """
    drawn, entries = looks(puzzle, style, view)
    head = list(_heading(puzzle, number, width, style)) if heading or number else []
    top = _lowest(head)
    foot = list(_caption(view.caption, 0, width, style)) if view.caption else []
    end = _lowest(foot)
    body, high = _body(puzzle, view, drawn, width, style, numbered, share)
    if legend and not (puzzle.plain and is_ordinary(puzzle.canvas)):
        for size in _LEGEND_SIZES:
            keys, low = legend_marks(entries, end, width, style, size)
            if height is None or top + 0.9 * high + low <= height:
                break
        foot.append(Group("legend", "", tuple(keys)))
        end = low
    scale = 1.0
    if height is not None:
        scale = min(1.0, max(0.5, (height - top - end) / high))
    left, low = width * (1 - scale) / 2, top + high * scale
    marks = (
        *head,
        Group("grid", "", tuple(_move(body, left, top, scale))),
        *(mark.moved(0, low, 1) for mark in foot),
    )
    title, told = puzzle.title, describe(puzzle)
    return Picture(width, low + end, marks, style.paper, style.font, title, told)


def _body(
    puzzle: Puzzle,
    view: View,
    drawn: Sequence[DrawnRule],
    width: float,
    style: Style,
    numbered: bool,
    share: float,
) -> tuple[list[Mark], float]:
    """The grid with everything around it, this wide, and its height."""
    canvas = puzzle.canvas
    outside = [(one, s) for one in drawn for s in one.shapes if s.form == "outside"]
    spots = places([shape for _, shape in outside], canvas.index.keys())
    left, top, right, bottom = _extent(canvas, spots, numbered)
    size = min(width / (right - left), share * width / canvas.columns)
    beside = (width - size * (right - left)) / 2
    frame = Frame(size, beside - left * size, -top * size)
    marks: list[Mark] = []
    if numbered:
        marks += _coordinates(canvas, frame, style, left, top)
    free = rooms(shape for one in drawn for shape in one.shapes)
    candidates = CandidatePlaces.of(canvas, frame, free)
    marks += _grid(puzzle, view, drawn, frame, style, candidates)
    for (one, shape), spot in zip(outside, spots, strict=True):
        tag = outside_tag(shape, spot, Pen(frame, style, one.look))
        marks.append(Group("rule", one.name, tuple(tag)))
    marks += pointed_out(view, frame, style, candidates)
    return marks, (bottom - top) * size


def spread(puzzle: Puzzle) -> tuple[float, float]:
    """The width and height of the grid with everything drawn around it, in cells."""
    drawn = [shape for rule in puzzle.rules for shape in rule.shapes(puzzle.board)]
    outside = [shape for shape in drawn if shape.form == "outside"]
    canvas = puzzle.canvas
    left, top, right, bottom = _extent(canvas, places(outside, canvas.index.keys()), False)
    return right - left, bottom - top


def grid_share(puzzle: Puzzle) -> float:
    """The share of a picture's width that is the grid's own, beside the clues outside it."""
    return puzzle.canvas.columns / spread(puzzle)[0]


def _move(marks: list[Mark], right: float, down: float, scale: float) -> list[Mark]:
    """The marks moved; the same objects if they stay, as in every picture of the page."""
    if (right, down, scale) == (0, 0, 1):
        return marks
    return [mark.moved(right, down, scale) for mark in marks]


def with_margin(whole: Picture, margin: float = 2.0) -> Picture:
    """The picture with an empty margin all round, in millimetres, its width kept."""
    scale = (whole.width - 2 * margin) / whole.width
    return replace(
        whole,
        height=whole.height * scale + 2 * margin,
        marks=tuple(mark.moved(margin, margin, scale) for mark in whole.marks),
    )


def describe(puzzle: Puzzle) -> str:
    """The picture in words."""
    canvas = puzzle.canvas
    sizes = [f"{grid.size} by {grid.size}" for grid in canvas.grids]
    kind = f"{' and '.join(sizes)} grid" if sizes else f"{canvas.rows} by {canvas.columns} cells"
    rules = [
        name
        for name, rule in zip(puzzle.rule_names, puzzle.rules, strict=True)
        if not rule.optional
    ]
    givens = " ".join(as_printed(puzzle, fact) for fact in puzzle.givens)
    parts = [kind, f"givens {givens}" if givens else "no givens"]
    return "; ".join(parts + ([f"rules {', '.join(rules)}"] if rules else []))


def is_ordinary(canvas: Canvas) -> bool:
    """Whether everybody knows its rules: one grid with boxes, and digits from 1."""
    if len(canvas.grids) != 1 or canvas.grids[0].box is None:
        return False
    return canvas.digits == tuple(range(1, canvas.grids[0].size + 1))


def _lowest(marks: Sequence[Mark]) -> float:
    """The bottom of the text above the grid, with the space below it."""
    low = [mark.y + 0.75 * mark.size for mark in marks if isinstance(mark, Text)]
    return max(low, default=0.0)


def _heading(puzzle: Puzzle, number: int | None, width: float, style: Style) -> Iterator[Mark]:
    size = min(4.6, width * 0.056)
    title = " · ".join(filter(None, ("" if number is None else str(number), puzzle.title)))
    y = 0.0
    for line in wrap(title, size, width, bold=True):
        y += 1.15 * size
        yield Text(0, y - 0.25 * size, line, size, style.ink, True, "start", role="title")
    size *= 0.68
    for line in wrap(puzzle.credit, size, width):
        y += 1.3 * size
        yield Text(0, y - 0.3 * size, line, size, style.quiet, False, "start", role="credit")


def _caption(text: str, y: float, width: float, style: Style) -> Iterator[Mark]:
    size = min(3.1, width * 0.04)
    for line in wrap(text, size, width):
        y += 1.35 * size
        yield Text(0, y, line, size, style.ink, False, "start", role="caption")


def _extent(
    canvas: Canvas, spots: Sequence[TagPlace], numbered: bool
) -> tuple[float, float, float, float]:
    """Left, top, right and bottom of everything drawn around the grid, in cells."""
    coordinates = _COORDINATES if numbered else 0.0
    return (
        min([0.0, *(spot.x - spot.width / 2 for spot in spots)]) - _EDGE - coordinates,
        min([0.0, *(spot.y - spot.height / 2 for spot in spots)]) - _EDGE - coordinates,
        max([canvas.columns, *(spot.x + spot.width / 2 for spot in spots)]) + _EDGE,
        max([canvas.rows, *(spot.y + spot.height / 2 for spot in spots)]) + _EDGE,
    )


def _coordinates(
    canvas: Canvas, frame: Frame, style: Style, left: float, top: float
) -> Iterator[Mark]:
    em = 0.26 * frame.size
    for row in range(1, canvas.rows + 1):
        x, y = frame.point(left + 0.24, row - 0.5)
        yield Text(x, y + CAPITAL / 2 * em, str(row), em, style.quiet, role="coordinate")
    for column in range(1, canvas.columns + 1):
        x, y = frame.point(column - 0.5, top + 0.24)
        yield Text(x, y + CAPITAL / 2 * em, str(column), em, style.quiet, role="coordinate")


def _grid(
    puzzle: Puzzle,
    view: View,
    drawn: Sequence[DrawnRule],
    frame: Frame,
    style: Style,
    candidates: CandidatePlaces,
) -> Iterator[Mark]:
    canvas = puzzle.canvas
    for hole in _enclosed_holes(canvas):
        left, top = frame.within(hole, 0, 0)
        yield Box(left, top, frame.size, frame.size, fill=style.hairline, role="hole")
    grounds = _grounds(canvas, view, style)
    yield from layer_grounds(puzzle, view, frame, style)
    yield from _ground_marks(grounds, view, frame, style)
    colours = {cell: colour for cell, (colour, _) in grounds.items()}
    digits = {*(fact.variable for fact in puzzle.givens), *view.digits, *view.placed}
    written = {cell for cell in canvas.cells if cell in digits or cell in view.differing}
    layers: list[tuple[str, int, dict[Layer, list[Mark]]]] = []
    labels: Counter[Cell] = Counter()
    caged = Counter(
        cell
        for one in drawn
        for shape in one.shapes
        if shape.form == "cage"
        for cell in shape.cells
    )
    late: list[tuple[str, list[Mark]]] = []
    for one in drawn:
        for shape in one.shapes:
            there = labels[min(shape.cells)] if shape.cells else 0
            pen = Pen(frame, style, _look(one, shape, view, style), written, colours, there)
            if shape.form == "cage" and shape.label:
                labels[min(shape.cells)] += 1
            marks = draw_shape(shape, pen)
            # No border may cross the total of another cage: it is written when all are drawn.
            if marks["label"] and caged[min(shape.cells)] > 1:
                late.append((one.name, marks["label"]))
            else:
                marks["above"] += marks["label"]
            layers.append((one.name, _depth(shape), marks))
    for depth in range(4):
        yield from _by_rule([(name, layer["ground"]) for name, at, layer in layers if at == depth])
    yield _hairlines(canvas, frame, style)
    yield _walls(canvas, frame, style)
    yield from sights(view, frame, style, written)
    yield from join_lines(view, frame, style, candidates)
    yield from frames(view, frame, style)
    yield from _by_rule([*((name, layer["above"]) for name, _, layer in layers), *late])
    yield from layer_lines(puzzle, view, frame, style, written)
    yield Group("cells", "", tuple(contents(puzzle, view, frame, style, candidates)))


def _look(one: DrawnRule, shape: Shape, view: View, style: Style) -> Look:
    """The look of a rule; its lines are lighter if they run through candidates."""
    if shape.form != "line" or view.candidates.keys().isdisjoint(shape.cells):
        return one.look
    return replace(one.look, ink=mix(one.look.ink, style.paper, 0.4))


def _depth(shape: Shape) -> int:
    """Shaded areas lie lowest, then figures in cells, arrows with their bulbs, and last other lines.

    So a line that ends in the bulb of an arrow is seen to end there.
    """
    if shape.form == "cell mark":
        return 0 if shape.figure == "shade" else 1
    arrow = shape.last_end == "arrow" or shape.first_end == shape.last_end == "bulb"
    return 2 if arrow else 3


def _by_rule(pieces: Sequence[tuple[str, list[Mark]]]) -> Iterator[Mark]:
    for name, group in groupby(pieces, key=lambda piece: piece[0]):
        marks = tuple(mark for _, piece in group for mark in piece)
        if marks:
            yield Group("rule", name, marks)


def _grounds(canvas: Canvas, view: View, style: Style) -> dict[Cell, tuple[str, str]]:
    """The cells that are not on bare paper, with their colours and the roles of these."""
    found: dict[Cell, tuple[str, str]] = {}
    for cell in canvas.cells:
        if cell in view.heat:
            found[cell] = style.heat(_share(view, cell)), "heat"
        elif cell in view.differing:
            found[cell] = style.wash, "differing"
    return found


def _share(view: View, cell: Cell) -> float:
    return min(1.0, max(0.0, view.heat[cell]))


def _ground_marks(
    grounds: Mapping[Cell, tuple[str, str]], view: View, frame: Frame, style: Style
) -> Iterator[Mark]:
    for cell, (colour, role) in grounds.items():
        left, top = frame.within(cell, 0, 0)
        yield Box(left, top, frame.size, frame.size, fill=colour, role=role)
        # The bar says the same in black and white.
        if role == "heat" and (share := _share(view, cell)) >= 0.05:
            x, y = frame.within(cell, 0.1, 0.88)
            bar = 0.8 * share * frame.size
            yield Box(x, y, bar, 0.05 * frame.size, fill=style.ink, role="heat bar")


def _enclosed_holes(canvas: Canvas) -> list[Cell]:
    """The holes enclosed by cells, which would look like cells if they were left blank."""
    rows, columns = range(canvas.rows + 2), range(canvas.columns + 2)
    holes = {Cell(r, c) for r in rows for c in columns if Cell(r, c) not in canvas.index}
    open_ones = [Cell(0, 0)]
    while open_ones:
        cell = open_ones.pop()
        if cell in holes:
            holes.remove(cell)
            open_ones += [cell.step(-1, 0), cell.step(1, 0), cell.step(0, -1), cell.step(0, 1)]
    return sorted(holes)


def _hairlines(canvas: Canvas, frame: Frame, style: Style) -> Lines:
    inside = canvas.index
    across = {(row, column) for row, column in canvas.cells if Cell(row + 1, column) in inside}
    down = {(row, column) for row, column in canvas.cells if Cell(row, column + 1) in inside}
    stroke = Stroke(style.hairline, 0.018 * frame.size)
    return Lines(tuple(_runs(across, down, frame)), stroke, role="hairlines")


def _walls(canvas: Canvas, frame: Frame, style: Style) -> Lines:
    known = areas(canvas)
    rows, columns = range(canvas.rows + 1), range(canvas.columns + 1)
    across = {
        (r, c) for r in rows for c in columns if known.get(Cell(r, c)) != known.get(Cell(r + 1, c))
    }
    down = {
        (r, c) for r in rows for c in columns if known.get(Cell(r, c)) != known.get(Cell(r, c + 1))
    }
    stroke = Stroke(style.ink, 0.058 * frame.size)
    return Lines(tuple(_runs(across, down, frame)), stroke, role="walls")


def _runs(
    across: set[tuple[int, int]], down: set[tuple[int, int]], frame: Frame
) -> Iterator[tuple[Point, ...]]:
    """Lines below the cells of ``across`` and right of those of ``down``, neighbours joined."""
    for row, column in sorted(across):
        if (row, column - 1) not in across:
            end = column
            while (row, end + 1) in across:
                end += 1
            yield frame.point(column - 1, row), frame.point(end, row)
    for row, column in sorted(down):
        if (row - 1, column) not in down:
            end = row
            while (end + 1, column) in down:
                end += 1
            yield frame.point(column, row - 1), frame.point(column, end)
