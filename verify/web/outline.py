"""The outline of a puzzle, as the page shows it: its cells, symbols and layers, and its clues."""

from __future__ import annotations

from typing import Any

from gridassay.encodings.files import is_document
from gridassay.encodings.grid import Cell
from gridassay.encodings.layers.shading import Shading
from gridassay.encodings.puzzle import Puzzle
from gridassay.encodings.rules.base import Rule
from gridassay.encodings.variables import Fact, Layered, Variable, word
from gridassay.verify.draw.layers import tint
from gridassay.verify.draw.legend import pieces_swatch, swatch
from gridassay.verify.draw.looks import DrawnRule, looks
from gridassay.verify.draw.style import Style
from gridassay.verify.draw.svg import svg
from gridassay.verify.reference import sentences
from gridassay.verify.web.asked import SOURCE, Asked


def outline(asked: Asked, puzzle: Puzzle) -> dict[str, Any]:
    """The puzzle as the page shows it: cells, symbols, and the clues with their switches."""
    canvas = puzzle.canvas
    symbols = canvas.symbols
    drawn = {one.name: one for one in looks(puzzle, asked.style)[0]}
    said = sentences(puzzle)
    return {
        "title": puzzle.title,
        "document": is_document(asked.text, SOURCE),
        "rows": canvas.rows,
        "columns": canvas.columns,
        "cells": [[*cell] for cell in canvas.cells],
        "symbols": {str(digit): symbols[digit] for digit in canvas.digits},
        "box": canvas.grids[0].box if len(canvas.grids) == 1 else None,
        "givens": [
            {"cell": str(fact.variable), "symbol": symbols[fact.value]}
            for fact in puzzle.givens
            if isinstance(fact.variable, Cell)
        ],
        "layers": [_layer(puzzle, place, asked.style) for place in range(len(puzzle.layers))],
        "rules": [
            {
                "name": name,
                "called": puzzle.rule_phrases[name],
                "signed": bool(rule.sign()),
                "kind": rule.kind,
                "text": said.get(name, rule.printed),
                "fields": _fields(puzzle, rule, puzzle.rule_phrases[name]),
                "cells": [str(cell) for cell in rule.where()],
                "optional": rule.optional,
                "sample": _sample(puzzle, rule, drawn.get(name), asked.style),
                "pieces": any(shape.pieces for shape in rule.shapes(puzzle.board)),
                "values": values(rule),
            }
            for name, rule in zip(puzzle.rule_names, puzzle.rules, strict=True)
        ],
    }


def _sample(puzzle: Puzzle, rule: Rule, drawn: DrawnRule | None, style: Style) -> str | None:
    """How a rule is drawn, on two cells, or its pieces; None if it has nothing to draw."""
    if drawn is not None:
        return svg(swatch(drawn, style))
    pieces = [piece for shape in rule.shapes(puzzle.board) for piece in shape.pieces]
    return svg(pieces_swatch(pieces, style, rule.spoken)) if pieces else None


def _fields(puzzle: Puzzle, rule: Rule, phrase: str) -> str:
    """The details of a rule besides its place, such as ``sum 16``, that its phrase does not say."""
    said = rule.model_dump(mode="json", by_alias=True, exclude_defaults=True)
    left_out = {"kind", "id", "text", "optional", "cells", "of", "bulb", "shaft", "groups"}
    left_out |= {"line", "side", "start", "direction"}
    if any(shape.pieces for shape in rule.shapes(puzzle.board)):  # told in words, and drawn
        left_out.add("shapes")
    told = set(phrase.split())
    if len(puzzle.layers) == 1:  # which goes without saying
        told.add(puzzle.layers[0].name)
    left_out |= {key for key in ("layer", "value") if str(said.get(key)) in told}
    return ", ".join(_field_words(key, value) for key, value in said.items() if key not in left_out)


def _field_words(name: str, value: Any) -> str:
    """A field in words: its name and its value; for a list, its items."""
    if isinstance(value, list):
        joint = " " if all(isinstance(one, int) for one in value) else " and "
        value = joint.join(map(str, value))
    return name if value is True else f"{name} {value}"


def _layer(puzzle: Puzzle, place: int, style: Style) -> dict[str, Any]:
    """A layer as the page sets it: its values, and its givens with what they are about."""
    layer = puzzle.layers[place]
    return {
        "name": layer.name,
        "kind": layer.kind,
        "values": _values_of(layer, place, style) if isinstance(layer, Shading) else [],
        "givens": [
            layer_given(fact)
            for fact in puzzle.givens
            if isinstance(fact.variable, Layered) and fact.variable.layer == layer.name
        ],
    }


def _values_of(layer: Shading, place: int, style: Style) -> list[dict[str, Any]]:
    """The values of a shading, each with its letter and a sample of how it is drawn."""
    return [
        {
            "letter": letter,
            "value": layer.words[number] if layer.words else str(number),
            "sample": svg(tint(place, number, style)),
        }
        for letter, number in layer.symbols().items()
    ]


def layer_given(fact: Fact) -> dict[str, Any]:
    """A given of a layer: what it is of, its value in a word, and the cells beside it."""
    variable, value = fact
    layer, _, place = str(variable).partition(" ")
    return {
        "layer": layer,
        "of": str(variable),
        "called": str(fact),
        "place": place.replace("-", " ").replace("|", " "),
        "value": str(word(variable, value)),
        "cells": [str(cell) for cell in _cells(variable)],
    }


def _cells(variable: Variable) -> list[Cell]:
    """The cells beside which a variable of a layer lies."""
    return [part for part in variable if isinstance(part, Cell)]


def values(rule: Rule) -> dict[str, Any]:
    """The fields of a rule as its form takes them."""
    return rule.model_dump(mode="json", by_alias=True)
