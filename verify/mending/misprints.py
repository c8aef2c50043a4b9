"""The usual misprints of a rule, undone.

Rules are altered through their fields alone, so no kind has to be named here: a number with
a wrong figure; a digit of a list that is wrong, missing or extra; a cell too many or
too few; cells in the reverse order; a word that points another way; a yes for a no; and
another kind that is drawn in the same form and takes the same fields. Alterations that are impossible on
the board are left out.
"""

from __future__ import annotations

import typing
from collections.abc import Iterable, Iterator, Sequence
from itertools import chain
from typing import Any, Literal, NamedTuple

from pydantic import ValidationError

from gridassay.encodings.board import Board
from gridassay.encodings.grid import Cell, GridError
from gridassay.encodings.rules import RULES
from gridassay.encodings.rules.base import Rule, RuleError, spell

_NOT_MEANING = ("kind", "id", "text", "optional")
_NEAR = 10
"""The most that a number may be off to count as a wrong sum rather than a wrong figure."""

_AROUND = [(down, right) for down in (-1, 0, 1) for right in (-1, 0, 1) if down or right]


class Misprint(NamedTuple):
    """A correction of a rule; ``key`` is the field that is wrong, empty if it is not the value of one."""

    rule: str
    key: str
    should: str

    def __str__(self) -> str:
        field = f"{self.key} " if self.key else ""
        return f"{self.rule}: {field}should {self.should}"


class AlteredRule(NamedTuple):
    """A rule with one misprint undone, and the misprint."""

    misprint: Misprint
    rule: Rule


Change = tuple[str, str, str, dict[str, Any]]
"""A field that is wrong, or nothing; what should be; the kind and fields of the rule that was meant."""


def altered_rules(
    rule: Rule, name: str, board: Board, others: Iterable[Rule] = ()
) -> Iterator[AlteredRule]:
    """The rules that ``name`` may have been meant to be.

    ``others`` are the puzzle's rules: a mark may have been meant for one like any of them.
    """
    fields = _fields(rule)
    changes = chain(_changes(rule, fields, board), _like_others(rule, fields, others))
    for key, should, kind, changed in changes:
        altered = _stands(kind, changed, board)
        if altered is None or altered == rule or altered.letters(board) != rule.letters(board):
            continue
        if kind == rule.kind or _form(altered, board) == _form(rule, board):
            yield AlteredRule(Misprint(name, key, should), altered)


def _fields(rule: Rule) -> dict[str, Any]:
    """The fields of a rule that its file gives, its kind among them."""
    own = rule.model_dump(by_alias=True, exclude_unset=True, exclude={"id", "optional"})
    fields: dict[str, Any] = _plain(own)
    return fields | {"kind": rule.kind}


def _plain(value: Any) -> Any:
    """Tables and arrays as a puzzle file would give them."""
    if isinstance(value, dict):
        return {key: _plain(member) for key, member in value.items()}
    return [_plain(member) for member in value] if isinstance(value, list | tuple) else value


def _changes(rule: Rule, fields: dict[str, Any], board: Board) -> Iterator[Change]:
    for name, field in type(rule).model_fields.items():
        if name in _NOT_MEANING:
            continue
        key, value = field.alias or name, getattr(rule, name)
        if isinstance(value, bool):
            yield (
                key,
                f"be {_spell(not value)}, not {_spell(value)}",
                rule.kind,
                fields | {key: not value},
            )
        elif isinstance(value, int):
            for number in _misprints(value):
                yield key, f"be {number}, not {value}", rule.kind, fields | {key: number}
        elif isinstance(value, str):
            for word in _choices(field.annotation):
                if word != value:
                    yield key, f"be {word}, not {value}", rule.kind, fields | {key: word}
        elif isinstance(value, tuple) and value and all(type(one) is int for one in value):
            for numbers in _other_lists(value, board.canvas.digits):
                should = f"be {_in_a_row(numbers)}, not {_in_a_row(value)}"
                yield key, should, rule.kind, fields | {key: list(numbers)}
        elif isinstance(value, tuple) and value and all(isinstance(one, Cell) for one in value):
            ordered = _form(rule, board) not in {"cage", "cell mark"}
            for should, cells in _other_groups(value, board, ordered=ordered):
                yield "", should, rule.kind, fields | {key: spell(cells)}
    for kind in RULES:
        if kind != rule.kind:
            yield "", f"be {kind}, not {rule.kind}", kind, fields
            if (
                "cells" in fields
                and len(fields) > 2
                and (_form(rule, board) or "").endswith("mark")
            ):
                yield "", f"be {kind}, not {rule.kind}", kind, {"cells": fields["cells"]}


def _like_others(rule: Rule, fields: dict[str, Any], others: Iterable[Rule]) -> Iterator[Change]:
    """The same cells with another rule's kind and numbers, if these differ from its own."""
    seen = [{key: value for key, value in fields.items() if key != "cells"}]
    for other in others:
        meant = _fields(other)
        if "cells" not in fields or not isinstance(meant.pop("cells", None), str):
            continue
        if other.kind != rule.kind and len(meant) > 1 and meant not in seen:
            seen.append(meant)
            values = " ".join(f"{key} {value}" for key, value in meant.items() if key != "kind")
            should = f"be {other.kind} with {values}, not {rule.kind}"
            yield "", should, other.kind, meant | {"cells": fields["cells"]}


