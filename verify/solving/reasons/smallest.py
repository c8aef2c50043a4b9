"""The smallest reason of a position, as a step, for when no technique applies.

Usually no search is needed, as ``smallest_reason`` explains; the search itself is in
``search.py``.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from gridassay.encodings.puzzle import Solution
from gridassay.verify.budget import Clock
from gridassay.verify.solving.board.ideas import (
    Spot,
    premise_name,
    removal,
    word_list,
)
from gridassay.verify.solving.board.layer_words import in_words, layer_conclusions
from gridassay.verify.solving.board.position import Mark, Position, Zone, bits_of, members
from gridassay.verify.solving.board.premise_words import premises_said
from gridassay.verify.solving.board.steps import REASON
from gridassay.verify.solving.reasons.search import find_reason
from gridassay.verify.solving.reasons.witnesses import (
    MOST_ABOUT_CANDIDATES,
    MOST_CHOICES,
    FoundReason,
    ReasonBook,
    Within,
)
from gridassay.verify.solving.rule_meaning.strikes import reader_of
from gridassay.verify.solving.techniques import Idea, locked
from gridassay.verify.solving.techniques.naked_sets import subsets

LONG = 5
"""The number of houses and rule parts from which a reason is called long."""


def reason_idea(
    book: ReasonBook,
    position: Position,
    targets: Sequence[Mark],
    solution: Solution,
    clock: Clock,
    choices: int = MOST_CHOICES,
) -> Idea | None:
    """The smallest reason of any of the targets as an idea; a placement if it leaves one digit.

    None without targets. Raises OutOfTime if the clock runs out.
    """
    found = smallest_reason(book, position, targets, solution, clock, choices)
    if found is None:
        return None
    return idea_of(found, position)


def idea_of(found: FoundReason, position: Position) -> Idea:
    """A reason as an idea."""
    settled = {cell for cell, _ in found.places}
    removes = tuple(mark for mark in found.removes if mark[0] not in settled)
    return Idea(
        REASON,
        places=found.places,
        removes=removes,
        cells=found.cells,
        spots=found.spots,
        switches=found.switches,
        shown=found.cells,
        digits=tuple(dict.fromkeys(digit for digit, _ in found.spots)),
        say=lambda: _say(found, position, removes),
    )


def _say(found: FoundReason, position: Position, removes: tuple[Mark, ...]) -> str:
    layout = position.layout
    facts = premises_said(position, found.cells, found.spots)
    parts = word_list(dict.fromkeys(premise_name(layout, switch) for switch in found.switches))

    def of_layers(marks: Iterable[Mark], wanted: bool) -> list[Mark]:
        return [mark for mark in marks if in_words(layout.unknowns[mark[0]]) is wanted]

    ends = []
    if placed := of_layers(found.places, False):
        ends.append("so " + word_list(layout.mark(mark) for mark in placed))
    if struck := of_layers(removes, False):
        ends.append(removal(layout, struck))
    laid = of_layers(found.places, True), of_layers(removes, True)
    if any(laid):
        ends.append("so " + layer_conclusions(layout, position, *laid))
    head = ""
    if len(found.switches) >= LONG:
        rest = "and no shorter one" if found.exact else "perhaps not the shortest"
        head = f"a long reason, {rest}: "
    given = f", given that {word_list(facts)}" if facts else ""
    return f"{head}by {parts}{given}, {'; '.join(ends)}"


def smallest_reason(
    book: ReasonBook,
    position: Position,
    targets: Sequence[Mark],
    solution: Solution,
    clock: Clock,
    choices: int = MOST_CHOICES,
) -> FoundReason | None:
    """The smallest reason of any of the targets, usually without a search.

    The meaning of one house is its Hall sets (P. Hall, "On representatives of subsets", 1935): k
    cells with k candidates between them, or k digits with k places. So the smallest reason of one
    house can be read from the candidates; if no single rule part beats it, it is the smallest of
    all. If no house gives one, a digit confined to the cells where two houses cross has the
    smallest reason of two.
    """
    wanted = frozenset(targets)
    hall = next((found for found in _hall_sets(position) if wanted.intersection(found[0])), None)
    most = len(hall[1]) + len(hall[2]) - 1 if hall else MOST_ABOUT_CANDIDATES
    readings = reader_of(position.layout).alone(position)
    if any(wanted.intersection(reading.removes) for reading in readings):
        alone = Within(most_parts=1, most_about=most, rules_only=True, choices=choices)
        by_rule = find_reason(book, position, targets, solution, clock, alone)
        if by_rule:
            return by_rule
    if hall:
        removes, cells, spots, zone = hall
        struck = tuple(mark for mark in removes if mark in wanted)
        single = tuple((cell, spots[0][0]) for cell, _ in struck[:1]) if len(spots) == 1 else ()
        return FoundReason(struck, (zone.switch,), cells, spots, single)
    if all(isinstance(switch, str) for switch in book.switches):
        for idea in locked.find(position):
            struck = tuple(mark for mark in idea.removes if mark in wanted)
            if struck and idea.size == (2, 1):
                return FoundReason(struck, idea.all_switches, (), idea.spots)
    within = Within(fewest_parts=2, choices=choices)
    return find_reason(book, position, targets, solution, clock, within)


Hall = tuple[tuple[Mark, ...], tuple[int, ...], tuple[Spot, ...], Zone]


def _hall_sets(position: Position) -> Iterator[Hall]:
    """The strikes of the Hall sets of every zone, the smallest sets first."""
    layout = position.layout
    for size in range(1, max((len(zone.cells) for zone in layout.zones), default=0)):
        for zone in layout.zones:
            open_bits = zone.bits & ~position.placed
            count = open_bits.bit_count()
            if size >= count or (zone.full and 2 * size > count):
                continue
            for cells, union in subsets(position.masks, members(open_bits), size):
                rest = open_bits & ~bits_of(cells)
                removes = tuple(
                    (cell, digit)
                    for digit in members(union)
                    for cell in members(rest & position.where[digit])
                )
                if removes:
                    yield removes, cells, (), zone
            if not zone.full:
                continue
            places = [cells & open_bits for cells in position.where]
            digits = [digit for digit, cells in enumerate(places) if cells]
            for chosen, union in subsets(places, digits, size):
                removes = tuple(
                    (cell, digit)
                    for cell in members(union)
                    for digit in members(position.masks[cell])
                    if digit not in chosen
                )
                if removes:
                    yield removes, (), tuple((digit, zone) for digit in chosen), zone
