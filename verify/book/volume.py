"""A book as pages, laid out and then printed: cover, contents, chapters, hints, answers, routes."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from gridassay.encodings.lines import PuzzleError
from gridassay.encodings.puzzle import Puzzle
from gridassay.verify.book.contents import Book, Entry
from gridassay.verify.book.hints import GRADES, hints_of
from gridassay.verify.book.parts import Setting, answer_block, explanations, no_answer, puzzle_block
from gridassay.verify.book.setting import Block, Leaf, Setter, Sheet, heading, paragraph
from gridassay.verify.budget import DEFAULT_SECONDS, Clock, OutOfTime
from gridassay.verify.counting.answers import read_solution
from gridassay.verify.draw.marks import Box, Lines, Mark, Picture, Stroke, Text
from gridassay.verify.draw.pdf import Bookmark
from gridassay.verify.draw.route_sheet import Paper, sheet_pages
from gridassay.verify.draw.scene import picture, spread
from gridassay.verify.draw.style import Style
from gridassay.verify.draw.text_size import text_width, wrap
from gridassay.verify.draw.view import View
from gridassay.verify.draw.views import view_of_solution
from gridassay.verify.solving.routes import route
from gridassay.verify.words import quantity

_COLUMN = 74.0
"""The least width of a column, of puzzles or of text."""
_ANSWER_CELL, _LEAST_ANSWER = 3.9, 34.0
_LEAST_SECTION = 45.0
"""The height that a page must have left for the next grade of hints to begin on it."""
_LINE = 5.6
"""The distance from one line of the contents to the next."""


@dataclass
class Volume:
    """The pages of a book, to be printed one after another, and notes taken while they were set.

    ``known`` is asked again when the pages are printed. ``starts`` has the page of each puzzle by
    its number; ``fitted`` the puzzles with smaller cells than the book's, and the width of these;
    ``unanswered`` the puzzles for which no single solution is known.
    """

    book: Book
    style: Style
    leaves: list[Leaf] = field(default_factory=list)
    outline: list[Bookmark] = field(default_factory=list)
    starts: dict[int, int] = field(default_factory=dict)
    fitted: dict[int, float] = field(default_factory=dict)
    unanswered: list[Entry] = field(default_factory=list)

    def __len__(self) -> int:
        return len(self.leaves)

    def pages(self) -> Iterator[Picture]:
        """The pages, each drawn when its turn comes."""
        for number, leaf in enumerate(self.leaves, start=1):
            yield leaf.picture(number, self.style, f"{self.book.title}, page {number}")


Known = Callable[[Entry, str], Any]
"""The answer about a puzzle by the name of the question: the record's ``answer_to``."""


def typeset(
    book: Book,
    style: Style,
    known: Known,
    *,
    budget: float = DEFAULT_SECONDS,
) -> Volume:
    """Lay out a book. Solutions and routes come from ``known``."""
    return _Press(book, style, known, budget).volume()


