"""Candidates, digits and rings keep clear of each other and of what is drawn at the edges of cells."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations, pairwise

import pytest

from gridassay.encodings.documents import read_document
from gridassay.encodings.grid import Cell
from gridassay.encodings.puzzle import Puzzle
from gridassay.encodings.rules import RULES
from gridassay.verify import read
from gridassay.verify.draw.colour import TEXT, contrast
from gridassay.verify.draw.marks import Box, Disc, Lines, Mark, Picture, Text
from gridassay.verify.draw.scene import picture
from gridassay.verify.draw.style import DARK, LIGHT, Style
from gridassay.verify.draw.text_size import CAPITAL, text_width
from gridassay.verify.draw.view import View

from .pictures import WORKED, marks_in, puzzle_of, with_role

Extent = tuple[float, float, float, float]


def extent(mark: Mark) -> Extent:
    """Left, top, right and bottom of a text that is centred or starts there, or of a disc."""
    if isinstance(mark, Disc):
        reach = mark.radius + (mark.stroke.width / 2 if mark.stroke else 0)
        return mark.x - reach, mark.y - reach, mark.x + reach, mark.y + reach
    assert isinstance(mark, Text)
    wide = text_width(mark.text, mark.size, bold=mark.bold)
    left = mark.x if mark.anchor == "start" else mark.x - wide / 2
    return left, mark.y - CAPITAL * mark.size, left + wide, mark.y


def overlap(one: Extent, other: Extent) -> bool:
    return one[0] < other[2] and other[0] < one[2] and one[1] < other[3] and other[1] < one[3]


def full(puzzle: Puzzle, **more: object) -> Picture:
    """The puzzle with every candidate in every open cell, without legend."""
    given = {fact.variable for fact in puzzle.givens}
    digits = puzzle.canvas.digits
    view = View(
        candidates={cell: digits for cell in puzzle.canvas.cells if cell not in given},
        **more,  # type: ignore[arg-type]
    )
    return picture(puzzle, view, legend=False, heading=False)


def empty(kind: str) -> Puzzle:
    """A worked example of a rule without its givens."""
    return replace(puzzle_of(WORKED / f"{kind}.toml"), givens=())


@pytest.mark.parametrize("size", [4, 6, 9, 12, 16, 25])
def test_rings_fit_between_neighbours(size: int) -> None:
    puzzle = read("." * size * size)
    cells = (Cell(1, 1), Cell(1, 2))
    every = [(cell, digit) for cell in cells for digit in puzzle.canvas.digits]
    drawn = picture(
        puzzle, View(candidates=dict.fromkeys(cells, puzzle.canvas.digits), ringed_candidates=every)
    )
    rings = with_role(drawn, "candidate ring")
    written = with_role(drawn, "candidate")
    assert len(rings) == len(written) == 2 * size
    for ring, other in combinations(rings, 2):
        assert isinstance(ring, Disc)
        assert isinstance(other, Disc)
        assert ring.stroke
        apart = ((ring.x - other.x) ** 2 + (ring.y - other.y) ** 2) ** 0.5
        assert apart > ring.radius + other.radius + ring.stroke.width
    for ring, text in zip(rings, written, strict=True):
        assert isinstance(ring, Disc)
        assert ring.stroke
        left, top, right, bottom = extent(text)
        assert (right - left) / 2 < ring.radius - ring.stroke.width / 2
        assert (bottom - top) / 2 < ring.radius - ring.stroke.width / 2
        # It lies inside its cell, clear of the walls.
        cell = 90 / (size + 0.12)
        offset = (extent(ring)[0] / cell - 0.06) % 1, (extent(ring)[1] / cell - 0.06) % 1
        assert all(0.04 < share < 0.96 for share in offset)


def test_what_is_struck_is_not_ringed_and_stays_legible() -> None:
    puzzle = read("." * 81)
    cell = Cell(5, 5)
    drawn = picture(
        puzzle,
        View(
            candidates={cell: (1, 2, 3)},
            ringed_candidates=[(cell, 1), (cell, 2)],
            struck=[(cell, 2), (cell, 3)],
        ),
    )
    (ring,) = with_role(drawn, "candidate ring")
    one, two, three = with_role(drawn, "candidate")
    assert isinstance(ring, Disc)
    assert isinstance(one, Text)
    assert isinstance(two, Text)
    assert isinstance(three, Text)
    assert ring.x == one.x
    # What is struck stands light on a dark disc, with a light strike across.
    assert [text.colour for text in (one, two, three)] == [LIGHT.ink, LIGHT.paper, LIGHT.paper]
    discs = with_role(drawn, "struck")
    assert [(disc.x, disc.fill) for disc in discs] == [(two.x, LIGHT.ink), (three.x, LIGHT.ink)]
    strikes = with_role(drawn, "strike")
    assert len(strikes) == 2
    for strike, text in zip(strikes, (two, three), strict=True):
        assert isinstance(strike, Lines)
        assert strike.stroke
        # A stem of the regular face is about a tenth of an em.
        assert strike.stroke.width < 0.09 * text.size
        assert strike.stroke.colour == LIGHT.paper
        left, top, right, bottom = extent(text)
        ((start, end),) = strike.lines
        assert start[0] < left < right < end[0]
        assert start[1] < top < bottom < end[1]


@pytest.mark.parametrize("kind", RULES)
def test_candidates_keep_clear_of_totals_tags_and_dots(kind: str) -> None:
    puzzle = empty(kind)
    drawn = full(puzzle)
    written = [extent(mark) for mark in with_role(drawn, "candidate")]
    assert len(written) == len(puzzle.canvas.cells) * len(puzzle.canvas.digits)
    (walls,) = with_role(drawn, "walls")
    assert isinstance(walls, Lines)
    across = [x for line in walls.lines for x, _ in line]
    cell = (max(across) - min(across)) / puzzle.canvas.columns
    labels = [extent(mark) for mark in with_role(drawn, "label")]
    # Bulbs and circles lie round what is written.
    marks = [mark for mark in marks_in(drawn.marks) if isinstance(mark, Disc)]
    dots = [extent(mark) for mark in marks if mark.radius < 0.3 * cell]
    met = [(one, other) for one in written for other in (*labels, *dots) if overlap(one, other)]
    assert not met


def test_a_total_leaves_candidates_of_other_cells_as_they_are() -> None:
    def sizes(text: str) -> set[float]:
        drawn = full(read_document(text, "x"))
        return {mark.size for mark in with_role(drawn, "candidate") if isinstance(mark, Text)}

    cage = '[[rule]]\nkind = "cage"\ncells = "r1c1 r1c2"\nsum = 7\n'
    (plain,) = sizes("size = 9\n")
    below, elsewhere = sorted(sizes(f"size = 9\n{cage}"))
    assert elsewhere == plain
    assert 0.7 * plain < below < plain


@pytest.mark.parametrize("kind", RULES)
def test_digits_keep_clear_of_totals_and_tags(kind: str) -> None:
    puzzle = empty(kind)
    if not puzzle.canvas.digits:
        pytest.skip("a board without digits")
    shapes = [shape for rule in puzzle.rules for shape in rule.shapes(puzzle.board)]
    digits = dict.fromkeys(puzzle.canvas.cells, puzzle.canvas.digits[-1])
    drawn = picture(puzzle, View(digits=digits), legend=False)
    written = [extent(mark) for mark in with_role(drawn, "digit")]
    labels = [extent(mark) for mark in with_role(drawn, "label")]
    assert len(written) == len(digits)
    # Signs and arrows are drawn as lines, not set as text.
    signs = set("<>∨∧↑↓")
    assert labels or not any(shape.label and shape.label not in signs for shape in shapes)
    assert not [one for one in written for other in labels if overlap(one, other)]


CAGES = (
    'size = 4\n[[rule]]\nkind = "cage"\ncells = "r1c1 r1c2"\nsum = 7\n'
    '[[rule]]\nkind = "cage"\ncells = "r2c1 r3c1"\nsum = 15\n'
)


def test_split_digits_and_placed_ones_keep_clear_of_totals() -> None:
    puzzle = read_document(CAGES, "x")
    drawn = picture(
        puzzle, View(differing={Cell(1, 1): (3, 4)}, placed={Cell(2, 1): 4}), legend=False
    )
    totals = [extent(mark) for mark in with_role(drawn, "label")]
    assert len(totals) == 2
    split = [extent(mark) for mark in with_role(drawn, "differing digit")]
    (plate,) = with_role(drawn, "placed")
    assert isinstance(plate, Box)
    plates = [(plate.x, plate.y, plate.x + plate.width, plate.y + plate.height)]
    assert not [one for one in (*split, *plates) for other in totals if overlap(one, other)]
    (line,) = with_role(drawn, "split")
    assert isinstance(line, Lines)
    ((start, end),) = line.lines
    for left, top, right, bottom in split:
        # All four corners on one side of the line between the digits.
        sides = {
            (x - start[0]) * (end[1] - start[1]) > (y - start[1]) * (end[0] - start[0])
            for x in (left, right)
            for y in (top, bottom)
        }
        assert len(sides) == 1


@pytest.mark.parametrize("kind", ["arrow", "thermometer", "renban", "whisper", "zipper"])
def test_lines_leave_a_gap_round_digits(kind: str) -> None:
    puzzle = empty(kind)
    cells = puzzle.canvas.cells
    # Below the digits lie a line's tinted ribbon and its bulb; the thin line is what runs into them.
    drawn = picture(puzzle, View(digits=dict.fromkeys(cells, 4)), legend=False)
    digits = [extent(mark) for mark in with_role(drawn, "digit")]
    inks = {
        LIGHT.look(number, kind, line=line).ink
        for number in range(len(puzzle.rules))
        for line in (True, False)
    }
    thin = [
        mark
        for mark in marks_in(drawn.marks)
        if isinstance(mark, Lines) and mark.stroke and mark.stroke.colour in inks
    ]
    assert thin
    for mark in thin:
        for line in mark.lines:
            for (x1, y1), (x2, y2) in pairwise(line):
                points = [(x1 + (x2 - x1) * n / 40, y1 + (y2 - y1) * n / 40) for n in range(41)]
                for x, y in points:
                    assert not any(overlap((x, y, x, y), digit) for digit in digits)


def test_dots_and_totals_lie_over_the_bracket_of_a_house() -> None:
    dot = '[[rule]]\nkind = "double-pair"\ncells = "r2c1 r3c1"\n'
    puzzle = read_document(CAGES + dot, "x")
    row = next(house for house in puzzle.canvas.houses if house.name == "row 2")
    drawn = picture(puzzle, View(houses=[row], ringed=[Cell(1, 1)]), legend=False)
    marks = list(marks_in(drawn.marks))
    last = max(n for n, mark in enumerate(marks) if mark.role in ("house bracket", "ring"))
    over = [mark for mark in marks[last:] if isinstance(mark, Disc) or mark.role == "label"]
    assert len(over) == 3
    # A total breaks the edge of its cage with the colour of what it lies on.
    patches = [mark.fill for mark in marks if isinstance(mark, Box) and not mark.role]
    assert patches == [LIGHT.paper, LIGHT.paper]


@pytest.mark.parametrize("style", [LIGHT, DARK], ids=["light", "dark"])
def test_candidates_can_be_read_on_any_ground(style: Style) -> None:
    for ground in (style.paper, style.wash):
        assert contrast(style.quiet, ground) >= TEXT
        assert contrast(style.ink, ground) > 2 * contrast(style.quiet, ground)
