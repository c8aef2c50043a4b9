"""The rule reference and the rule text of a puzzle, both made from the rule classes."""

from __future__ import annotations

import inspect
from collections.abc import Iterator

from gridassay.encodings.grid import Canvas
from gridassay.encodings.lines import digit_range
from gridassay.encodings.puzzle import Puzzle
from gridassay.encodings.rules.base import Rule


def summary(rule: type[Rule]) -> str:
    """The first sentence of a rule's page, on one line."""
    return " ".join(_page_text(rule).split("\n\n")[0].split())


def page(rule: type[Rule]) -> str:
    """A rule's page: its docstring, then its fields with what they take."""
    described = rule.model_json_schema(by_alias=True)
    common = Rule.model_json_schema(by_alias=True)["properties"]
    own = {k: v for k, v in described["properties"].items() if k not in common}
    fields = []
    for name, field in (own | common).items():
        if name == "kind":
            continue
        needed = name in described.get("required", ())
        default = field.get("default")
        shown = "" if needed or default is None else f" = {_toml(default)}"
        told = field.get("description", "")
        fields.append(f"  {name}{shown}{'' if needed else ' (optional)'}{told and f': {told}'}")
    kind = rule.model_fields["kind"].default
    printed = f'Printed as: "{rule.sentence}"'
    return "\n".join([kind, "", _page_text(rule), "", printed, "", "Fields:", *fields])


def _page_text(rule: type[Rule]) -> str:
    return inspect.cleandoc(rule.__doc__ or "")


def _toml(value: object) -> str:
    return str(value).lower() if isinstance(value, bool) else repr(value).replace("'", '"')


def rule_text(puzzle: Puzzle) -> Iterator[str]:
    """The rules of a puzzle as sentences fit to print, each said once, in the order of the file."""
    yield from _house_text(puzzle.canvas)
    said: set[str] = set()
    for rule in puzzle.rules:
        sentence = rule.printed
        if not rule.optional and sentence not in said:
            said.add(sentence)
            yield sentence
    if puzzle.doublers:
        yield (
            "In each row, column and box exactly one cell is a doubler, each doubler of a grid holds "
            "a different digit, and its digit counts double in sums and comparisons."
        )
    letters = puzzle.board.letters
    if letters:
        which = "Different letters stand for different numbers. " if puzzle.letters_differ else ""
        yield f"A letter stands for one number wherever it is written. {which}".strip()


def _house_text(canvas: Canvas) -> Iterator[str]:
    digits = digit_range(canvas)
    if not canvas.grids:
        yield f"Put a digit ({digits}) into each cell."
        return
    areas = "region" if any(grid.regions for grid in canvas.grids) else "box"
    if any(grid.areas for grid in canvas.grids):
        houses = f"each row, column and {areas}"
    else:
        houses = "each row and column"
    several = f" of each of the {len(canvas.grids)} grids" if len(canvas.grids) > 1 else ""
    if all(grid.size == len(canvas.digits) for grid in canvas.grids):
        yield f"Put the digits {digits} into {houses}{several}, each once."
    else:
        yield f"Put digits ({digits}) into the cells so that none repeats in {houses}{several}."
