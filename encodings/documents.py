"""Puzzle files: TOML with a grid, givens and rules, and errors that point at the place.

The fields of a file are those of ``Document``; the JSON Schema is made from them and from every rule.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
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
from gridassay.encodings.layers import LAYERS
from gridassay.encodings.layers.base import Layer
from gridassay.encodings.layers.reading import read_layer
from gridassay.encodings.lines import MOST_DOCUMENT, OPEN, PuzzleError, read_drawn, read_givens
from gridassay.encodings.pace import pacing
from gridassay.encodings.pointing import Errors
from gridassay.encodings.puzzle import Fact, Puzzle
from gridassay.encodings.rule_words import kind_called
from gridassay.encodings.rules import every_rule, kinds
from gridassay.encodings.rules.base import ANY_RULE, Rule, RuleError
from gridassay.encodings.rules.reading import plain, read_rule, telling
from gridassay.encodings.standing import stand

if TYPE_CHECKING:
    from pydantic_core import ErrorDetails

MOST_CELLS = 70 * 70
MOST_FIGURES = 15
"""Of a whole number: sums of such numbers are still exact in every solver."""


class GridDocument(BaseModel):
    """One ``[[grid]]`` of several on a canvas."""

    model_config = ConfigDict(frozen=True, extra="forbid", strict=True)

    name: str | None = Field(default=None, min_length=1, description="A, B, … in order by default")
    at: str = Field(default="r1c1", description="its top left cell")
    size: int = Field(ge=SMALLEST, le=LARGEST)
    box: str | None = Field(default=None, description="rows x columns, or 'none'")
    regions: str | None = Field(default=None, description="one letter per cell, instead of box")


class Document(BaseModel):
    """A puzzle file."""

    model_config = ConfigDict(frozen=True, extra="forbid", strict=True)

    title: str = ""
    credit: str = ""
    expect: Literal["unique", "multiple", "none"] | None = Field(
        default=None, description="the verdict that is expected"
    )
    size: int | None = Field(default=None, ge=1, le=LARGEST)
    box: str | None = Field(
        default=None, description="rows x columns; the squarest by default; 'none' for no boxes"
    )
    regions: str | None = Field(default=None, description="one letter per cell, instead of box")
    digits: list[int] | Literal["none"] | None = Field(
        default=None, description="instead of 1 to size; 'none' for a canvas without digits"
    )
    rows: int | None = Field(default=None, ge=1, description="of a bare canvas")
    columns: int | None = Field(default=None, ge=1, description="of a bare canvas")
    houses: Literal["none"] | None = Field(default=None, description="a bare canvas")
    grid: list[GridDocument] = Field(default=[], description="several grids on one canvas")
    givens: str = Field(default="", description="one symbol per cell; '.' where there is none")
    letters: Literal["different"] | None = Field(
        default=None, description="different letters stand for different numbers"
    )
    doublers: dict[str, Any] | None = Field(
        default=None, max_length=0, description="an empty table: there are doublers to find"
    )
    layer: list[dict[str, Any]] = Field(
        default=[], description="unknowns besides the digits, each of some kind"
    )
    rule: list[dict[str, Any]] = Field(default=[], description="the rules, each of some kind")


def read_document(text: str, source: str = "") -> Puzzle:
    """Read a puzzle file. Raises PuzzleError with the place of what is wrong."""
    return draft(text, source).read()


@dataclass(frozen=True)
class Draft:
    """A puzzle file split into its tables, which may be changed before they are read."""

    tables: Mapping[str, Any]
    text: str
    source: str

    def read(self, tables: Mapping[str, Any] | None = None) -> Puzzle:
        """The puzzle of these tables, its own unless others are given.

        Raises PuzzleError with the place of what is wrong.
        """
        errors = Errors(self.text, self.source)
        try:
            document = Document.model_validate(self.tables if tables is None else tables)
        except ValidationError as error:
            raise _field_error(telling(error), errors) from None
        try:
            canvas = _canvas(document)
        except GridError as error:
            raise errors.at(str(error), _grid_key(document, str(error))) from None
        givens: tuple[Fact, ...] = ()
        try:
            if document.givens:
                givens = read_givens(read_drawn(document.givens, canvas), canvas)
        except PuzzleError as error:
            raise errors.in_givens(error.message, canvas) from None
        layers = tuple(_layers(document.layer, canvas, errors))
        puzzle = Puzzle(
            canvas,
            (*givens, *_given_layers(layers, canvas, errors)),
            tuple(_rules(document.rule, errors)),
            doublers=document.doublers is not None,
            letters_differ=document.letters == "different",
            title=document.title,
            credit=document.credit,
            expect=document.expect,
            source=self.source,
            layers=layers,
        )
        stand(puzzle, errors)
        return puzzle


def draft(text: str, source: str = "") -> Draft:
    """Split a puzzle file into its tables. Raises PuzzleError if it is not TOML, or too long."""
    if len(text) >= MOST_DOCUMENT:
        raise PuzzleError(f"a puzzle file has fewer than {MOST_DOCUMENT:,} characters", source)
    try:
        tables = tomllib.loads(text)
        fits = holds_no_longer_number(tables)
    except tomllib.TOMLDecodeError as error:
        raise _toml_error(str(error), text, source) from None
    except RecursionError:
        raise PuzzleError("the file is nested too deeply", source) from None
    except ValueError:  # more figures than Python turns into a number
        fits = False
    if not fits:
        raise PuzzleError(f"a whole number has at most {MOST_FIGURES} figures", source, _long(text))
    return Draft(tables, text, source)


def holds_no_longer_number(value: Any) -> bool:
    """Whether every whole number in the TOML data is within what a rule may have."""
    if isinstance(value, dict):
        return all(map(holds_no_longer_number, value.values()))
    if isinstance(value, list):
        return all(map(holds_no_longer_number, value))
    return not isinstance(value, int) or abs(value) < 10**MOST_FIGURES


def _long(text: str) -> int | None:
    """The first line with a whole number that is too long, if it can be told."""
    for number, line in enumerate(text.splitlines(), start=1):
        for word in re.findall(r"(?<![\w\"'.])0[xob]\w+|(?<![\w\"'.])\d[\d_]*", line):
            bare = word.replace("_", "")
            try:
                too_long = int(bare, 0) >= 10**MOST_FIGURES
            except ValueError:
                too_long = len(bare) > MOST_FIGURES
            if too_long:
                return number
    return None


def open_fields(table: Mapping[str, Any]) -> Iterator[tuple[tuple[int, ...], str]]:
    """The fields of a rule's table whose value is written "?".

    Each comes with the path to the nested rule that has it, numbered from 1; empty for its own fields.
    """
    for key, value in table.items():
        if value == OPEN:
            yield (), key
        if key == "of" and isinstance(value, list):
            for number, inner in enumerate(value, start=1):
                if isinstance(inner, dict):
                    for inside, field in open_fields(inner):
                        yield (number, *inside), field


def schema() -> dict[str, Any]:
    """The JSON Schema of puzzle files, the rules of every kind included.

    ``x-drawn-at`` says where one points to draw a rule of a kind: at ``cells``, an ``edge``
    between two or a ``corner`` where four meet. Raises RuleError if the rule of a plug-in cannot
    be loaded.
    """
    whole = Document.model_json_schema()
    definitions = whole.setdefault("$defs", {})
    rules = every_rule()
    for kind, rule in rules.items():
        own = rule.model_json_schema(ref_template="#/$defs/{model}")
        definitions |= own.pop("$defs", {})
        own["required"] = ["kind", *own.get("required", ())]
        own["x-drawn-at"] = rule.drawn_at
        definitions[f"rule-{kind}"] = own
    for kind, layer in LAYERS.items():
        own = layer.model_json_schema(ref_template="#/$defs/{model}")
        definitions |= own.pop("$defs", {})
        own["required"] = ["kind", *own.get("required", ())]
        definitions[f"layer-{kind}"] = own
    definitions["layer"] = {"oneOf": [{"$ref": f"#/$defs/layer-{kind}"} for kind in LAYERS]}
    definitions["rule"] = {"oneOf": [{"$ref": f"#/$defs/rule-{kind}"} for kind in rules]}
    whole["properties"]["rule"]["items"] = ANY_RULE
    whole["properties"]["layer"]["items"] = {"$ref": "#/$defs/layer"}
    # Only a board without digits may be smaller than the smallest grid.
    bare = {"required": ["digits"], "properties": {"digits": {"const": "none"}}}
    whole["allOf"] = [{"if": bare, "else": {"properties": {"size": {"minimum": SMALLEST}}}}]
    linked: dict[str, Any] = _link(whole)
    return {"$schema": "https://json-schema.org/draft/2020-12/schema"} | linked


def _link(schema: Any) -> Any:
    """A schema with every place for a rule of any kind filled in."""
    if schema == ANY_RULE:
        return {"$ref": "#/$defs/rule"}
    if isinstance(schema, dict):
        return {key: _link(inner) for key, inner in schema.items()}
    return [_link(inner) for inner in schema] if isinstance(schema, list) else schema


def _canvas(document: Document) -> Canvas:
    digits = document.digits
    if digits == "none":
        return _without_digits(document)
    if document.size is not None and document.size < SMALLEST:
        raise GridError(
            f"size: input should be greater than or equal to {SMALLEST} (it is {document.size})"
        )
    if digits is not None:
        if len(set(digits)) != len(digits) or not digits:
            raise GridError("digits are listed twice" if digits else "digits is empty")
        if min(digits) < 0 or max(digits) > LARGEST:
            raise GridError(f"digits lie between 0 and {LARGEST}")
    if document.grid:
        if document.size or document.box or document.regions or document.rows or document.columns:
            raise GridError("size, box, regions, rows and columns go into each grid")
        grids = [_grid(number, grid) for number, grid in enumerate(document.grid)]
        return _canvas_of_size(canvas_of(grids, digits))
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


def _without_digits(document: Document) -> Canvas:
    """A rectangle of cells without digits, in which a layer is to be found."""
    for key in ("box", "regions", "grid", "doublers"):
        if getattr(document, key):
            raise GridError(f'{key} needs digits, and digits is "none"')
    if document.size is not None and (document.rows or document.columns):
        raise GridError("give size, or rows and columns")
    if document.size is None and not (document.rows and document.columns):
        raise GridError('digits = "none" needs rows and columns, or size')
    return _bare(document, ())


def _bare(document: Document, without: tuple[int, ...] | None = None) -> Canvas:
    rows, columns = document.rows or document.size or 0, document.columns or document.size or 0
    if rows * columns > MOST_CELLS:
        raise GridError(f"{rows} rows of {columns} are more than {MOST_CELLS} cells")
    digits: Sequence[int] = range(1, (document.size or 9) + 1) if without is None else without
    if isinstance(document.digits, list):
        digits = document.digits
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


def _canvas_of_size(canvas: Canvas) -> Canvas:
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


def _layers(tables: Sequence[Mapping[str, Any]], canvas: Canvas, errors: Errors) -> Iterator[Layer]:
    """The layers, each fit for the canvas, no two with the same name."""
    names: set[str] = set()
    for number, table in enumerate(tables, start=1):
        kind = table.get("kind")
        try:
            layer = read_layer(table)
            layer.check(canvas)
            if layer.name in names:
                raise RuleError(f"name {layer.name!r} is taken by another layer", key="name")
        except RuleError as error:
            raise errors.in_layer(error, number, kind) from None
        names.add(layer.name)
        yield layer


def _given_layers(layers: Sequence[Layer], canvas: Canvas, errors: Errors) -> Iterator[Fact]:
    for number, layer in enumerate(layers, start=1):
        try:
            yield from layer.facts(canvas)
        except RuleError as error:
            raise errors.in_layer(error, number, layer.kind) from None


def _rules(tables: Sequence[Mapping[str, Any]], errors: Errors) -> Iterator[Rule]:
    for number, table in enumerate(pacing(tables), start=1):
        try:
            for inside, key in open_fields(table):
                raise RuleError(
                    f"{key}: a '?' works only with gridassay clues", key=key, inside=inside
                )
            yield read_rule(table)
        except RuleError as error:
            raise errors.in_rule(error, number, table.get("kind")) from None


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


def _meant_elsewhere(detail: ErrorDetails) -> str:
    """Advice on what to write if a rule or a table was written as a field; else empty."""
    word = str(detail["loc"][0]) if detail["loc"] else ""
    if detail["type"] == "dict_type" and word == "doublers":
        return "doublers is an empty table: write [doublers] on a line of its own, before the rules"
    if detail["type"] != "extra_forbidden" or len(detail["loc"]) != 1:
        return ""
    kind = word if word in kinds() else kind_called(word)
    if kind is None:
        return ""
    called = "" if kind == word else f", called {kind!r} here"
    return (
        f"{word!r} is a kind of rule{called}, not a field of a puzzle: write [[rule]], and below it "
        f'kind = "{kind}"'
    )


def _field_error(detail: ErrorDetails, errors: Errors) -> PuzzleError:
    said = _meant_elsewhere(detail)
    if said:
        return errors.at(said, str(detail["loc"][0]))
    key, message = plain(detail, Document, {"grid": GridDocument})
    top = str(detail["loc"][0]) if detail["loc"] else None
    return errors.at(f"{key}: {message}" if key else message, top)
