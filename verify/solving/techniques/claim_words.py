"""Strikes of a rule that says how many of its clues are true: which clues are false, and what is left.

"The 17 cage is false, so the other three are true. By the 16 cage, 7 can be removed from r1c1"; or, if
that is open, "8 in r3c2 would make the 17 cage and the 16 cage false, and only 1 may be".
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import combinations, product
from math import prod

from gridassay.encodings.constraints import Constraint, HowMany, Variable
from gridassay.encodings.grid import Cell
from gridassay.verify.solving.board.ideas import digit_names, removal, word_list
from gridassay.verify.solving.board.position import Mark, members
from gridassay.verify.solving.techniques.bounds import bounds
from gridassay.verify.solving.techniques.facts import ClueTruth
from gridassay.verify.solving.techniques.struck import Struck

_MOST_TRIED = 20_000
"""Fillings of one clue that are gone through."""

_MOST_CLAUSES = 6


@dataclass(frozen=True)
class _Clue:
    name: str
    constraint: Constraint
    cells: tuple[int, ...]


def by_claims(strike: Struck) -> str:
    """Which clues are false or true, and what follows; nothing if that takes clues together."""
    clues = _clues(strike)
    if not clues:
        return ""
    (rule,) = strike.constraints
    assert isinstance(rule, HowMany)
    most_false, most_true = len(clues) - min(rule.counts), max(rule.counts)
    for wanted, most in ((False, most_false), (True, most_true)):
        settled = [one for one in clues if _truth_of(strike, one, strike.masks) is wanted]
        if len(settled) == most:
            said = _by_others(strike, clues, settled, wanted=wanted)
        else:
            said = _by_too_many(strike, clues, most, wanted=wanted)
        if said:
            return f"{strike.premises()}{said}"
    return ""


def _by_others(strike: Struck, clues: list[_Clue], settled: list[_Clue], *, wanted: bool) -> str:
    """As many are false (or true) as may be: what each of the others strikes."""
    others = [one for one in clues if one not in settled]
    struck: dict[str, list[Mark]] = {}
    for mark in strike.struck:
        by = next((one for one in others if _makes(strike, one, mark) is wanted), None)
        if by is None:
            return ""
        struck.setdefault(by.name, []).append(mark)
    if len(struck) > _MOST_CLAUSES:
        return ""
    head = ClueTruth(tuple(one.name for one in settled), true=wanted).words(strike.layout)
    rest = ClueTruth((), true=not wanted, others=len(others)).words(strike.layout)
    how = "against" if wanted else "by"
    clauses = [f"{how} {name}, {bounds(strike.position, marks)}" for name, marks in struck.items()]
    first = f"{head}, so " if settled else ""
    return f"{first}{rest}: {'; and '.join(clauses)}"


def _by_too_many(strike: Struck, clues: list[_Clue], most: int, *, wanted: bool) -> str:
    """Any candidate that goes would make too many clues false (or true)."""
    said: dict[tuple[int, tuple[str, ...]], list[int]] = {}
    for cell, digit in sorted(strike.struck):
        made = tuple(one.name for one in clues if _makes(strike, one, (cell, digit)) is wanted)
        if len(made) <= most:
            return ""
        said.setdefault((cell, made[: most + 1]), []).append(digit)
    if len(said) > _MOST_CLAUSES:
        return ""
    layout = strike.layout
    clauses = [
        f"{digit_names(layout, digits, 'or')} in {layout.cells[cell]} would make {word_list(made)} "
        f"{'true' if wanted else 'false'}"
        for (cell, made), digits in said.items()
    ]
    limit = f"only {most} may be" if most else "none may be"
    return f"{'; '.join(clauses)}; {limit}, {removal(layout, strike.struck)}"


def _clues(strike: Struck) -> list[_Clue]:
    layout = strike.layout
    names = layout.clues_said.get(strike.premise, ())
    if len(strike.constraints) != 1 or strike.beside:
        return []
    (rule,) = strike.constraints
    if not isinstance(rule, HowMany) or len(names) != len(rule.members):
        return []
    found = []
    for phrase, member in zip(names, rule.members, strict=True):
        scope = list(dict.fromkeys(member.scope()))
        if not all(isinstance(one, Cell) for one in scope):
            return []
        cells = tuple(layout.index[one] for one in scope)
        if prod(strike.masks[cell].bit_count() for cell in cells) > _MOST_TRIED:
            return []
        found.append(_Clue(phrase, member, cells))
    return found


def _makes(strike: Struck, clue: _Clue, mark: Mark) -> bool | None:
    """Whether a clue is true with this candidate; None if that is open."""
    cell, digit = mark
    return _truth_of(strike, clue, {**strike.masks, cell: 1 << digit})


def _truth_of(strike: Struck, clue: _Clue, masks: Mapping[int, int]) -> bool | None:
    """Whether a clue is true, or false, whatever the cells are; None if that is open."""
    found = set()
    for values in _fillings(strike, clue, masks):
        found.add(clue.constraint.holds(values))
        if len(found) > 1:
            return None
    return found.pop() if found else None


def _fillings(
    strike: Struck, clue: _Clue, masks: Mapping[int, int]
) -> Iterator[dict[Variable, int]]:
    layout = strike.layout
    apart = [
        (one, other)
        for one, other in combinations(range(len(clue.cells)), 2)
        if any(bits >> clue.cells[one] & bits >> clue.cells[other] & 1 for bits in strike.apart)
    ]
    for digits in product(*(members(masks[cell]) for cell in clue.cells)):
        if not any(digits[one] == digits[other] for one, other in apart):
            yield {
                layout.cells[cell]: layout.digits[digit]
                for cell, digit in zip(clue.cells, digits, strict=True)
            }
