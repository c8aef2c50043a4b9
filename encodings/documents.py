"""Puzzle files: TOML with a grid, givens and rules, and errors that point at the place.

The fields of a file are the fields of ``Document``; its JSON Schema is theirs, with every rule's.
"""

from __future__ import annotations

import difflib
import re
import tomllib
from collections.abc import Iterator, Mapping, Sequence
from typing import TYPE_CHECKING, Any, Literal

from pydantic import BaseModel, ConfigDict, Field, ValidationError

from gridassay.encodings.grid import (
    LARGEST,
    SMALLEST,
    Canvas,
    Cell,
    Grid,
    GridError,
    canvas_of,
    parse_cells,
    squarest_box,
)
from gridassay.encodings.lines import PuzzleError, read_drawn, read_givens
from gridassay.encodings.puzzle import Puzzle
from gridassay.encodings.rules import RULES
from gridassay.encodings.rules.base import Rule, RuleError

if TYPE_CHECKING:
    from pydantic_core import ErrorDetails

MOST_CELLS = 70 * 70


class GridDocument(BaseModel):
    """One ``[[grid]]`` of several on a canvas."""

    model_config = ConfigDict(frozen=True, extra="forbid", strict=True)

    name: str | None = Field(default=None, min_length=1, description="A, B, … in order by default")
    at: str = Field(default="r1c1", description="its top left cell")
    size: int = Field(ge=SMALLEST, le=LARGEST)
    box: str | None = Field(default=None, description="rows x columns, or 'none'")
    regions: str | None = Field(default=None, description="one letter a cell, instead of box")


class Document(BaseModel):
    """A puzzle file."""

    model_config = ConfigDict(frozen=True, extra="forbid", strict=True)

    title: str = ""
    credit: str = ""
    expect: Literal["unique", "multiple", "none"] | None = Field(
        default=None, description="the verdict that the file is held to"
    )
    size: int | None = Field(default=None, ge=SMALLEST, le=LARGEST)
    box: str | None = Field(
        default=None, description="rows x columns; the squarest by default; 'none' for no boxes"
    )
    regions: str | None = Field(default=None, description="one letter a cell, instead of box")
    digits: list[int] | None = Field(default=None, description="instead of 1 to size")
    rows: int | None = Field(default=None, ge=1, description="of a bare canvas")
    columns: int | None = Field(default=None, ge=1, description="of a bare canvas")
    houses: Literal["none"] | None = Field(default=None, description="a bare canvas")
    grid: list[GridDocument] = Field(default=[], description="several grids on one canvas")
    givens: str = Field(default="", description="one symbol a cell; '.' where there is none")
    letters: Literal["different"] | None = Field(
        default=None, description="different letters stand for different numbers"
    )
    doublers: dict[str, Any] | None = Field(
        default=None, max_length=0, description="an empty table: there are doublers to find"
    )
    rule: list[dict[str, Any]] = Field(default=[], description="the rules, each by its kind")


def read_document(text: str, source: str = "") -> Puzzle:
    """Read a puzzle file. Raises PuzzleError with the place of what is wrong."""
    try:
        raw = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise _toml_error(str(error), text, source) from None
    except RecursionError:
        raise PuzzleError("the file is nested too deeply", source) from None
    places = _Places(text, source)
    try:
        document = Document.model_validate(raw)
    except ValidationError as error:
        raise _field_error(error.errors()[0], Document, places) from None
    try:
        canvas = _canvas(document)
    except GridError as error:
        raise places.error(str(error), _grid_key(document, str(error))) from None
    try:
        givens = read_givens(read_drawn(document.givens, canvas), canvas) if document.givens else ()
    except PuzzleError as error:
        raise places.given_error(error.message, canvas) from None
    puzzle = Puzzle(
        canvas,
        givens,
        tuple(_rules(document.rule, places)),
        doublers=document.doublers is not None,
        letters_differ=document.letters == "different",
        title=document.title,
        credit=document.credit,
        expect=document.expect,
        source=source,
    )
    _stand(puzzle, places)
    return puzzle


def schema() -> dict[str, Any]:
    """The JSON Schema of puzzle files, rules included."""
    whole = Document.model_json_schema()
    definitions = whole.setdefault("$defs", {})
    for kind, rule in sorted(RULES.items()):
        own = rule.model_json_schema(ref_template="#/$defs/{model}")
        definitions |= own.pop("$defs", {})
        definitions[kind] = own
    choices = [{"$ref": f"#/$defs/{kind}"} for kind in sorted(RULES)]
    whole["properties"]["rule"]["items"] = {"oneOf": choices}
    return {"$schema": "https://json-schema.org/draft/2020-12/schema"} | whole


