"""The base of every rule: fields, a plain reading, a statement in the constraint language, a shape.

A rule is a small frozen class. Its fields come from a puzzle file and are validated by pydantic;
``check`` adds what only the board can tell (cells on the canvas, values that no digits reach). Its
docstring is its page of the reference. It knows nothing of clauses, solvers or pictures.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise, product
from typing import Annotated, Any, ClassVar, Literal

from pydantic import (
    AfterValidator,
    BaseModel,
    BeforeValidator,
    ConfigDict,
    Field,
    PlainSerializer,
    WithJsonSchema,
)

from gridassay.encodings.board import Board, Filled, Part
from gridassay.encodings.constraints import Table, Variable
from gridassay.encodings.counted import CountsAs, NoValueError
from gridassay.encodings.errors import RuleError as RuleError
from gridassay.encodings.grid import Cell, GridError, parse_cells
from gridassay.encodings.notation import listing as listing
from gridassay.encodings.reserved import free
from gridassay.encodings.wording import reach


def _read_cells(given: object) -> tuple[Cell, ...]:
    """Read ``cells``: a string of references or an array of such strings."""
    texts = [given] if isinstance(given, str) else given
    if not isinstance(texts, list | tuple):
        raise ValueError("cells are written as one string or an array of strings")
    cells: list[Cell] = []
    for text in texts:
        if isinstance(text, Cell):
            cells.append(text)
        elif isinstance(text, str):
            try:
                cells.extend(parse_cells(text))
            except GridError as error:
                raise ValueError(str(error)) from None
        else:
            raise ValueError(f"{text!r} is not a cell")
    return tuple(cells)


def spell(cells: Iterable[Cell]) -> str:
    """Write cells as references: ``r1c1 r1c2``."""
    return " ".join(map(str, cells))


def _letter(given: object) -> object:
    if isinstance(given, str) and not re.fullmatch(r"[A-Za-z][A-Za-z0-9_]*", given):
        raise ValueError(f"{given!r} is neither a number nor a letter that stands for one")
    if isinstance(given, bool):
        raise ValueError("this must be a number or a letter")
    return free(given) if isinstance(given, str) else given


def _at_least(least: int) -> Callable[[int | str], int | str]:
    def check(given: int | str) -> int | str:
        if isinstance(given, int) and given < least:
            raise ValueError(f"a number here is at least {least} (it is {given})")
        return given

    return check


_CELLS_SCHEMA = {
    "anyOf": [{"type": "string"}, {"type": "array", "items": {"type": "string"}}],
    "description": "references such as 'r1c1 r1c2' or 'r1c1..r1c5', or an array of them",
}
Cells = Annotated[
    tuple[Cell, ...],
    BeforeValidator(_read_cells),
    PlainSerializer(spell, return_type=str),
    WithJsonSchema(_CELLS_SCHEMA),
]
"""Cells in order, written ``"r1c1 r1c2"`` or ``"r1c1..r1c5"``, or an array of such strings."""

Clue = Annotated[int | str, BeforeValidator(_letter)]
"""The number of a clue, or a letter that stands for one the same wherever it is written."""


ClueFrom0 = Annotated[Clue, AfterValidator(_at_least(0))]
ClueFrom1 = Annotated[Clue, AfterValidator(_at_least(1))]
ClueFrom2 = Annotated[Clue, AfterValidator(_at_least(2))]
"""Clues whose number, if they have one, is at least this."""

ANY_RULE: dict[str, Any] = {"title": "a rule of any kind"}
"""Stands for the schema of all rules in the JSON Schema of a field."""


def _as_list(given: object) -> object:
    if not isinstance(given, list | tuple):
        raise ValueError("this must be an array, such as [1, 2]")
    if not given:
        raise ValueError("nothing is listed")
    return tuple(given)


Listed = BeforeValidator(_as_list)
"""Lets a field that is a tuple be written as a non-empty array."""

Numbers = Annotated[tuple[int, ...], Listed, Field(min_length=1)]
"""One or more whole numbers, written as an array."""

DrawnAt = Literal["cells", "edge", "corner"]
"""Where a person points to draw a rule: at cells, between two of them, or where four of them meet."""

ShapeForm = Literal["line", "cage", "edge mark", "corner mark", "cell mark", "outside", "grid"]


@dataclass(frozen=True)
class Shape:
    """How a rule is drawn: a form, the cells it lies on in order, and the text at it.

    An *edge mark* lies between its two cells, a *corner mark* where its cells meet, an
    *outside* mark next to the first cell on the side that ``direction`` (rows down, columns right) comes
    from; *grid* has only its sentence to show, with the ``pieces`` that it speaks of, which lie on no
    board. ``first_end`` and ``last_end`` are the marks at the ends
    of a line, ``figure`` is drawn at a mark, behind its label.
    """

    form: ShapeForm
    cells: tuple[Cell, ...] = ()
    label: str = ""
    direction: tuple[int, int] = (0, 0)
    first_end: Literal["", "bulb", "circle", "arrow"] = ""
    last_end: Literal["", "bulb", "circle", "arrow"] = ""
    closed: bool = False
    figure: Literal["", "open dot", "full dot", "circle", "disc", "square", "shade"] = ""
    pieces: tuple[tuple[Cell, ...], ...] = ()


class Rule(BaseModel):
    """Base of every rule. A subclass gives ``kind``, its fields and the methods below.

    ``sentence`` is the rule said once for the whole puzzle, fit to print; a rule whose sentence
    depends on its fields overrides ``wording``. ``noun`` is what a person calls one, if the kind is
    not a noun; ``drawn_at`` is where someone points to draw it. If ``together`` is set, the
    sentence is about everything that one rule marks, so two such rules must look different.
    ``move`` is the move, ``a knight's move``, if it keeps cells different that are one move apart.
    ``needs_digits`` is whether it has no meaning on a canvas without digits. If ``defines`` is set, it
    says what cells count as: it is part of the board, not a premise, and has no parts.
    """

    # A puzzle file has to wait only for the validators of the kinds that it uses.
    model_config = ConfigDict(frozen=True, extra="forbid", strict=True, defer_build=True)

    kind: str
    id: Annotated[str, Field(min_length=1), AfterValidator(free)] | None = Field(
        default=None, description="what results call it"
    )
    optional: bool = Field(
        default=False, description="off for verdicts, a candidate when a puzzle needs repair"
    )

    text: str | None = Field(
        default=None,
        pattern=r"\S",
        description="the setter's own sentence, printed instead of ours",
    )

    sentence: ClassVar[str]
    noun: ClassVar[str] = ""
    move: ClassVar[str] = ""
    drawn_at: ClassVar[DrawnAt] = "cells"
    needs_digits: ClassVar[bool] = True
    together: ClassVar[bool] = False
    defines: ClassVar[bool] = False

    def where(self) -> tuple[Cell, ...]:
        """The cells it is drawn on, in order; none for a rule of the whole grid."""
        return ()

    def place(self) -> str:
        """Its place, in words that distinguish it from others of its kind."""
        return spell(self.where())

    def own_name(self) -> str:
        """Its name if it has no id: its kind and place."""
        return " ".join(filter(None, (self.kind, self.place())))

    def site(self) -> str:
        """Its place, as a sentence says it."""
        cells = self.where()
        return reach(cells) if self.place() == spell(cells) else self.place()

    def sign(self) -> str:
        """The text printed at it: its number, letter or digits."""
        return ""

    @property
    def spoken(self) -> str:
        """The usual name for a rule of its kind: ``little killer``, ``x-sum``."""
        return self.noun or re.sub(r"(?<=\w\w)-", " ", self.kind)

    @property
    def seen_as(self) -> str:
        """The feature by which its sentence picks it out; other rules may share it."""
        return self.kind

    def wording(self) -> str:
        """Our own sentence for it, true and complete for its fields; what is drawn may carry numbers."""
        return self.sentence

    @property
    def printed(self) -> str:
        """The sentence that is printed under the puzzle: the setter's own, if there is one."""
        return self.wording() if self.text is None else " ".join(self.text.split())

    def __init_subclass__(cls, **kwargs: Any) -> None:
        """Refuse the old name of ``wording``, which would be mistaken for the field of that name."""
        if callable(vars(cls).get("text")):
            raise TypeError(f"the method text of {cls.__name__} is now called wording")
        super().__init_subclass__(**kwargs)

    def doubts(self) -> Iterator[str]:
        """Possible slips in it, worded to follow its name; none of them is certain."""
        return iter(())

    def drawn(self) -> Iterator[Rule]:
        """The rules seen on the page: itself, or the rules that it is made of."""
        yield self

    def of_layers(self) -> tuple[str, ...]:
        """The layers that it mentions, by name."""
        return ()

    def counts_as(self, board: Board) -> CountsAs | None:
        """The numbers that some cells count as by it; None unless it ``defines`` that and can stand."""
        return None

    def check(self, board: Board) -> None:
        """Raise RuleError if it cannot stand on this board."""
        for cell in self.where():
            if cell not in board.canvas.index:
                raise RuleError(f"{cell} is not on the canvas", key=self._field_with(cell))

    def _field_with(self, cell: Cell) -> str:
        """The field of a file in which a cell is listed."""
        for name, field in type(self).model_fields.items():
            value = getattr(self, name)
            if isinstance(value, tuple) and any(cell in (one, *_cells_of(one)) for one in value):
                return field.alias or name
        return ""

    def letters(self, board: Board) -> Mapping[str, tuple[int, int]]:
        """The letters it mentions, each with the least and the greatest number it could be here."""
        return {}

    def holds(self, filled: Filled) -> bool:
        """Whether a full board keeps it: its meaning in plain Python."""
        raise NotImplementedError

    def parts(self, board: Board) -> Iterator[Part]:
        """Its statement in the constraint language, in parts that can be cited singly."""
        raise NotImplementedError

    def is_kept(self, filled: Filled) -> bool:
        """Whether it holds; false too if it reads a cell without a value."""
        try:
            return self.holds(filled)
        except NoValueError:
            return False

    def all_parts(self, board: Board) -> Iterator[Part]:
        """Its parts, which are false if they read a cell without a value."""
        if board.counting is None:
            return self.parts(board)
        # Imported here: in most puzzles every cell counts as its digit.
        from gridassay.encodings.no_value import strict_parts

        return strict_parts(self.parts(board), board)

    def shapes(self, board: Board) -> Iterator[Shape]:
        """The shapes that are drawn for it."""
        raise NotImplementedError


