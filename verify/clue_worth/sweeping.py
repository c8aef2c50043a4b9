"""The sweep: a clue whose value is written "?" is tried with every value.

A *hole* is a given, or a number of a rule, written "?". Each is tried with every value it could have
while the others are left open: an open given counts as empty; a rule with an open number loses
the number if its kind allows that (a cage without a total), and otherwise is left out.

All of it is one compiled puzzle: a rule with a hole is in it once for every value, each
with its own switch.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from copy import deepcopy
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

from gridassay.encodings.files import FilePart, pieces
from gridassay.encodings.lines import OPEN, PuzzleError
from gridassay.encodings.puzzle import Fact, Puzzle
from gridassay.verify.budget import (
    DEFAULT_SECONDS,
    Clock,
    OutOfTime,
    looking_at_arguments,
    within_budget,
)
from gridassay.verify.counting.verdict import Status
from gridassay.verify.engines import sat_engine_for
from gridassay.verify.engines.questions import Assertion, Engine, Switch, another
from gridassay.verify.in_short import InShort

if TYPE_CHECKING:
    from gridassay.encodings.documents import Draft
    from gridassay.encodings.rules.base import Rule

MOST_VALUES = 2000


@dataclass(frozen=True)
class Hole:
    """A value written "?": its name, and each value with the premise that stands for it.

    The premise is a given, or the name of a rule that is optional in the layout's puzzle. ``place`` leads
    to a rule's number: the rule and those nested in it, from 1, and the field.
    """

    name: str
    values: Mapping[int, Fact | str]
    place: tuple[tuple[int, ...], str] | None = None


@dataclass(frozen=True, repr=False)
class OpenPuzzle(InShort):
    """A puzzle with holes. ``puzzle`` leaves all of them open; ``text`` is its file, where TOML."""

    puzzle: Puzzle
    holes: tuple[Hole, ...]
    text: str | None = None

    def in_short(self) -> str:
        """The puzzle and its holes."""
        size = f"{self.puzzle.canvas.rows}x{self.puzzle.canvas.columns}"
        return f"{self.puzzle.title or size}, open: {', '.join(hole.name for hole in self.holes)}"


@dataclass(frozen=True)
class Swept:
    """A hole with the verdict on each of its values, in rising order."""

    name: str
    verdicts: tuple[tuple[int, Status], ...]

    @property
    def unique(self) -> tuple[int, ...]:
        """The values that give one solution."""
        return tuple(value for value, verdict in self.verdicts if verdict == "unique")


@dataclass(frozen=True, repr=False)
class Sweep(InShort):
    """The verdicts on every value of every hole, each hole by itself."""

    layout: OpenPuzzle
    holes: tuple[Swept, ...]
    seconds: float

    def in_short(self) -> str:
        """The values of each hole that leave one solution."""
        found = ((hole.name, ", ".join(map(str, hole.unique)) or "no value") for hole in self.holes)
        return "; ".join(f"{name} unique with {values}" for name, values in found)

    @property
    def complete(self) -> bool:
        """Whether no value was left undecided."""
        return all(verdict != "undecided" for hole in self.holes for _, verdict in hole.verdicts)

    def to_json(self) -> dict[str, Any]:
        """Each hole with its values and their verdicts."""
        holes = [
            {
                "clue": hole.name,
                "values": [{"value": value, "verdict": said} for value, said in hole.verdicts],
            }
            for hole in self.holes
        ]
        puzzle = self.layout.puzzle
        named = {"title": puzzle.title, "source": puzzle.source}
        return named | {"sweep": holes, "seconds": round(self.seconds, 6)}


@within_budget
def sweep(
    layout: OpenPuzzle,
    *,
    budget: float | Clock = DEFAULT_SECONDS,
    step: Callable[[], None] = lambda: None,
) -> Sweep:
    """Try every value of every hole. Values that the budget does not reach are ``undecided``."""
    clock = Clock.of(budget)
    started = clock.time_spent()
    done = []
    for hole in layout.holes:
        verdicts: list[tuple[int, Status]] = []
        for value, choice in hole.values.items():
            try:
                engine = sat_engine_for(layout.puzzle, clock)
                verdicts.append((value, _verdict(layout.puzzle, engine, choice, clock)))
            except OutOfTime:
                verdicts.append((value, "undecided"))
            step()
        done.append(Swept(hole.name, tuple(verdicts)))
    return Sweep(layout, tuple(done), clock.time_spent() - started)


def _verdict(puzzle: Puzzle, engine: Engine, choice: Fact | str, clock: Clock) -> Status:
    assuming: Sequence[Assertion] = puzzle.givens
    on: list[Switch] | None = None
    if isinstance(choice, str):
        on = [*engine.model.by_default, choice]
    else:
        assuming = [*assuming, choice]
    first = engine.solve(assuming, clock, on=on)
    if first is None:
        return "none"
    return "unique" if another(engine, assuming, first, clock, on) is None else "multiple"


def read_layouts(path: str) -> Iterator[OpenPuzzle | Puzzle | PuzzleError]:
    """Every puzzle of a file; one with a "?" as a layout, a bad one as its error."""
    for piece in pieces(path):
        if isinstance(piece, PuzzleError):
            yield piece
        elif piece.document is not None and OPEN in piece.document:
            try:
                yield read_layout(piece.document, piece.source)
            except PuzzleError as error:
                yield error
        elif any(OPEN in line for _, line in piece.block):
            yield from _from_lines(piece)
        else:
            yield from piece.read()


@looking_at_arguments
def read_layout(text: str, source: str = "") -> OpenPuzzle | Puzzle:
    """Read a puzzle file in which values may be written "?"; without any it is a puzzle.

    Raises PuzzleError.
    """
    from gridassay.encodings.documents import draft

    tables = draft(text, source)
    layout = _Opened(tables).layout()
    return layout if layout.holes else layout.puzzle


def _from_lines(piece: FilePart) -> Iterator[OpenPuzzle | Puzzle | PuzzleError]:
    """Puzzle lines with holes: read without them, and once more with a digit in each."""

    def read(instead: str) -> Iterator[Puzzle | PuzzleError]:
        block = tuple((number, line.replace(OPEN, instead)) for number, line in piece.block)
        return replace(piece, block=block).read()

    for puzzle, filled in zip(read("."), read("1"), strict=True):
        if isinstance(puzzle, PuzzleError) or isinstance(filled, PuzzleError):
            yield puzzle
        else:
            holes = tuple(_given_holes(puzzle, filled))
            yield OpenPuzzle(puzzle, holes) if holes else puzzle


def _given_holes(puzzle: Puzzle, filled: Puzzle) -> Iterator[Hole]:
    """The cells that are givens of the second puzzle alone."""
    given = {fact.variable for fact in puzzle.givens}
    for cell, _ in filled.givens:
        if cell not in given:
            values = {digit: Fact(cell, digit) for digit in puzzle.canvas.digits}
            yield Hole(str(cell), values)


class _Opened:
    """The tables of a file with its holes left open, and with each of their values."""

    def __init__(self, draft: Draft) -> None:
        from gridassay.encodings.documents import open_fields

        self.draft = draft
        tables = draft.tables.get("rule", [])
        self.tables: list[dict[str, Any]] = tables if isinstance(tables, list) else []
        self.open = [
            ((number, *inside), field)
            for number, table in enumerate(self.tables, start=1)
            if isinstance(table, dict)
            for inside, field in open_fields(table)
        ]

    def layout(self) -> OpenPuzzle:
        """The layout. Raises PuzzleError."""
        givens = self.draft.tables.get("givens", "")
        holes: list[Hole] = []
        plain = self._read(".", self._standing())
        if isinstance(givens, str) and OPEN in givens:
            digit = plain.canvas.symbols[plain.canvas.digits[0]]
            holes += _given_holes(plain, self._read(digit, self._standing()))
        variants: list[dict[str, Any]] = []
        for place, field in self.open:
            values = self._values(plain, place, field)
            name = f"{field} of {self._name(place)}"
            named = {value: f"{name} = {value}" for value in values}
            holes.append(Hole(name, named, (place, field)))
            variants += [
                self._with(place, field, value) | {"id": named[value], "optional": True}
                for value in values
            ]
        puzzle = self._read(".", [*self._standing(), *variants]) if variants else plain
        return OpenPuzzle(puzzle, tuple(holes), self.draft.text)

    def _read(self, instead: str, rules: Sequence[Mapping[str, Any]]) -> Puzzle:
        tables = dict(self.draft.tables)
        if isinstance(tables.get("givens"), str):
            tables["givens"] = tables["givens"].replace(OPEN, instead)
        if "rule" in tables:
            tables["rule"] = list(rules)
        return self.draft.read(tables)

    def _standing(self) -> list[dict[str, Any]]:
        """The rules with their holes left open, without those that cannot stand so."""
        held = {place[0] for place, field in self.open if not self._spare(place, field)}
        return [
            self._with((number,), None)
            for number in range(1, len(self.tables) + 1)
            if number not in held
        ]

    def _spare(self, place: tuple[int, ...], field: str) -> bool:
        """Whether a rule means the same without this field, apart from its number.

        It does not if another number would take its place, nor inside a rule about rules, which may
        need this one to be false.
        """
        from gridassay.encodings.rules import rule_class

        kind = self.tables[place[0] - 1].get("kind")
        rule = rule_class(kind) if isinstance(kind, str) else None
        fields = rule.model_fields.items() if rule else ()
        return len(place) == 1 and any(
            (about.alias or name) == field and not about.is_required() and about.default is None
            for name, about in fields
        )

    def _with(
        self, place: tuple[int, ...], field: str | None, value: int | str = OPEN
    ) -> dict[str, Any]:
        """A rule's table with one of its holes filled and the others taken out."""
        table = deepcopy(self.tables[place[0] - 1])
        for other, key in self.open:
            if other[0] != place[0]:
                continue
            inner = table
            for number in other[1:]:
                inner = inner["of"][number - 1]
            if (other, key) == (place, field):
                inner[key] = value
            elif self._spare(other, key):
                del inner[key]
            else:
                raise PuzzleError(
                    f"rule {place[0]}: only one '?' can be tried at a time here", self.draft.source
                )
        return table

    def _values(self, plain: Puzzle, place: tuple[int, ...], field: str) -> list[int]:
        """The values with which a rule can be read and stands on its board."""
        letter = "Open"
        found: range | None = None
        lettered = _readable(self._with(place, field, letter))
        if lettered is not None:
            spans = lettered.letters(plain.bare_board)
            found = range(spans[letter][0], spans[letter][1] + 1) if letter in spans else None
        tried = range(sum(plain.canvas.digits) + 1) if found is None else found
        where = f"rule {place[0]}"
        if len(tried) > MOST_VALUES:
            raise PuzzleError(
                f"{where}: {len(tried):,} values of {field} are too many to try", plain.source
            )
        values = [v for v in tried if _stands(plain, _readable(self._with(place, field, v)))]
        if not values:
            raise PuzzleError(f"{where}: no value of {field} can be read", plain.source)
        return values

    def _name(self, place: tuple[int, ...]) -> str:
        table: Mapping[str, Any] = self.tables[place[0] - 1]
        for number in place[1:]:
            table = table["of"][number - 1]
        named = table.get("id") or " ".join(
            str(table[key]) for key in ("kind", "cells", "line", "start") if key in table
        )
        return str(named)


def _readable(table: Mapping[str, Any]) -> Rule | None:
    from gridassay.encodings.rules.base import RuleError
    from gridassay.encodings.rules.reading import read_rule

    try:
        return read_rule(table)
    except RuleError:
        return None


def _stands(puzzle: Puzzle, rule: Rule | None) -> bool:
    from gridassay.encodings.grid import GridError
    from gridassay.encodings.rules.base import RuleError

    try:
        if rule is not None:
            rule.check(puzzle.bare_board)
    except (RuleError, GridError):
        return False
    return rule is not None