def read_rule(table: Mapping[str, Any]) -> Rule:
    """Read one rule from its table. Raises RuleError in one line."""
    kind = table.get("kind")
    if not isinstance(kind, str):
        raise RuleError("a rule needs a kind")
    if kind not in RULES:
        raise RuleError(f"there is no rule {kind!r}{_meant(kind, RULES)}")
    try:
        return RULES[kind].model_validate(dict(table))
    except ValidationError as error:
        key, message = _plain(error.errors()[0], RULES[kind])
        raise RuleError(f"{key}: {message}" if key else message) from None


def _canvas(document: Document) -> Canvas:
    digits = document.digits
    if digits is not None:
        if len(set(digits)) != len(digits) or not digits:
            raise GridError("digits are listed twice" if digits else "digits is empty")
        if min(digits) < 0 or max(digits) > LARGEST:
            raise GridError(f"digits lie between 0 and {LARGEST}")
    if document.grid:
        if document.size or document.box or document.regions or document.rows or document.columns:
            raise GridError("size, box, regions, rows and columns go into each grid")
        grids = [_grid(number, grid) for number, grid in enumerate(document.grid)]
        return _sized(canvas_of(grids, digits))
    if document.houses or document.rows or document.columns:
        if document.size is not None:
            if document.rows or document.columns or document.box or document.regions:
                raise GridError("give size, or rows and columns")
        elif not (document.rows and document.columns and document.houses):
            raise GridError('a bare canvas needs rows, columns and houses = "none"')
        return _bare(document)
    size = document.size or (len(digits) if digits else 9)
    if document.box and document.regions:
        raise GridError("give box or regions, not both")
    regions = _regions(document.regions)
    box = None if regions else _box(document.box, size)
    return canvas_of([Grid(size, box=box, regions=regions)], digits)


def _bare(document: Document) -> Canvas:
    rows, columns = document.rows or document.size or 0, document.columns or document.size or 0
    if rows * columns > MOST_CELLS:
        raise GridError(f"{rows} rows of {columns} are more than {MOST_CELLS} cells")
    digits = document.digits or range(1, (document.size or 9) + 1)
    everywhere = tuple(Cell(r, c) for r in range(1, rows + 1) for c in range(1, columns + 1))
    canvas = Canvas(rows, columns, everywhere, tuple(sorted(digits)))
    if "_" not in document.givens:
        return canvas
    try:
        symbols = read_drawn(document.givens, canvas)
    except PuzzleError:
        return canvas
    kept = tuple(cell for cell, symbol in zip(everywhere, symbols, strict=True) if symbol != "_")
    return Canvas(rows, columns, kept, canvas.digits)


def _sized(canvas: Canvas) -> Canvas:
    if canvas.rows * canvas.columns > MOST_CELLS:
        raise GridError(f"the grids spread over more than {MOST_CELLS} cells")
    return canvas


def _grid(number: int, document: GridDocument) -> Grid:
    corner = list(parse_cells(document.at))
    if len(corner) != 1 or min(corner[0]) < 1:
        raise GridError(f"at = {document.at!r} is not one cell")
    if document.box and document.regions:
        raise GridError("give box or regions, not both")
    regions = _regions(document.regions)
    box = None if regions else _box(document.box, document.size)
    return Grid(document.size, corner[0], box, regions, document.name or chr(65 + number))


def _regions(text: str | None) -> str | None:
    return None if text is None else "".join(text.split())


def _box(text: str | None, size: int) -> tuple[int, int] | None:
    if text is None:
        return squarest_box(size)
    if text == "none":
        return None
    match = re.fullmatch(r"\s*(\d{1,2})\s*[x×]\s*(\d{1,2})\s*", text)
    if not match:
        raise GridError(f"box = {text!r} is not rows x columns, such as '2x3', or 'none'")
    return int(match[1]), int(match[2])


def _rules(tables: Sequence[Mapping[str, Any]], places: _Places) -> Iterator[Rule]:
    for number, table in enumerate(tables, start=1):
        try:
            yield read_rule(table)
        except RuleError as error:
            raise places.rule_error(str(error), number, table.get("kind")) from None


def _stand(puzzle: Puzzle, places: _Places) -> None:
    """Let each rule say whether it can stand on the board, and that no two ids are one."""
    ids: set[str] = set()
    for number, rule in enumerate(puzzle.rules, start=1):
        try:
            rule.check(puzzle.board)
            if rule.id is not None and rule.id in ids:
                raise RuleError(f"id {rule.id!r} is taken by another rule")
        except (RuleError, GridError) as error:
            raise places.rule_error(str(error), number, rule.kind) from None
        ids.add(rule.id or "")


