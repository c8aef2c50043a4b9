"""Regions of given shapes."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from typing import Annotated, ClassVar, Literal

from pydantic import BeforeValidator, Field

from gridassay.encodings.board import Board, Filled, Part
from gridassay.encodings.constraints import AllOf, AnyOf, Constraint, HowMany, In
from gridassay.encodings.grid import Canvas, Cell
from gridassay.encodings.rules.base import RuleError, Shape
from gridassay.encodings.rules.piece_words import Form, at_origin, form, looks_of, pieces_in_words
from gridassay.encodings.rules.regions import OnRegions
from gridassay.encodings.wording import quantity


def _read_drawing(given: object) -> object:
    if not isinstance(given, list | tuple) or not given:
        raise ValueError("this must be an array of shapes, each drawn with # and .")
    for number, text in enumerate(given, start=1):
        if not isinstance(text, str) or not set(text) <= set("#. \n\t\r/"):
            raise ValueError(f"shape {number} is not drawn with # and .")
        cells = form(text)
        if not cells:
            raise ValueError(f"shape {number} has no cells: draw them with #")
        left, waiting = set(cells), [min(cells)]
        left.discard(waiting[0])
        for row, column in waiting:
            near = {(row + 1, column), (row - 1, column), (row, column + 1), (row, column - 1)}
            waiting += sorted(near & left)
            left -= near
        if left:
            raise ValueError(f"shape {number} is not connected by sides")
    return tuple(given)


class Shapes(OnRegions):
    """The regions have these shapes, each used once; with `times = "any"`, any number of times.

    `shapes` draws each with `#` and `.`, row by row; a shape that is listed twice is used twice. They
    may be turned (`turn = false`: they may not) and mirrored (`flip = false`).

    Example: `kind = "shapes"`, `layer = "parishes"`, `shapes = ["##/#.", "#"]`: a corner of three cells
    and a single cell fill a 2×2 square in four ways.
    """

    kind: Literal["shapes"] = "shapes"
    drawings: Annotated[tuple[str, ...], BeforeValidator(_read_drawing)] = Field(
        alias="shapes", description="each drawn with # and ., rows as lines or separated by /"
    )
    times: Literal["once", "any"] = Field(default="once", description="how often each is used")
    turn: bool = Field(default=True, description="whether they may be turned")
    flip: bool = Field(default=True, description="whether they may be mirrored left to right")

    sentence: ClassVar[str] = "The regions have the shapes shown."

    @property
    def spoken(self) -> str:
        """Its name in steps: ``shapes of the parishes``."""
        return f"shapes of the {self.layer}"

    def wording(self) -> str:
        """The sentence, with the shapes, how often each is used, and what may be done with them."""
        shown = pieces_in_words(self._pieces(), self.turn, self.flip)
        often = "each used once" if self.times == "once" else "each used any number of times"
        if self.times == "once" and max(self._shape_counts().values()) > 1:
            often = "each used as often as listed"
        may = {
            (True, True): "they may be turned and mirrored",
            (True, False): "they may be turned but not mirrored",
            (False, True): "they may be mirrored left to right but not turned",
            (False, False): "they may be neither turned nor mirrored",
        }[self.turn, self.flip]
        return f"The regions ({self.layer}) have these shapes, {often}; {may}: {shown}."

    def _pieces(self) -> list[Form]:
        """The shapes as often as they are used; each once if that is any number of times."""
        pieces = [form(text) for text in self.drawings]
        if self.times == "once":
            return pieces
        kinds: dict[frozenset[Form], Form] = {}
        for piece in pieces:
            kinds.setdefault(looks_of(piece, self.turn, self.flip), piece)
        return list(kinds.values())

    def shapes(self, board: Board) -> Iterator[Shape]:
        """Its pieces, beside the sentence."""
        pieces = map(sorted, self._pieces())
        moved_in = (tuple(Cell(row + 1, column + 1) for row, column in one) for one in pieces)
        yield Shape("grid", pieces=tuple(moved_in))

    def place(self) -> str:
        """Its layer and how many shapes there are."""
        return f"{self.layer} {quantity(len(self.drawings), 'shape')}"

    def check(self, board: Board) -> None:
        """Shapes that are each used once fill the canvas."""
        super().check(board)
        total = sum(len(form(text)) for text in self.drawings)
        if self.times == "once" and total != len(board.canvas.cells):
            raise RuleError(
                f"shapes have {total} cells together, but the canvas has {len(board.canvas.cells)}",
                key="shapes",
            )

    def _shape_counts(self) -> Counter[frozenset[Form]]:
        """The distinct shapes, each with the number of times it is listed."""
        return Counter(looks_of(form(text), self.turn, self.flip) for text in self.drawings)

    def holds(self, filled: Filled) -> bool:
        """Each region is one of the shapes, and each shape appears as often as stated."""
        layer, board = self.regions(filled.board), filled.board
        wanted, met = self._shape_counts(), Counter[frozenset[Form]]()
        number = self.region_of(filled)
        for region in layer.regions(board.canvas, filled.numbers):
            pairs = [(a, b) for a in region for b in board.canvas.neighbours(a) if a < b]
            inner = [pair for pair in pairs if number[pair[0]] == number[pair[1]]]
            if any(filled.numbers[layer.together(*pair)] != 1 for pair in inner):
                return False
            look = at_origin((cell.row, cell.column) for cell in region)
            one = next((looks for looks in wanted if look in looks), None)
            if one is None:
                return False
            met[one] += 1
        return self.times == "any" or met == wanted

    def _places(self, canvas: Canvas, looks: frozenset[Form]) -> Iterator[frozenset[Cell]]:
        """The places where a shape can lie, in any orientation."""
        for look in sorted(looks, key=sorted):
            for row in range(1, canvas.rows + 1):
                for column in range(1, canvas.columns + 1):
                    cells = frozenset(Cell(row + down, column + right) for down, right in look)
                    if all(cell in canvas.index for cell in cells):
                        yield cells

    def _lies(self, board: Board, cells: frozenset[Cell]) -> Constraint:
        """These cells are exactly one region."""
        layer, canvas = self.regions(board), board.canvas
        said: dict[tuple[Cell, Cell], In] = {}
        for cell in sorted(cells):
            for other in canvas.neighbours(cell):
                first, second = sorted((cell, other))
                same = frozenset({int(other in cells)})
                said[first, second] = In(layer.together(first, second), same)
        return AllOf(tuple(said.values()))

    def parts(self, board: Board) -> Iterator[Part]:
        """One part per cell: some shape lies on it; one per shape: it appears as often as stated."""
        over: dict[Cell, list[Constraint]] = {cell: [] for cell in board.canvas.cells}
        counts: list[tuple[int, tuple[Constraint, ...]]] = []
        for looks, times in self._shape_counts().items():
            lying = []
            for cells in self._places(board.canvas, looks):
                stated = self._lies(board, cells)
                lying.append(stated)
                for cell in cells:
                    over[cell].append(stated)
            counts.append((times, tuple(lying)))
        for cell, options in over.items():
            yield Part(f"{self.layer}: a shape lies on {cell}", AnyOf(tuple(options)))
        for number, (times, lying_once) in enumerate(counts, start=1):
            if self.times == "once":
                once = HowMany(lying_once, frozenset({times}))
                yield Part(f"{self.layer}: shape {number} {quantity(times, 'time')}", once)
