"""Why a rule, perhaps with its houses, strikes a candidate: what that would lead to, up to a clash.

"6 in r6c9 would make r7c9 5 and r8c9 4, and leave nothing for r1c9". The arguments are found and
proved in ``rule_meaning/clashes.py``. Strikes that would take too long to tell have no such words.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby

from gridassay.verify.solving.board.ideas import (
    cell_names,
    digit_names,
    word_list,
    zone_said,
)
from gridassay.verify.solving.board.layer_words import is_layered
from gridassay.verify.solving.board.position import Layout, Mark, Position, members
from gridassay.verify.solving.board.premise_words import as_given, premises_said
from gridassay.verify.solving.rule_meaning.arguments import (
    MOST_NEEDED,
    Act,
    Argument,
    Clash,
    in_short,
)
from gridassay.verify.solving.rule_meaning.clashes import Clashes
from gridassay.verify.solving.rule_meaning.in_sight import arguments_in_sight
from gridassay.verify.solving.rule_meaning.strikes import RuleStrikes
from gridassay.verify.solving.techniques.bounds import is_letter
from gridassay.verify.solving.techniques.facts import conclusion

MOST_MARKS = 16
"""The most candidates that go."""


@dataclass(frozen=True)
class Length:
    """The most clauses about candidates, and things said in all."""

    clauses: int
    things: int


SHORT = Length(4, 8)
LONG = Length(6, 16)
"""What is told where there are no other words."""


def clash_words(
    position: Position,
    reading: RuleStrikes,
    cells: Sequence[int],
    places: Sequence[Mark],
    removes: Sequence[Mark],
    lengths: Sequence[Length] = (SHORT, LONG),
) -> str:
    """The premises, the clauses and the conclusion; empty if it is not told in one of these lengths."""
    layout = position.layout
    struck = list(removes)
    for cell, digit in places:
        struck += [(cell, other) for other in members(position.masks[cell]) if other != digit]
    several = [*cells, *reading.piece.scope]
    if len(struck) > MOST_MARKS or any(is_layered(layout.unknowns[one]) for one in several):
        return ""
    clashes = Clashes(position, reading, cells)
    for length in lengths:
        told = []
        for least in (False, True):
            seen = arguments_in_sight(
                clashes, cells, reading.spots, sorted(struck), length.things, least=least
            )
            clauses = _clauses(layout, seen.arguments, length) if seen else []
            if seen and clauses:
                given = as_given(premises_said(position, seen.cells, seen.spots))
                told.append((len(clauses), f"{given}{'; '.join(clauses)}"))
            if len(clauses) == 1:
                break
        if told:
            _, words = min(told, key=lambda one: one[0])
            return f"{words}, {conclusion(position, places, removes)}"
    return ""


def _clauses(layout: Layout, told: Mapping[Mark, Argument], most: Length) -> list[str]:
    """The argument against each candidate, those with the same one together; empty if too long."""
    said: dict[str, list[Mark]] = {}
    length: dict[str, int] = {}
    for mark, argument in told.items():
        words = _would(layout, argument)
        said.setdefault(words, []).append(mark)
        length[words] = argument.length + 1
    if sum(length.values()) > most.things:
        return []
    named = [
        (one, words) for words, marks in said.items() for one in _candidates_in_words(layout, marks)
    ]
    return [f"{one} would {words}" for one, words in named] if len(named) <= most.clauses else []


def _candidates_in_words(layout: Layout, marks: Sequence[Mark]) -> list[str]:
    """Candidates in words: ``2 or 3 in r1c1 or r2c1``, ``11 for D``."""
    digits: dict[int, list[int]] = {}
    for unknown, value in marks:
        digits.setdefault(unknown, []).append(value)
    together: dict[tuple[int, ...], list[int]] = {}
    for unknown, values in digits.items():
        together.setdefault(tuple(values), []).append(unknown)
    said = []
    for unknowns in together.values():
        first = unknowns[0]
        what = word_list([layout.value_name((first, value)) for value in digits[first]], "or")
        where = word_list([str(layout.unknowns[one]) for one in unknowns], "or")
        said.append(f"{what} {'for' if is_letter(layout, first) else 'in'} {where}")
    return said


def _would(layout: Layout, told: Argument) -> str:
    """The verbs of an argument: ``put 3 in r9c1 and leave nothing for r8c1``."""
    verbs = list(_acts(layout, told.acts))
    if told.clash:
        return _verb_list([*verbs, _clash(layout, told.clash)])
    first, _ = told.cases[0][0]
    ends: dict[str, list[str]] = {}
    for mark, case in told.cases:
        name = layout.value_name(mark) if told.zone is None else str(layout.unknowns[mark[0]])
        ends.setdefault(_would(layout, case), []).append(name)
    names = [name for several in ends.values() for name in several]
    if told.digit is not None and told.zone is not None:
        here = f"{layout.symbol(told.digit)} in {zone_said(layout, told.zone)}"
        verbs.append(f"leave {word_list(names, 'or')} for {here}")
    elif not (told.acts and [one for one, _, _ in told.acts[-1].left] == [first]):
        # What the rule has just made of the cell are its cases.
        verbs.append(f"leave {word_list(names, 'or')} for {layout.unknowns[first]}")
    if len(ends) == 1:
        (words,) = ends
        which = "either" if len(names) == 2 else "any of them"
        return f"{_verb_list(verbs)}, and {which} would {words}"
    cases = [f"{word_list(several, 'or')} would {words}" for words, several in ends.items()]
    return f"{_verb_list(verbs)}: {', and '.join(cases)}"


def _verb_list(verbs: Sequence[str]) -> str:
    """Verbs in a row; after one with an *and* of its own stands a comma."""
    if any(" and " in verb for verb in verbs[:-1]):
        return f"{', '.join(verbs[:-1])}, and {verbs[-1]}"
    return word_list(verbs)


def _acts(layout: Layout, acts: Sequence[Act]) -> Iterator[str]:
    """The acts in words, the same verb once in a row."""
    for verb, several in groupby(acts, _verb):
        if verb == "make":
            for act in several:
                yield from _strikes(layout, act)
            continue
        where = "in" if verb == "put" else "for"
        yield f"{verb} " + word_list(
            f"{layout.value_name(mark)} {where} {layout.unknowns[mark[0]]}"
            for act in several
            for mark in act.places
        )


def _verb(act: Act) -> str:
    return "make" if act.removes else "put" if act.zone else "leave"


def _strikes(layout: Layout, act: Act) -> Iterator[str]:
    """The cells that the rule narrows down, and the digits that it takes."""
    made = [one for one in act.left if in_short(one)]
    if made:
        yield f"make {word_list(_becomes(layout, *one) for one in made)}"
    taken: dict[tuple[str, ...], list[int]] = {}
    for unknown, _, _ in (one for one in act.left if one not in made):
        values = tuple(layout.value_name(mark) for mark in act.removes if mark[0] == unknown)
        taken.setdefault(values, []).append(unknown)
    if taken:
        yield "take " + word_list(
            f"{word_list(values)} from {cell_names(layout, cells)}"
            for values, cells in taken.items()
        )


def _becomes(layout: Layout, unknown: int, mask: int, full: int) -> str:
    """An unknown with its values left: ``r7c9 4 or 5``, ``r7c9 at most 5``."""
    name, values = str(layout.unknowns[unknown]), members(mask)
    named = [layout.value_name((unknown, value)) for value in values]
    if len(values) <= MOST_NEEDED:
        return f"{name} {word_list(named, 'or')}"
    return f"{name} at most {named[-1]}" if mask & 1 else f"{name} at least {named[0]}"


def _clash(layout: Layout, clash: Clash) -> str:
    cells = cell_names(layout, clash.cells)
    if clash.needs:
        (unknown,) = clash.cells
        cells = cell_names(layout, sorted((unknown, *clash.also)), "or")
        if clash.by_have:
            return _ruled_out(layout, unknown, members(clash.have), known=clash.known)
        values = [layout.value_name((unknown, value)) for value in members(clash.needs)]
        wanted = word_list(values, "or")
        if len(values) > MOST_NEEDED:
            wanted = f"{values[-1]} or less" if clash.needs < clash.have else f"{values[0]} or more"
        need = f"need {wanted} {'for' if is_letter(layout, unknown) else 'in'} {cells}"
        if clash.known:
            return f"{need}, which is {layout.value_name((unknown, clash.have.bit_length() - 1))}"
        if clash.lost == "to another":
            return f"{need} too"
        them, verb = ("it", "is") if len(values) == 1 else ("these", "are")
        return f"{need}, where {them} {verb if clash.lost == 'before' else 'would be'} gone"
    if clash.zone is None:
        return "leave no way to fill it"
    digits = digit_names(layout, clash.digits)
    if clash.by_digits:
        here = f"in {zone_said(layout, clash.zone)}"
        if not clash.cells:
            return f"leave {digits} no place {here}"
        return f"leave only {cells} for {digits} {here}"
    return f"leave only {digits} for {cells}" if digits else f"leave nothing for {cells}"


def _ruled_out(layout: Layout, unknown: int, values: Sequence[int], *, known: bool) -> str:
    """All that an unknown has: ``rule out 2, 3 and 8 in r4c5, where nothing else is left``."""
    named = word_list(layout.value_name((unknown, value)) for value in values)
    where = f"{'for' if is_letter(layout, unknown) else 'in'} {layout.unknowns[unknown]}"
    return f"rule out {named} {where}" + ("" if known else ", where nothing else is left")