class _Places:
    """Finds the lines of a TOML text that messages point at."""

    def __init__(self, text: str, source: str) -> None:
        self.source = source
        self.lines = text.split("\n")

    def _line(self, pattern: str, occurrence: int = 1) -> int | None:
        inside: str | None = None
        for number, line in enumerate(self.lines, start=1):
            if inside is None and re.match(pattern, line):
                occurrence -= 1
                if not occurrence:
                    return number
            for quotes in ('"""', "'''"):
                if inside in (None, quotes) and line.count(quotes) % 2:
                    inside = None if inside else quotes
        return None

    def error(self, message: str, key: str | None) -> PuzzleError:
        line = self._line(rf"\s*{re.escape(key)}\s*=|\s*\[+{re.escape(key)}\b") if key else None
        return PuzzleError(message, self.source, line)

    def rule_error(self, message: str, number: int, kind: object) -> PuzzleError:
        line = self._line(r"\s*\[\[\s*rule\s*\]\]", number)
        named = f"rule {number} ({kind})" if isinstance(kind, str) else f"rule {number}"
        return PuzzleError(f"{named}: {message}", self.source, line)

    def given_error(self, message: str, canvas: Canvas) -> PuzzleError:
        """Point at the row of the givens in which the named cell stands, where it can be told."""
        start = self._line(r"\s*givens\s*=")
        cell = re.match(r"r(\d+)c", message)
        if start and cell:
            drawn = 0
            for offset, line in enumerate(self.lines[start - 1 :]):
                written = line.rpartition("=")[2] if not offset else line
                symbols = re.sub(r"[\s|+=\"'-]", "", written.partition("#")[0])
                drawn += bool(symbols)
                if drawn == int(cell[1]) and len(symbols) == canvas.columns:
                    return PuzzleError(f"givens: {message}", self.source, start + offset)
        return PuzzleError(f"givens: {message}", self.source, start)


def _grid_key(document: Document, message: str) -> str | None:
    keys = ("regions", "digits", "box", "size", "rows", "columns", "houses", "grid")
    given = document.model_fields_set
    word = message.split()[0] if message else ""
    for key in keys:
        if key in given and (key.startswith(word) or key in message):
            return key
    return next((key for key in keys if key in given), None)


def _toml_error(message: str, text: str, source: str) -> PuzzleError:
    place = re.search(r" \(at line (\d+), column (\d+)\)", message)
    if place is None:
        return PuzzleError(
            f"not TOML: {message.replace(' (at end of document)', '')}",
            source,
            max(1, len(text.splitlines())),
        )
    return PuzzleError(f"not TOML: {message[: place.start()]}", source, int(place[1]))


def _field_error(detail: ErrorDetails, model: type[BaseModel], places: _Places) -> PuzzleError:
    key, message = _plain(detail, model)
    top = str(detail["loc"][0]) if detail["loc"] else None
    return places.error(f"{key}: {message}" if key else message, top)


def _plain(detail: ErrorDetails, model: type[BaseModel]) -> tuple[str, str]:
    """The key and the message of a validation error in our own words, one line."""
    path = [part for part in detail["loc"] if not (isinstance(part, str) and "[" in part)]
    key = ".".join(str(part + 1) if isinstance(part, int) else part for part in path)
    kind, given = detail["type"], detail["input"]
    if kind == "extra_forbidden":
        known = model.model_fields
        for part in path[:-1]:
            if part == "grid":
                known = GridDocument.model_fields
        return "", f"there is no field {path[-1]!r}{_meant(str(path[-1]), known)}"
    if kind == "missing":
        return "", f"{key} is missing"
    if kind == "literal_error":
        wanted = str(detail.get("ctx", {}).get("expected", ""))
        hint = _meant(given, re.findall(r"'([^']*)'", wanted)) if isinstance(given, str) else ""
        return key, f"{_shown(given)} is not {wanted}{hint}"
    message = detail["msg"].removeprefix("Value error, ")
    if kind == "value_error":
        return key, message
    return key, f"{message[0].lower()}{message[1:]} (it is {_shown(given)})"


def _shown(given: object) -> str:
    written = repr(given)
    return written if len(written) <= 40 else written[:37] + "…"


def _meant(word: str, known: Mapping[str, object] | Sequence[str]) -> str:
    close = difflib.get_close_matches(word, list(known), n=1, cutoff=0.6)
    return f"; did you mean {close[0]!r}?" if close else ""