def _cells_of(one: object) -> tuple[object, ...]:
    return () if isinstance(one, Cell) or not isinstance(one, tuple) else one


def distinct_cells(cells: Sequence[Cell], key: str = "cells") -> None:
    """Raise RuleError if a cell is listed twice."""
    if len(set(cells)) != len(cells):
        again = next(cell for place, cell in enumerate(cells) if cell in cells[:place])
        raise RuleError(f"{again} is listed twice", key=key)


def length_between(cells: Sequence[Cell], least: int, most: int | None = None) -> None:
    """Raise RuleError if there are too few or too many cells."""
    if len(cells) < least or (most is not None and len(cells) > most):
        wanted = f"{least}" if most == least else f"at least {least}"
        if most not in (None, least):
            wanted = f"{least} to {most}"
        raise RuleError(f"cells lists {len(cells)}, but {wanted} are needed", key="cells")


def table(
    variables: Sequence[Variable],
    domains: Sequence[Sequence[int]],
    allowed: Callable[..., bool],
) -> Table:
    """The table of all values for which ``allowed(*values)`` is true."""
    rows = frozenset(row for row in product(*domains) if allowed(*row))
    return Table(tuple(variables), rows)


def along(cells: Sequence[Cell], *, closed: bool) -> Iterator[tuple[Cell, Cell]]:
    """Neighbouring cells of a line, the last with the first if it is closed."""
    yield from pairwise(cells)
    if closed:
        yield cells[-1], cells[0]
