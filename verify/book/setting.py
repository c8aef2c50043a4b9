"""The typesetter: places blocks of known sizes on pages; they are drawn when a page is printed.

A block is measured when it is made and draws itself again each time its page is asked for, so that a
book of hundreds of pages is never held as pictures. Lengths are millimetres from the top left corner of
the trimmed page.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace

from gridassay.verify.draw.marks import Mark, Picture, Text
from gridassay.verify.draw.style import Style
from gridassay.verify.draw.text_size import wrap

_SPREAD = 10.0
"""The most that rows are moved apart to fill a page, in millimetres."""
_SUNK = 18.0
"""The most that a lone block is moved down its page, so that it does not hang at the top."""


@dataclass(frozen=True)
class Sheet:
    """A page to be filled, and the size of its running text."""

    width: float
    height: float
    margin: float
    gap: float = 7.0
    foot: float = 7.0
    size: float = 3.2

    @property
    def inner(self) -> float:
        """The width between the margins."""
        return self.width - 2 * self.margin

    @property
    def depth(self) -> float:
        """The height between the margins, without the foot."""
        return self.height - 2 * self.margin - self.foot

    def columns(self, least: float) -> int:
        """How many columns of at least this width fit side by side."""
        return max(1, int((self.inner + self.gap) / (least + self.gap)))

    def column(self, count: int) -> float:
        """The width of one of this many columns."""
        return (self.inner - (count - 1) * self.gap) / count


@dataclass(frozen=True)
class Block:
    """A piece that is never divided. ``draw`` gives its marks, with its top left corner at 0."""

    width: float
    height: float
    draw: Callable[[], Sequence[Mark]]

    def fitted(self, wide: float, high: float) -> Block:
        """The block, scaled down if it does not fit."""
        scale = min(1.0, wide / self.width, high / self.height)
        if scale == 1.0:
            return self
        draw = self.draw
        return Block(
            self.width * scale,
            self.height * scale,
            lambda: [mark.moved(0, 0, scale) for mark in draw()],
        )


@dataclass(frozen=True)
class _Placed:
    left: float
    top: float
    block: Block


@dataclass
class Leaf:
    """One page: its rows of blocks, the text at its foot, and its name in the outline."""

    sheet: Sheet
    running: str = ""
    rows: list[list[_Placed]] = field(default_factory=list)
    used: float = 0.0
    spread: bool = False
    numbered: bool = True

    def room(self) -> float:
        """The height that is still free."""
        return self.sheet.depth - self.used

    def put(self, row: Sequence[tuple[float, Block]], gap: float) -> None:
        """Place blocks side by side, each at its distance from the left margin."""
        top = self.used + (gap if self.rows else 0.0)
        self.rows.append([_Placed(left, top, block) for left, block in row])
        self.used = top + max(block.height for _, block in row)

    def marks(self) -> list[Mark]:
        """Everything on it but the foot."""
        spare = max(0.0, self.room()) if self.spread else 0.0
        between = min(_SPREAD, spare / (len(self.rows) - 1)) if len(self.rows) > 1 else 0.0
        down = min(_SUNK, spare / 3) if len(self.rows) == 1 else 0.0
        margin = self.sheet.margin
        return [
            mark.moved(margin + one.left, margin + one.top + down + place * between, 1)
            for place, row in enumerate(self.rows)
            for one in row
            for mark in one.block.draw()
        ]

    def picture(self, number: int, style: Style, title: str) -> Picture:
        """The page as a picture, with its number."""
        sheet = self.sheet
        marks = self.marks()
        if self.numbered:
            y = sheet.height - max(0.5 * sheet.margin, 6.0)
            marks.append(Text(sheet.width / 2, y, str(number), 3.2, style.ink, role="page number"))
            if self.running:
                # On the outer side: odd pages are on the right.
                right = number % 2 == 1
                marks.append(
                    Text(
                        sheet.width - sheet.margin if right else sheet.margin,
                        y,
                        self.running,
                        2.5,
                        style.quiet,
                        anchor="end" if right else "start",
                        role="running",
                    )
                )
        return Picture(sheet.width, sheet.height, tuple(marks), style.paper, style.font, title)


class Setter:
    """Fills pages one after another."""

    def __init__(self, sheet: Sheet) -> None:
        self.sheet = sheet
        self.leaves: list[Leaf] = []

    @property
    def number(self) -> int:
        """The number of the page that is being filled."""
        return len(self.leaves)

    def turn(self, running: str = "", *, spread: bool = False, numbered: bool = True) -> Leaf:
        """Begin a new page."""
        self.leaves.append(Leaf(self.sheet, running, spread=spread, numbered=numbered))
        return self.leaves[-1]

    def again(self) -> Leaf:
        """Begin a new page like the last."""
        last = self.leaves[-1]
        return self.turn(last.running, spread=last.spread, numbered=last.numbered)

    def alone(self, block: Block, gap: float | None = None) -> None:
        """Place a block over the whole width, on the next page if it does not fit."""
        self.together([block], gap)

    def together(self, blocks: Sequence[Block], gap: float | None = None) -> None:
        """Place blocks below one another, on one page if they fit on one."""
        gap = self.sheet.gap if gap is None else gap
        high = sum(block.height for block in blocks) + gap * len(blocks)
        if high > self.leaves[-1].room() and self.leaves[-1].rows and high <= self.sheet.depth:
            self.again()
        for block in blocks:
            fitted = block.fitted(self.sheet.inner, self.sheet.depth)
            leaf = self.leaves[-1]
            if fitted.height + (gap if leaf.rows else 0) > leaf.room() + 1e-6 and leaf.rows:
                leaf = self.again()
            leaf.put([((self.sheet.inner - fitted.width) / 2, fitted)], gap)

    def shelf(self, blocks: Sequence[Block], gap: float | None = None) -> list[int]:
        """Place blocks in reading order, as many side by side as fit; return the page of each."""
        gap = self.sheet.gap if gap is None else gap
        inner, depth = self.sheet.inner, self.sheet.depth
        pages: list[int] = []
        row: list[Block] = []

        def finish() -> None:
            if not row:
                return
            leaf = self.leaves[-1]
            high = max(block.height for block in row)
            if high + (gap if leaf.rows else 0) > leaf.room() + 1e-6 and leaf.rows:
                leaf = self.again()
            # Each is centred in a place as wide as the widest.
            count = _places(row, inner, gap)
            pitch = (inner + gap) / count
            wide = pitch - gap
            placed = [
                (place * pitch + max(0.0, (wide - block.width) / 2), block)
                for place, block in enumerate(row)
            ]
            if any(block.width > wide + 1e-6 for block in row):
                placed, left = [], 0.0
                for block in row:
                    placed.append((left, block))
                    left += block.width + gap
            leaf.put(placed, gap)
            pages.extend([self.number] * len(row))
            row.clear()

        for block in blocks:
            fitted = block.fitted(inner, depth)
            if row and sum(one.width + gap for one in row) + fitted.width > inner + 1e-6:
                finish()
            row.append(fitted)
        finish()
        return pages

    def columns(self, blocks: Sequence[Block], count: int, gap: float) -> None:
        """Fill one column after another with blocks as wide as a column."""
        wide = self.sheet.column(count)
        leaf = self.leaves[-1]
        column: list[Block] = []
        row: list[Block] = []
        top = leaf.used + (self.sheet.gap if leaf.rows else 0.0)
        if self.sheet.depth - top < min(20.0, self.sheet.depth / 2):
            leaf, top = self.again(), 0.0
        room = self.sheet.depth - top

        def put() -> None:
            if row:
                self.leaves[-1].put(
                    [(place * (wide + self.sheet.gap), one) for place, one in enumerate(row)],
                    self.sheet.gap,
                )
                row.clear()

        for block in blocks:
            high = sum(one.height + gap for one in column)
            if column and high + block.height > room:
                row.append(_stack(column, gap))
                column = []
                if len(row) == count:
                    put()
                    self.again()
                    room = self.sheet.depth
            column.append(block)
        if column:
            row.append(_stack(column, gap))
        put()


def _places(row: Sequence[Block], inner: float, gap: float) -> int:
    """How many blocks as wide as the widest fit side by side."""
    widest = max(block.width for block in row)
    return max(len(row), int((inner + gap + 1e-6) / (widest + gap)))


def _stack(blocks: Sequence[Block], gap: float) -> Block:
    """Several blocks, below one another, as one block."""
    kept = tuple(blocks)

    def draw() -> list[Mark]:
        marks: list[Mark] = []
        top = 0.0
        for block in kept:
            marks += [mark.moved(0, top, 1) for mark in block.draw()]
            top += block.height + gap
        return marks

    high = sum(block.height + gap for block in kept) - gap
    return Block(max(block.width for block in kept), high, draw)


def paragraph(
    text: str,
    wide: float,
    style: Style,
    size: float,
    *,
    label: str = "",
    bold: bool = False,
    quiet: bool = False,
    role: str = "words",
) -> Block:
    """A text broken into lines, with a bold label before the first."""
    indent = 2.6 * size if label else 0.0
    lines = list(wrap(text, size, wide - indent, bold=bold))
    pitch = 1.42 * size
    colour = style.quiet if quiet else style.ink

    def draw() -> list[Mark]:
        marks: list[Mark] = [
            Text(indent, size + place * pitch, line, size, colour, bold, "start", role=role)
            for place, line in enumerate(lines)
        ]
        if label:
            marks.append(Text(0, size, label, size, style.ink, True, "start", role="label"))
        return marks

    return Block(wide, max(1, len(lines)) * pitch, draw)


def heading(text: str, wide: float, style: Style, size: float, role: str = "heading") -> Block:
    """A heading in large letters, with space below it."""
    block = paragraph(text, wide, style, size, bold=True, role=role)
    return replace(block, height=block.height + 0.35 * size)
