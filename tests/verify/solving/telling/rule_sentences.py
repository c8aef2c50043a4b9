"""Sentences about rules and totals, decided by every filling of a rule's cells."""

from __future__ import annotations

import re
from collections.abc import Sequence

from gridassay.encodings.grid import Cell

from .between_sentences import between
from .board import Board
from .claim_sentences import claims
from .clash_sentences import clash
from .equal_sentences import alternation, equal, leftovers
from .fillings import Reading, rule_of
from .forms import zone
from .held_sentences import sure, used_up
from .prover import Facts, excluded
from .total_sentences import house_total
from .why_sentences import why
from .words import GIVEN, Marks, Unreadable, conclusion, given_in, named, spots_in


def decide(board: Board, text: str) -> tuple[Marks, Marks]:
    """Check what a sentence about a rule or a total says, and give what it concludes."""
    # A house that is in the name of the rule is not named again.
    text = re.sub(r" in (\w+ \w+), where no digit repeats", r" in \1, no digit twice in \1", text)
    text = re.sub(r" in ((\w+) \w+) and the rest of the \2", r" in \1 together with \1", text)
    for check in (
        claims,
        leftovers,
        house_total,
        equal,
        alternation,
        used_up,
        sure,
        _strike,
    ):
        said = check(board, text)
        if said is not None:
            return said
    raise Unreadable(text)


def _strike(board: Board, text: str) -> tuple[Marks, Marks] | None:
    found = rule_of(board, text)
    if found is None:
        return None
    phrase, rest = found
    cells, fillings = board.plain.fillings(phrase)
    names = [*board.plain.houses, *board.plain.rules]
    if m := re.fullmatch(r"(?: together with (.+?)|, no digit twice in (.+?))?: (.+)", rest):
        houses = {name: zone(board, name) for name in named(m[1] or m[2] or "", names)}
        if said := between(board, phrase, m[3]):
            return said
        if " would " in m[3]:
            reading = Reading(board, cells, sorted(fillings))
            reading.apart(list(houses.values()))
            said = clash(board, cells, reading.left, houses, m[3])
            if said is not None:
                return said
    reading = Reading(board, cells, sorted(fillings))
    joint = re.fullmatch(rf" together with ([^:]+?)(?:: ({GIVEN}))?, (so .+)", rest)
    if joint:
        return _joint(board, reading, joint, named(joint[1], names), text)
    if m := re.match(r", no digit twice in (.+?): ", rest):
        reading.apart([zone(board, name) for name in named(m[1], names)])
        rest = rest[m.end() :]
    elif rest.startswith(": "):
        rest = rest[2:]
    else:
        return None
    return why(reading, rest)


def _joint(
    board: Board, reading: Reading, joint: re.Match[str], names: Sequence[str], text: str
) -> tuple[Marks, Marks]:
    """A rule with houses whole: candidates and places are given, and every way is gone through."""
    said = conclusion(board, joint[3])
    facts = Facts()
    for digit, name, cells in spots_in(joint[2] or ""):
        assert board.places(digit, zone(board, name)) == cells, text
        facts.one_of(digit, cells)
    for cell, digits in given_in(board, joint[2] or "").items():
        facts.has(cell, digits)
    facts.fillings.append((reading.cells, frozenset(reading.left)))
    zones = [zone(board, name) for name in names]

    def sees(one: Cell, other: Cell) -> bool:
        return one != other and any({one, other} <= house for house in zones)

    for house in zones:
        for digit in board.plain.digits:
            # A house has each digit somewhere; if it is placed that is plain.
            where = [c for c in house if c in board.placed and digit in board.candidates[c]]
            if where:
                facts.has(where[0], {digit})
    for cell, digit in said[1]:
        assert excluded(facts, sees, cell, digit), f"{text}: {digit} may be in {cell}"
    for cell, digit in said[0]:
        for other in board.plain.digits:
            assert other == digit or excluded(facts, sees, cell, other), f"{text}: {other}"
    return said
