"""Pages of a book: several puzzles to a page, numbered, with the answers at the back."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from math import ceil
from typing import Literal, TypeVar

from gridassay.encodings.puzzle import Puzzle
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

Item = TypeVar("Item")


@dataclass(frozen=True)
class Layout:
    """How pages are filled: the paper, puzzles to a page, and the margin in shares of its width."""

    paper: Paper = "a4"
    per_page: int = 1
    margin: float = 0.08
    gap: float = 0.05


def pages(
    puzzles: Sequence[Puzzle],
    layout: Layout,
    *,
    answers: Sequence[View] = (),
    style: Style = LIGHT,
) -> list[Picture]:
    """The pages of a book, numbered at the foot.

    Puzzles are numbered from 1; the same rule looks the same in all of them, and grids are equally wide,
    clues beside them or not. ``answers`` are the views of their solutions in the same order: with them
    the book ends in pages of small solved grids under the same numbers.
    """
    numbered = list(enumerate(puzzles, start=1))
    style = run_style(puzzles, style)
    share = min(map(grid_share, puzzles), default=1.0)
    sheets = [
        (_sheet(batch, layout, style, share), "") for batch in _batches(numbered, layout.per_page)
    ]
    solved = list(zip(numbered, answers, strict=True)) if answers else []
    sheets += [
        (_answer_sheet(batch, layout, style), "Answers")
        for batch in _batches(solved, ANSWERS_A_PAGE)
    ]
    return [
        _page(marks, heading, number, layout, style)
        for number, (marks, heading) in enumerate(sheets, start=1)
    ]


def _page(marks: list[Mark], heading: str, number: int, layout: Layout, style: Style) -> Picture:
    width, height = PAPERS[layout.paper]
    margin = layout.margin * width
    foot = Text(width / 2, height - 0.5 * margin, str(number), 3.2, style.quiet, role="page number")
    marks = [*marks, foot]
    if heading:
        marks.append(Text(margin, margin + 4, heading, 6, style.ink, True, "start", role="heading"))
    title = heading or f"Page {number}"
    return Picture(width, height, tuple(marks), style.paper, style.font, title)


def _sheet(
    batch: Sequence[tuple[int, Puzzle]], layout: Layout, style: Style, share: float
) -> list[Mark]:
    slots = list(_slots(layout.per_page, layout))
    return [
        _fitted(
            picture(puzzle, width=wide, height=high, style=style, number=number, share=share),
            left,
            top,
            wide,
            high,
        )
        for (number, puzzle), (left, top, wide, high) in zip(batch, slots, strict=False)
    ]


def _answer_sheet(
    batch: Sequence[tuple[tuple[int, Puzzle], View]], layout: Layout, style: Style
) -> list[Mark]:
    marks: list[Mark] = []
    slots = _slots(ANSWERS_A_PAGE, layout, top=12.0)
    for ((number, puzzle), view), (left, top, wide, high) in zip(batch, slots, strict=False):
        bare = replace(puzzle, rules=(), doublers=False, credit="")
        solved = picture(bare, view, width=wide, style=style, number=number, legend=False)
        marks.append(_fitted(solved, left, top, wide, high))
    return marks


def _fitted(drawn: Picture, left: float, top: float, wide: float, high: float) -> Mark:
    """A picture in its slot, made smaller as a whole if it is still too high."""
    scale = min(1.0, high / drawn.height)
    return drawn.placed(left + (wide - scale * drawn.width) / 2, top, scale)


def _slots(
    count: int, layout: Layout, top: float = 0.0
) -> Iterator[tuple[float, float, float, float]]:
    """Left, top, width and height of each place on a page, in reading order.

    There are as many columns as leave the most room for a grid, which is about as
    high as wide with its heading.
    """
    width, height = PAPERS[layout.paper]
    margin, gap = layout.margin * width, layout.gap * width

    def room(columns: int) -> tuple[float, float]:
        rows = ceil(count / columns)
        return (
            (width - 2 * margin - (columns - 1) * gap) / columns,
            (height - 2 * margin - top - (rows - 1) * gap) / rows,
        )

    columns = max(range(1, count + 1), key=lambda n: min(room(n)[0], room(n)[1] / 1.15))
    wide, high = room(columns)
    for place in range(count):
        row, column = divmod(place, columns)
        yield margin + column * (wide + gap), margin + top + row * (high + gap), wide, high


def _batches(items: Sequence[Item], size: int) -> Iterator[Sequence[Item]]:
    for start in range(0, len(items), size):
        yield items[start : start + size]