class _Press:
    """Lays out one book."""

    def __init__(self, book: Book, style: Style, known: Known, budget: float) -> None:
        self.book, self.style, self.known, self.budget = book, style, known, budget
        width, height = book.size
        self.sheet = Sheet(width, height, book.margin)
        self.setting = Setting(self.sheet, style, book.cell)
        self.setter = Setter(self.sheet)
        self.made = Volume(book, style)
        self.entries = list(book.entries)

    def volume(self) -> Volume:
        """The whole book, in order."""
        self._cover()
        self._contents()
        self._chapters()
        if self.book.hints:
            self._hints()
        if self.book.answers:
            self._answers()
        if self.book.walkthroughs:
            self._walkthroughs()
        self.made.leaves = self.setter.leaves
        return self.made

    def _begin(
        self, title: str, running: str = "", *, level: int = 0, spread: bool = False
    ) -> None:
        self.setter.turn(running or title, spread=spread)
        self.made.outline.append(Bookmark(title, self.setter.number, level))

    def _cover(self) -> None:
        self._begin(self.book.title)
        leaf = self.setter.leaves[-1]
        leaf.numbered = False
        high = self.sheet.height - 2 * self.sheet.margin
        leaf.rows.append([])
        block = Block(self.sheet.inner, high, self._cover_marks)
        leaf.rows.clear()
        leaf.put([(0.0, block)], 0.0)

    def _cover_marks(self) -> list[Mark]:
        """A band across the top to the very edge, the title on it, and the first puzzle's grid."""
        style, sheet = self.style, self.sheet
        beyond = 20.0  # past the edge, for the trim
        band = 0.42 * sheet.height
        marks: list[Mark] = [
            Box(
                -sheet.margin - beyond,
                -sheet.margin - beyond,
                sheet.width + 2 * beyond,
                band + beyond,
                0,
                None,
                style.ink,
                "cover",
            )
        ]
        size = min(15.0, sheet.inner / 9)
        lines = list(wrap(self.book.title, size, sheet.inner, bold=True))
        while len(lines) * 1.2 * size > band - sheet.margin - 16 and size > 5:
            size *= 0.9
            lines = list(wrap(self.book.title, size, sheet.inner, bold=True))
        y = 0.2 * band
        for line in lines:
            y += 1.2 * size
            marks.append(Text(0, y, line, size, style.paper, True, "start", role="book title"))
        count = quantity(len(self.entries), "puzzle")
        marks.append(Text(0, y + 9, count, 4.4, style.paper, False, "start", role="book words"))
        first = self.entries[0].puzzle()
        room = sheet.height - 2 * sheet.margin - (band - sheet.margin) - 24
        across, down = spread(first)
        cell = min(0.62 * sheet.inner / across, room / down)
        drawn = picture(first, width=cell * across, style=style, heading=False, legend=False)
        marks.append(drawn.as_group(0, band - sheet.margin + 12))
        if self.book.credit:
            at = sheet.height - 2 * sheet.margin
            marks.append(
                Text(0, at, self.book.credit, 3.6, style.ink, False, "start", role="credit")
            )
        return marks

    def _contents(self) -> None:
        """The table of contents; its page numbers are looked up when it is printed."""
        rows: list[tuple[str, str, int | str]] = []
        for chapter in self.book.chapters:
            if chapter.title:
                rows.append(
                    ("", chapter.title, chapter.entries[0].number if chapter.entries else "")
                )
            rows += [
                (str(entry.number), entry.title or entry.printed, entry.number)
                for entry in chapter.entries
            ]
        rows += [
            ("", title, title)
            for title, there in (
                ("Hints", self.book.hints),
                ("Answers", self.book.answers),
                ("Walkthroughs", self.book.walkthroughs),
            )
            if there
        ]
        self._begin("Contents")
        self.setter.alone(heading("Contents", self.sheet.inner, self.style, 7.0))
        count = self.sheet.columns(_COLUMN)
        wide = self.sheet.column(count)
        blocks = [
            Block(wide, _LINE if number else 1.5 * _LINE, self._line(number, title, where, wide))
            for number, title, where in rows
        ]
        self.setter.columns(blocks, count, 0.0)

    def _line(
        self, number: str, title: str, where: int | str, wide: float
    ) -> Callable[[], list[Mark]]:
        def draw() -> list[Mark]:
            style, size = self.style, 3.2
            y = 0.7 * _LINE if number else 1.15 * _LINE
            page = str(self._page(where))
            indent = 9.0 if number else 0.0
            name = next(iter(wrap(title, size, wide - indent - 12, bold=not number)), "")
            shown = name if len(name) >= len(title.strip()) else f"{name} …"
            marks: list[Mark] = [
                Text(indent, y, shown, size, style.ink, not number, "start", role="contents"),
                Text(wide, y, page, size, style.ink, not number, "end", role="contents page"),
            ]
            if number:
                marks.append(Text(6.5, y, number, size, style.quiet, False, "end", role="number"))
            begin = indent + text_width(shown, size, bold=not number) + 2
            end = wide - text_width(page, size, bold=not number) - 2
            if end > begin:
                dots = Stroke(style.hairline, 0.3, (0.3, 1.2))
                marks.append(_rule(begin, end, y - 0.3, dots))
            return marks

        return draw

    def _page(self, where: int | str) -> int:
        if isinstance(where, int):
            return self.made.starts[where]
        return next(one.page for one in self.made.outline if one.title == where)

    def _chapters(self) -> None:
        known: set[str] = set()
        count = self.sheet.columns(max(_COLUMN, 9.12 * self.book.cell))
        for chapter in self.book.chapters:
            if not chapter.entries:
                continue
            title = chapter.title or self.book.title
            self._begin(title, spread=True)
            head = [heading(title, self.sheet.inner, self.style, 9.0, "chapter")]
            if not chapter.title:
                head = []
            waiting: list[tuple[Entry, Block]] = []
            for entry in chapter.entries:
                puzzle = entry.puzzle()
                fresh = head + explanations(
                    puzzle, entry.number, known, self.sheet.inner, self.setting
                )
                head = []
                block, cell = self._set(entry, puzzle, count)
                if cell < 0.995 * self.book.cell:
                    self.made.fitted[entry.number] = cell
                if fresh or count == 1:
                    self._shelve(waiting)
                    self._with(entry, fresh, block)
                else:
                    waiting.append((entry, block))
            self._shelve(waiting)

    def _set(self, entry: Entry, puzzle: Puzzle, count: int) -> tuple[Block, float]:
        """A puzzle in a column, or over the whole width if a column would make its cells smaller."""
        wide = self.sheet.column(count)
        across, _ = spread(puzzle)
        if across * self.book.cell > 1.005 * wide:
            wide = self.sheet.inner
        return puzzle_block(puzzle, entry.number, wide, self.setting)

    def _with(self, entry: Entry, fresh: Sequence[Block], block: Block) -> None:
        """A puzzle below the rules that it introduces, all on one page if they fit."""
        high = sum(one.height + self.sheet.gap for one in (*fresh, block)) - self.sheet.gap
        if high <= self.sheet.depth:
            self.setter.together([*fresh, block])
        else:
            for one in (*fresh, block):
                self.setter.alone(one)
        self._starts(entry, self.setter.number)

    def _shelve(self, waiting: list[tuple[Entry, Block]]) -> None:
        pages = self.setter.shelf([block for _, block in waiting])
        for (entry, _), page in zip(waiting, pages, strict=True):
            self._starts(entry, page)
        waiting.clear()

    def _starts(self, entry: Entry, page: int) -> None:
        self.made.starts[entry.number] = page
        self.made.outline.append(Bookmark(entry.printed, page, 1))

    def _hints(self) -> None:
        self._begin("Hints")
        self.setter.alone(heading("Hints", self.sheet.inner, self.style, 7.0))
        count = self.sheet.columns(_COLUMN)
        wide = self.sheet.column(count)
        told = [
            (entry, hints_of(self.known(entry, "route"), entry.puzzle().rule_phrases))
            for entry in self.entries
        ]
        for grade, title in enumerate(GRADES):
            if grade and self.setter.leaves[-1].room() < _LEAST_SECTION:
                self.setter.again()
            self.made.outline.append(Bookmark(title, self.setter.number, 1))
            self.setter.alone(heading(title, self.sheet.inner, self.style, 4.2))
            blocks = [
                paragraph(said[grade], wide, self.style, 2.9, label=str(entry.number), role="hint")
                for entry, said in told
                if said[grade]
            ]
            self.setter.columns(blocks, count, 1.6)

    def _answers(self) -> None:
        self._begin("Answers")
        self.setter.alone(heading("Answers", self.sheet.inner, self.style, 7.0))
        places = self.sheet.columns(_LEAST_ANSWER)
        least = self.sheet.column(places)
        blocks = []
        for entry in self.entries:
            puzzle = entry.puzzle()
            view = self._solution(entry, puzzle)
            if view is None:
                self.made.unanswered.append(entry)
            wide = min(self.sheet.inner, max(least, _ANSWER_CELL * puzzle.canvas.columns))
            blocks.append(self._answer(entry, puzzle, view, wide))
        self.setter.shelf(blocks, 5.0)

    def _answer(self, entry: Entry, puzzle: Puzzle, view: View | None, wide: float) -> Block:
        """An answer that is read again when its page is printed, so that no grid is kept."""
        solved = view is not None
        missing = "" if solved else no_answer(self.known(entry, "verdict"))
        block = answer_block(puzzle, entry.number, view, wide, self.style, missing)

        def draw() -> Sequence[Mark]:
            again = entry.puzzle()
            shown = self._solution(entry, again) if solved else None
            return answer_block(again, entry.number, shown, wide, self.style, missing).draw()

        return Block(block.width, block.height, draw)

    def _solution(self, entry: Entry, puzzle: Puzzle) -> View | None:
        verdict: Mapping[str, Any] | None = self.known(entry, "verdict")
        if not verdict or verdict["verdict"] != "unique":
            return None
        return solution_view(puzzle, verdict, self.budget)

    def _walkthroughs(self) -> None:
        self._begin("Walkthroughs")
        self.setter.alone(heading("Walkthroughs", self.sheet.inner, self.style, 7.0))
        for entry in self.entries:
            found = route(entry.puzzle(), budget=self.budget)
            form = Paper(self.sheet.inner, self.sheet.depth, 0.0)
            for place, page in enumerate(sheet_pages(found, form=form)):
                self.setter.again()
                if not place:
                    self.made.outline.append(Bookmark(entry.printed, self.setter.number, 1))
                self.setter.alone(_sheet_block(page))


def _sheet_block(page: Picture) -> Block:
    """A page of a walkthrough without its own number."""
    marks = [
        mark for mark in page.marks if not (isinstance(mark, Text) and mark.role == "page number")
    ]
    return Block(page.width, page.height, lambda: marks)


def _rule(begin: float, end: float, y: float, stroke: Stroke) -> Mark:
    return Lines((((begin, y), (end, y)),), stroke, role="leader")


def solution_view(puzzle: Puzzle, verdict: Mapping[str, Any], budget: float) -> View | None:
    """The one solution of a puzzle from its verdict as JSON, with letters and layers."""
    words = [one for one in verdict["solutions"][:1] if one]
    layers = verdict.get("layers")
    for name, shown in (layers[0] if layers else {}).items():
        words.append(f"{name}={shown.replace(' ', ',')}")
    try:
        return view_of_solution(puzzle, read_solution(puzzle, " ".join(words), Clock(budget)))
    except (PuzzleError, OutOfTime):
        return None
