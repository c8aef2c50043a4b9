"""Why a rule, perhaps with its houses, strikes a candidate: what that would lead to, up to a clash.

"6 in r6c9 would make r7c9 5 and r8c9 4, and leave nothing for r1c9". The arguments are found and
proved in ``rule_meaning/clashes.py``. Strikes that would take too long to tell have no such words.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from itertools import groupby

from gridassay.encodings.constraints import Doubler
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
from gridassay.verify.solving.techniques.facts import conclusion, number

MOST_MARKS = 16
"""The most candidates that go."""


_ALL_OF_THESE = 3
"""So many arguments are followed by a conclusion that does not name the candidates again."""

_MOST_OTHERS = 4
"""The most cells that are told together, each with the others."""

Cells = frozenset[int]
NONE: Cells = frozenset()


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
            count, words = min(told, key=lambda one: one[0])
            if count >= _ALL_OF_THESE and not places:
                return f"{words}, so all of these can be removed"
            return f"{words}, {conclusion(position, places, removes)}"
    return ""


def _clauses(layout: Layout, told: Mapping[Mark, Argument], most: Length) -> list[str]:
    """The argument against each candidate, those with the same one together; empty if too long."""
    said: dict[tuple[str, Cells], list[Mark]] = {}
    length: dict[tuple[str, Cells], int] = {}
    for mark, argument in told.items():
        alike = _alike(layout, told, mark[1])
        words = _would(layout, argument, alike - {mark[0]}), alike
        said.setdefault(words, []).append(mark)
        length[words] = argument.length + 1
    if sum(length.values()) > most.things:
        return []
    heads = {key: _candidates_in_words(layout, marks) for key, marks in said.items()}
    if sum(map(len, heads.values())) > most.clauses:
        return []
    return [
        f"{head} would {words}"
        for (words, others), several in heads.items()
        # "The other" is said of one candidate at a time.
        for head in (several if others else _either(several))
    ]


def _either(heads: Sequence[str]) -> list[str]:
    """Candidates in a row, those in a list of their own apart: ``9 in r8c1 or 8 in r9c1``."""
    short = [head for head in heads if ", " not in head]
    if len(short) > 1 and any(" or " in head for head in short):
        row = [f"{', '.join(short[:-1])}, or {short[-1]}"]
    else:
        row = [word_list(short, "or")] if short else []
    return [*row, *(head for head in heads if head not in short)]


def _alike(layout: Layout, told: Mapping[Mark, Argument], value: int) -> Cells:
    """The cells with this value among the candidates, if the argument speaks of the others of them.

    It is the same against each of them then, word by word.
    """
    cells = frozenset(unknown for unknown, this in told if this == value)
    if not 1 < len(cells) <= _MOST_OTHERS or not all(map(layout.is_cell, cells)):
        return frozenset()
    words = {_would(layout, told[cell, value], cells - {cell}) for cell in cells}
    plain = {_would(layout, told[cell, value]) for cell in cells}
    return cells if len(words) == 1 and len(plain) > 1 else frozenset()


def _candidates_in_words(layout: Layout, marks: Sequence[Mark]) -> list[str]:
    """Candidates in words: ``2 or 3 in r1c1 or r2c1``, ``11 for D``, ``a doubler in r1c1``."""
    digits: dict[int, list[int]] = {}
    for unknown, value in marks:
        digits.setdefault(unknown, []).append(value)
    together: dict[tuple[int, ...], list[int]] = {}
    for unknown, values in digits.items():
        together.setdefault(tuple(values), []).append(unknown)
    said = []
    for unknowns in together.values():
        first = unknowns[0]
        doubler = isinstance(layout.unknowns[first], Doubler)
        what = word_list([layout.value_name((first, value)) for value in digits[first]], "or")
        what = ("a doubler" if digits[first] == [1] else "no doubler") if doubler else what
        where = word_list([_place(layout, one) for one in unknowns], "or")
        said.append(f"{what} {'for' if is_letter(layout, first) else 'in'} {where}")
    return said


def _place(layout: Layout, unknown: int) -> str:
    """The holder of a value: a cell, also if the value is whether it is a doubler, or a letter."""
    variable = layout.unknowns[unknown]
    return str(variable.cell if isinstance(variable, Doubler) else variable)


def _cells_said(layout: Layout, cells: Iterable[int], others: Cells, last: str = "and") -> str:
    """Cells in a row; the ``others`` of those of which the sentence speaks have no names."""
    several = list(cells)
    if not others or not others <= {*several} or (last == "or" and others != {*several}):
        return cell_names(layout, several, last)
    named = [str(layout.unknowns[cell]) for cell in several if cell not in others]
    these = "the other" if len(others) == 1 else f"the other {number(len(others))}"
    return word_list([*named, these], last)


def _would(layout: Layout, told: Argument, others: Cells = NONE) -> str:
    """The verbs of an argument: ``put 3 in r9c1 and leave nothing for r8c1``.

    It is told of one of several cells; the ``others`` are named as such.
    """
    verbs = list(_acts(layout, told.acts, others))
    if told.clash:
        return _verb_list([*verbs, _clash(layout, told.clash, others)])
    first, _ = told.cases[0][0]
    places = frozenset(unknown for (unknown, _), _ in told.cases)
    alike = {_would(layout, case, places - {mark[0]}) for mark, case in told.cases}
    together = len(alike) == 1 and len(places) > 1
    ends: dict[str, list[str]] = {}
    for mark, case in told.cases:
        name = layout.value_name(mark) if told.zone is None else str(layout.unknowns[mark[0]])
        words = _would(layout, case, places - {mark[0]} if together else NONE)
        ends.setdefault(words, []).append(name)
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


def _acts(layout: Layout, acts: Sequence[Act], others: Cells) -> Iterator[str]:
    """The acts in words, the same verb once in a row."""
    for verb, several in groupby(acts, partial(_verb, layout)):
        if verb == "make":
            for act in several:
                yield from _strikes(layout, act, others)
            continue
        if verb == "double":
            yield from _doubles(layout, [mark for act in several for mark in act.places])
            continue
        where = "in" if verb == "put" else "for"
        yield f"{verb} " + word_list(
            f"{layout.value_name(mark)} {where} {_cells_said(layout, [mark[0]], others)}"
            for act in several
            for mark in act.places
        )


def _verb(layout: Layout, act: Act) -> str:
    if act.places and isinstance(layout.unknowns[act.places[0][0]], Doubler):
        return "double"
    return "make" if act.removes else "put" if act.zone else "leave"


def _doubles(layout: Layout, marks: Sequence[Mark]) -> Iterator[str]:
    """Cells that become doublers, and cells that cannot any more."""
    for value, verb in ((1, "put a doubler in"), (0, "keep a doubler out of")):
        cells = [_place(layout, unknown) for unknown, this in marks if this == value]
        if cells:
            yield f"{verb} {word_list(cells)}"


def _strikes(layout: Layout, act: Act, others: Cells) -> Iterator[str]:
    """The cells that the rule narrows down, and the digits that it takes."""
    doublers = [one for one in act.left if isinstance(layout.unknowns[one[0]], Doubler)]
    yield from _doubles(layout, [(one, mask.bit_length() - 1) for one, mask, _ in doublers])
    made = [one for one in act.left if in_short(one) and one not in doublers]
    becomes: dict[str, list[int]] = {}
    for unknown, mask, _ in made:
        becomes.setdefault(_becomes(layout, unknown, mask), []).append(unknown)
    if made:
        yield "make " + _verb_list(
            [f"{_cells_said(layout, cells, others)} {left}" for left, cells in becomes.items()]
        )
    taken: dict[tuple[str, ...], list[int]] = {}
    for unknown, _, _ in (one for one in act.left if one not in (*made, *doublers)):
        values = tuple(layout.value_name(mark) for mark in act.removes if mark[0] == unknown)
        taken.setdefault(values, []).append(unknown)
    if taken:
        yield "take " + word_list(
            f"{word_list(values)} from {_cells_said(layout, cells, others)}"
            for values, cells in taken.items()
        )


def _becomes(layout: Layout, unknown: int, mask: int) -> str:
    """The values left to an unknown: ``4 or 5``, ``at most 5``."""
    values = members(mask)
    named = [layout.value_name((unknown, value)) for value in values]
    if len(values) <= MOST_NEEDED:
        return word_list(named, "or")
    return f"at most {named[-1]}" if mask & 1 else f"at least {named[0]}"


def _clash(layout: Layout, clash: Clash, others: Cells) -> str:
    cells = _cells_said(layout, clash.cells, others)
    if clash.needs:
        (unknown,) = clash.cells
        cells = _cells_said(layout, sorted((unknown, *clash.also)), others, "or")
        if clash.by_have:
            return _ruled_out(layout, unknown, members(clash.have), known=clash.known)
        values = [layout.value_name((unknown, value)) for value in members(clash.needs)]
        wanted = word_list(values, "or")
        if isinstance(layout.unknowns[unknown], Doubler):
            return _doubler_needed(layout, clash, sorted((unknown, *clash.also)))
        if len(values) > MOST_NEEDED:
            wanted = f"{values[-1]} or less" if clash.needs < clash.have else f"{values[0]} or more"
        need = f"need {wanted} {'for' if is_letter(layout, unknown) else 'in'} {cells}"
        if clash.known:
            return f"{need}, which is {layout.value_name((unknown, clash.have.bit_length() - 1))}"
        if clash.lost == "to another":
            return f"{need} too"
        now = "is" if clash.lost == "before" else "would be"
        return f"{need}, where " + (f"it {now} gone" if len(values) == 1 else f"none {now} left")
    if clash.zone is None:
        return "leave no way to fill it"
    digits = digit_names(layout, clash.digits)
    if clash.by_digits:
        here = f"in {zone_said(layout, clash.zone)}"
        if not clash.cells:
            return f"leave {digits} no place {here}"
        return f"leave only {cells} for {digits} {here}"
    return f"leave only {digits} for {cells}" if digits else f"leave nothing for {cells}"


def _doubler_needed(layout: Layout, clash: Clash, doublers: Sequence[int]) -> str:
    """``need r1c2 to be a doubler, which it is not``, ``clash with the doubler in r1c2``."""
    cells = word_list([_place(layout, one) for one in doublers], "or")
    if clash.needs == 1:
        return f"clash with the doubler in {cells}"
    they, now = ("it", "is not") if len(doublers) == 1 else ("they", "are not")
    now = "would not be" if clash.lost == "then" else now
    return f"need {cells} to be a doubler, which {they} {now}"


def _ruled_out(layout: Layout, unknown: int, values: Sequence[int], *, known: bool) -> str:
    """All that an unknown has: ``rule out 2, 3 and 8 in r4c5, where nothing else is left``."""
    named = word_list(layout.value_name((unknown, value)) for value in values)
    where = f"{'for' if is_letter(layout, unknown) else 'in'} {layout.unknowns[unknown]}"
    return f"rule out {named} {where}" + ("" if known else ", where nothing else is left")
