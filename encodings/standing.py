"""Whether the rules of a puzzle file can stand where they are put, and each name stands for one thing."""

from __future__ import annotations

from gridassay.encodings.grid import GridError
from gridassay.encodings.pace import pacing
from gridassay.encodings.pointing import Errors
from gridassay.encodings.puzzle import Puzzle
from gridassay.encodings.reserved import free
from gridassay.encodings.rules.base import Rule, RuleError
from gridassay.encodings.variables import Shade


def stand(puzzle: Puzzle, errors: Errors) -> None:
    """Let each rule say whether it can stand on the board; no two things have one name.

    Raises PuzzleError with the place of what is wrong.
    """
    _definitions(puzzle, errors)
    ids: set[str] = set()
    others: dict[str, str] = {}
    for number, rule in enumerate(pacing(puzzle.rules), start=1):
        try:
            if not puzzle.canvas.digits:
                _without(rule)
            rule.check(puzzle.bare_board)
            if rule.id is not None and rule.id in ids:
                raise RuleError(f"id {rule.id!r} is taken by another rule", key="id")
            for letter in rule.letters(puzzle.bare_board):
                others[_letter(letter)] = "a letter of this puzzle"
            others[rule.kind] = "a kind of rule"
            if rule.id is None:
                others[rule.own_name()] = "the name of another rule"
        except (RuleError, GridError) as error:
            raise errors.in_rule(error, number, rule.kind) from None
        ids.add(rule.id or "")
    for number, rule in enumerate(puzzle.rules, start=1):
        if rule.id in others:
            taken = RuleError(f"id {rule.id!r} is {others[rule.id]}", key="id")
            raise errors.in_rule(taken, number, rule.kind)
    if puzzle.layers:
        _layers_apart(puzzle, errors)


def _definitions(puzzle: Puzzle, errors: Errors) -> None:
    """Each value counts as something by one rule at most, and all such rules are on one layer."""
    first: dict[tuple[str, int], int] = {}
    for number, rule in enumerate(puzzle.rules, start=1):
        said = rule.counts_as(puzzle.bare_board) if rule.defines else None
        if said is None or not isinstance(said.beside, Shade):
            continue
        layer, earlier = said.beside.layer, ""
        for (other, value), place in first.items():
            if other != layer:
                earlier = (
                    f"rule {place} says it of the layer {other}, and only one layer may have that"
                )
            elif value == said.number:
                earlier = f"rule {place} already says what these cells count as"
        if earlier:
            raise errors.in_rule(RuleError(earlier), number, rule.kind)
        first[layer, said.number] = number


def _without(rule: Rule) -> None:
    """Raise RuleError if a rule needs digits."""
    for one in rule.drawn():
        if one.needs_digits:
            raise RuleError(
                f"{one.kind} is a rule about digits, but this puzzle has none", key="kind"
            )


def _letter(name: str) -> str:
    """A letter's name; rules of packages may bring any. Raises RuleError if it is taken."""
    try:
        return free(name)
    except ValueError as error:
        raise RuleError(str(error)) from None


def _layers_apart(puzzle: Puzzle, errors: Errors) -> None:
    """No layer is called as something else is."""
    letters = {letter for rule in puzzle.rules for letter in rule.letters(puzzle.bare_board)}
    taken = {house.name: "a house" for house in puzzle.canvas.houses}
    taken |= dict.fromkeys(letters, "a letter")
    taken |= dict.fromkeys(puzzle.rule_names, "a rule")
    for number, layer in enumerate(puzzle.layers, start=1):
        if layer.name in taken:
            error = RuleError(f"name {layer.name!r} is that of {taken[layer.name]}", key="name")
            raise errors.in_layer(error, number, layer.kind)
