"""Pages of puzzles without a book: a fixed number per page, numbered, with answers at the back."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from math import ceil
from typing import Literal, TypeVar

from gridassay.encodings.puzzle import Puzzle
from gridassay.verify.book.setting import Block, Setter, Sheet
from gridassay.verify.draw.looks import run_style
from gridassay.verify.draw.marks import Mark, Picture, Text
from gridassay.verify.draw.scene import grid_share, picture
from gridassay.verify.draw.style import LIGHT, Style
from gridassay.verify.draw.view import View

Paper = Literal["a4", "a5", "letter"]
PAPERS: dict[Paper, tuple[float, float]] = {
    "a4": (210.0, 297.0),
    "a5": (148.0, 210.0),
    "letter": (215.9, 279.4),
}
"""Width and height of a page in millimetres: ISO 216, and North American letter paper."""

ANSWERS_A_PAGE = 12
_HEADING = 12.0
"""The height of a page's heading, with the gap below it."""

Item = TypeVar("Item")
Drawing = Callable[[float, float], Picture]
"""Draws a picture for a place: as wide as the place and, if possible, no higher."""


@dataclass(frozen=True)
class PageLayout:
    """How pages are filled: the paper, the puzzles per page, and the margin as a share of its width."""

    paper: Paper = "a4"
    per_page: int = 1
    margin: float = 0.08
    gap: float = 0.05

    @property
    def sheet(self) -> Sheet:
        """The page that is being filled."""
        width, height = PAPERS[self.paper]
        return Sheet(width, height, self.margin * width, self.gap * width, 0.0)


def pages(
    puzzles: Sequence[Puzzle],
    layout: PageLayout,
    *,
    answers: Sequence[View] = (),
    style: Style = LIGHT,
) -> list[Picture]:
    """The pages, numbered at the foot.

    Puzzles are numbered from 1; the same rule looks the same in all of them, and all grids are
    equally wide, with or without clues beside them. ``answers`` are the views of their solutions in
    the same order: if given, the last pages show small solved grids under the same numbers.
    """
    setter = Setter(layout.sheet)
    style = run_style(puzzles, style)
    share = min(map(grid_share, puzzles), default=1.0)
    numbered = list(enumerate(puzzles, start=1))
    for batch in _batches(numbered, layout.per_page):
        setter.turn()
        _fill(setter, [_puzzle(*one, style, share) for one in batch], layout.per_page)
    titles = ["Answers"] * ceil(len(answers) / ANSWERS_A_PAGE)
    solved = list(zip(numbered, answers, strict=True)) if answers else []
    for batch_of in _batches(solved, ANSWERS_A_PAGE):
        setter.turn()
        setter.alone(Block(setter.sheet.inner, _HEADING - setter.sheet.gap, lambda: [_head(style)]))
        _fill(setter, [_answer(one, view, style) for one, view in batch_of], ANSWERS_A_PAGE)
    titles = [f"Page {number + 1}" for number in range(len(setter.leaves) - len(titles))] + titles
    return [
        leaf.picture(number, style, title)
        for number, (leaf, title) in enumerate(zip(setter.leaves, titles, strict=True), start=1)
    ]


def _head(style: Style) -> Mark:
    return Text(0, 4, "Answers", 6, style.ink, True, "start", role="heading")


def _puzzle(number: int, puzzle: Puzzle, style: Style, share: float) -> Drawing:
    return lambda wide, high: picture(
        puzzle, width=wide, height=high, style=style, number=number, share=share
    )


def _answer(numbered: tuple[int, Puzzle], view: View, style: Style) -> Drawing:
    number, puzzle = numbered
    bare = replace(puzzle, rules=(), doublers=False, credit="")
    return lambda wide, high: picture(
        bare, view, width=wide, style=style, number=number, legend=False
    )


def _fill(setter: Setter, drawings: Sequence[Drawing], places: int) -> None:
    """Divide the rest of a page into equal places.

    The number of columns is the one that leaves most room for a grid, which with its heading is
    about as high as wide.
    """
    sheet, leaf = setter.sheet, setter.leaves[-1]
    free = sheet.depth - leaf.used - (sheet.gap if leaf.rows else 0.0)

    def room(columns: int) -> tuple[float, float]:
        rows = ceil(places / columns)
        return sheet.column(columns), (free - (rows - 1) * sheet.gap) / rows

    columns = max(range(1, places + 1), key=lambda n: min(room(n)[0], room(n)[1] / 1.15))
    wide, high = room(columns)
    setter.shelf([_place(drawing, wide, high) for drawing in drawings])


def _place(drawing: Drawing, wide: float, high: float) -> Block:
    """A picture in its place, scaled down if it is still too high."""

    def draw() -> list[Mark]:
        drawn = drawing(wide, high)
        scale = min(1.0, high / drawn.height)
        return [drawn.as_group((wide - scale * drawn.width) / 2, 0, scale)]

    return Block(wide, high, draw)


def _batches(items: Sequence[Item], size: int) -> Iterator[Sequence[Item]]:
    for start in range(0, len(items), size):
        yield items[start : start + size]