def _misprints(number: int) -> list[int]:
    """Numbers with one wrong figure or two neighbouring figures exchanged, and nearby numbers."""
    figures = str(abs(number))
    found = set(range(number - _NEAR, number + _NEAR + 1))
    for place, figure in enumerate(figures):
        found |= {int(figures[:place] + new + figures[place + 1 :]) for new in "0123456789"}
        if place:
            found.add(
                int(figures[: place - 1] + figure + figures[place - 1] + figures[place + 1 :])
            )
    return sorted(one for one in found - {number} if one >= 0)


def _other_lists(numbers: tuple[int, ...], digits: Sequence[int]) -> Iterator[tuple[int, ...]]:
    """One of them another digit, one left out, and one more."""
    for place in range(len(numbers)):
        before, after = numbers[:place], numbers[place + 1 :]
        yield from ((*before, digit, *after) for digit in digits if digit != numbers[place])
        yield before + after
    yield from ((*numbers, digit) for digit in digits)


def _in_a_row(numbers: Iterable[int]) -> str:
    return " ".join(map(str, numbers))


def _spell(value: bool) -> str:
    return str(value).lower()


def _choices(annotation: Any) -> list[str]:
    """The words that a field may have, if it is a choice among words."""
    if typing.get_origin(annotation) is Literal:
        return [word for word in typing.get_args(annotation) if isinstance(word, str)]
    return [word for part in typing.get_args(annotation) for word in _choices(part)]


def _other_groups(
    cells: tuple[Cell, ...], board: Board, *, ordered: bool
) -> Iterator[tuple[str, tuple[Cell, ...]]]:
    """A cell fewer, a cell more, or the reverse order; only at the ends if order matters."""
    canvas = board.canvas
    if not ordered:
        for cell in cells:
            yield f"not include {cell}", tuple(one for one in cells if one != cell)
        around = dict.fromkeys(near for cell in cells for near in canvas.neighbours(cell))
        for cell in around:
            if cell not in cells:
                yield f"also include {cell}", (*cells, cell)
        return
    yield "be read from its other end", cells[::-1]
    if len(cells) > 2:
        yield f"not include {cells[0]}", cells[1:]
        yield f"not include {cells[-1]}", cells[:-1]
    for end, before in ((cells[0], True), (cells[-1], False)):
        for step in _AROUND:
            cell = end.step(*step)
            if cell in canvas.index and cell not in cells:
                longer = (cell, *cells) if before else (*cells, cell)
                yield f"also include {cell}", longer


def _form(rule: Rule, board: Board) -> str | None:
    return next((shape.form for shape in rule.shapes(board)), None)


def filled_in(rule: Rule, board: Board, most: int) -> Iterator[tuple[str, int | str, Rule]]:
    """A rule with one of the fields that its file leaves out: the field, its value, and that rule.

    Numbers are tried from 0 to ``most``; letters and lists are not.
    """
    for name, field in type(rule).model_fields.items():
        if name in _NOT_MEANING or field.is_required() or getattr(rule, name) is not None:
            continue
        key = field.alias or name
        numbers = range(most + 1) if int in _members(field.annotation) else ()
        for value in (*_choices(field.annotation), *numbers):
            whole = _stands(rule.kind, _fields(rule) | {key: value}, board)
            if whole is not None and whole.letters(board) == rule.letters(board):
                yield key, value, whole.model_copy(update={"id": rule.id})


def further_marks(rules: Iterable[Rule], board: Board) -> Iterator[tuple[Rule, ...]]:
    """Marks like the existing ones, between two cells that have none, each in both directions."""
    marks = [
        rule for rule in rules if _form(rule, board) == "edge mark" and not rule.letters(board)
    ]
    marked = {frozenset(rule.where()) for rule in marks}
    like: list[dict[str, Any]] = []
    for rule in marks:
        fields = {
            key: value for key, value in _fields(rule).items() if key not in ("cells", "text")
        }
        if fields in like:
            continue
        like.append(fields)
        for one in board.canvas.digit_cells:
            for other in board.canvas.neighbours(one):
                if one < other and {one, other} not in marked:
                    ways = ((one, other), (other, one))
                    new = (
                        _stands(rule.kind, fields | {"cells": spell(way)}, board) for way in ways
                    )
                    yield tuple(one for one in new if one is not None)


def _stands(kind: str, fields: dict[str, Any], board: Board) -> Rule | None:
    """The rule with these fields, if it is possible on the board."""
    try:
        rule = RULES[kind].model_validate(fields | {"kind": kind})
        rule.check(board)
    except (ValidationError, RuleError, GridError):
        return None
    idle = not board.canvas.digits and any(one.needs_digits for one in rule.drawn())
    return None if idle else rule


def _members(annotation: Any) -> list[Any]:
    """The types that a field allows."""
    inside = typing.get_args(annotation)
    return [one for part in inside for one in _members(part)] if inside else [annotation]
