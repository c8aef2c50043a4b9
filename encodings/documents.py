"""Puzzle files: TOML with a grid, givens and rules, and errors that point at the place.

The fields of a file are those of ``Document`` (in ``document_fields.py``); the JSON Schema is made
from them and from every rule.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from pydantic import ValidationError

from gridassay.encodings.document_canvas import canvas_of_document, key_at_fault
from gridassay.encodings.document_fields import Document, GridDocument
from gridassay.encodings.grid import SMALLEST, Canvas, GridError
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

MOST_FIGURES = 15
"""Of a whole number: sums of such numbers are still exact in every solver."""


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
            canvas = canvas_of_document(document)
        except GridError as error:
            raise errors.at(str(error), key_at_fault(document, str(error))) from None
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
    if detail["type"] == "list_type" and word in ("rule", "layer", "grid"):
        return f"write [[{word}]] in two brackets, once for each: there may be several"
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
