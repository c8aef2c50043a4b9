"""The strikes that a tidy step shows in passing: a bound strikes all beyond it, not only what is used.

A listener strikes everything that he is shown. So a rule that is read by itself, with the premises that
the tidy route needs, strikes all that these premises and the digits placed in it strike. What comes
later is told on the board that this leaves: a step with nothing left to conclude is dropped, and one
whose premises changed is looked for again.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import replace

from gridassay.verify.engines.deletion import fewest
from gridassay.verify.engines.questions import Switch
from gridassay.verify.solving.board.ideas import Idea
from gridassay.verify.solving.board.position import Mark, Position, Zone, members
from gridassay.verify.solving.board.supposed import can_be_supposed
from gridassay.verify.solving.rule_meaning.strikes import RuleStrikes, reader_of
from gridassay.verify.solving.stories.building import SLOW, again, told_again
from gridassay.verify.solving.techniques import TECHNIQUES, rule_alone, rule_with_houses
from gridassay.verify.solving.techniques.strike_words import Strike

_MOST_HOUSES = 2
"""The most houses in which a rule is said not to repeat a digit."""

Proves = Callable[[Position, Idea], bool]


class _Stuck(Exception):
    """A later step cannot be told once these candidates are gone."""

    def __init__(self, marks: set[Mark]) -> None:
        super().__init__()
        self.marks = marks


def widen(first: Position, ideas: Sequence[Idea], proves: Proves) -> list[Idea]:
    """The ideas of a tidy route, those of a rule by itself with all that their premises strike."""
    kept: set[Mark] = set()
    while True:
        try:
            return list(_each_wider(first, ideas, proves, kept))
        except _Stuck as stuck:
            kept |= stuck.marks


def _each_wider(
    first: Position, ideas: Sequence[Idea], proves: Proves, kept: set[Mark]
) -> Iterator[Idea]:
    """The ideas, one after the other; the candidates in ``kept`` are not struck in passing."""
    before, board = first.copy(), first.copy()
    for place, idea in enumerate(ideas):
        extra = _more(before, board)
        now = _on(board, idea, extra, proves, kept)
        if now is not None and now.story:
            now = _for_others(board, now, ideas[place + 1 :], proves, kept)
        before.conclude(idea.places, idea.removes)
        if now is not None:
            yield now
            board.conclude(now.places, now.removes)


def _more(wider: Position, board: Position) -> set[Mark]:
    """The candidates that a board has lost and a wider one has not."""
    if wider.masks == board.masks:
        return set()
    return {
        (unknown, value)
        for unknown, (mask, left) in enumerate(zip(wider.masks, board.masks, strict=True))
        if mask != left
        for value in members(mask & ~left)
    }


def _on(
    board: Position, idea: Idea, extra: set[Mark], proves: Proves, kept: set[Mark]
) -> Idea | None:
    """An idea on a board without the candidates in ``extra``; None if nothing is left of it."""
    removes = tuple(mark for mark in idea.removes if board.has(mark))
    places = tuple(mark for mark in idea.places if not board.is_placed(mark[0]))
    if not removes and not places:
        return None
    own = idea.technique == rule_alone.NAME or _is_of_own_cells(idea, board)
    if not extra and not own:
        return idea
    at = board.copy()
    if own:
        found = _rule(at, idea, places, removes, kept)
        if found is not None:
            return found
        if not extra:
            return idea
    elif idea.story:
        found = _story(at, idea, removes)
        if found is not None and proves(at, found):
            return found
    elif not _concerns(idea, extra):
        return idea
    for found in _anew(at, idea, places, removes):
        if proves(at, found):
            return found
    concerned = {mark for mark in extra if _concerns(idea, {mark})}
    if concerned <= kept:
        return replace(idea, places=places, removes=removes)
    raise _Stuck(concerned)


def _rule(
    at: Position, idea: Idea, places: Iterable[Mark], removes: Iterable[Mark], kept: set[Mark]
) -> Idea | None:
    """A rule with all that its premises strike; None if it does not show its own any more."""
    placed = [
        (cell, other) for cell, digit in places for other in members(at.masks[cell] & ~(1 << digit))
    ]
    wanted = (*removes, *placed)
    for found in _readings(at, idea.switches[0], wanted, kept):
        if set(places) <= set(found.places):
            return found
    return None


def _readings(
    at: Position, switch: Switch, wanted: tuple[Mark, ...], kept: set[Mark]
) -> Iterator[Idea]:
    """A rule with the houses without which a way to fill it would repeat a digit, and by itself."""
    reader = reader_of(at.layout)

    def tell(zones: Sequence[Zone]) -> tuple[Idea, str]:
        """All that is struck, and why in fillings, sums or bounds; nothing if it takes other words."""
        reading = reader.all_strikes(at, switch, wanted, kept, zones)
        if reading is None:
            return Idea(""), ""
        idea = _idea(at, reading)
        strike = Strike.of(at, reading.piece, zones, idea.cells, idea.places, idea.removes)
        return idea, replace(strike, untold=True).in_numbers()

    houses = reader.own_houses(switch, wanted)
    words = tell(houses)[1]
    few = fewest(houses, lambda zones: tell(zones)[1] == words) if words else []
    for zones in ([few] if few and len(few) <= _MOST_HOUSES else []) + [[]]:
        idea, why = tell(zones)
        if why:
            yield idea
    if alone := reader.striking(at, switch, wanted):
        yield _idea(at, alone)


def _idea(at: Position, reading: RuleStrikes) -> Idea:
    if reading.zones:
        return rule_with_houses.joint_idea(at, reading)
    return rule_alone.rule_idea(at, reading)


def _for_others(
    board: Position, idea: Idea, later: Sequence[Idea], proves: Proves, kept: set[Mark]
) -> Idea:
    """A story that supposes what later ones suppose as well, if the same links lead to an end."""
    for other in later:
        if not other.story:
            continue
        more = [mark for mark in other.removes if board.has(mark) and mark not in idea.removes]
        removes = tuple(sorted([*idea.removes, *more]))
        if not more or not kept.isdisjoint(more) or not can_be_supposed(board.layout, removes):
            continue
        for story in (idea, other):
            found = _story(board.copy(), story, removes)
            if found is not None and proves(board, found):
                idea = found
                break
    return idea


def _story(at: Position, idea: Idea, removes: tuple[Mark, ...]) -> Idea | None:
    """A story that supposes what is left of its supposition."""
    assert idea.story is not None
    (branch,) = idea.story.branches
    less = replace(idea.story, branches=(replace(branch, supposed=removes),))
    return told_again(at, replace(idea, story=less, removes=removes))


def _anew(
    at: Position, idea: Idea, places: Sequence[Mark], removes: Sequence[Mark]
) -> Iterator[Idea]:
    """The steps that conclude what is left of an idea, its own technique first."""
    own = [one for one in TECHNIQUES if idea.technique in one.names]
    for technique in (*own, *(one for one in TECHNIQUES if one not in own and not one.promised)):
        marks = (*places, *removes)
        some = again(technique.name, at, marks) if technique.name in SLOW else technique.find(at)
        for other in some:
            if set(places) <= set(other.places) and set(removes) <= {
                *other.removes,
                *(
                    (cell, value)
                    for cell, digit in other.places
                    for value in members(at.masks[cell] & ~(1 << digit))
                ),
            }:
                yield other
                break


def _is_of_own_cells(idea: Idea, board: Position) -> bool:
    """Whether an idea is that of a rule whose own cells do not repeat a digit in its houses."""
    if idea.technique != rule_with_houses.NAME or idea.spots:
        return False
    scope = board.layout.scope(board.layout.premise_of(idea.switches[0]).name)
    return {*idea.cells, *idea.touched} <= {*scope}


def _concerns(idea: Idea, marks: set[Mark]) -> bool:
    """Whether candidates are among what an idea rests on, or in a cell that it is about."""
    cells = {*idea.cells, *idea.touched}
    return any(
        cell in cells or any(digit == spot and zone.bits >> cell & 1 for spot, zone in idea.spots)
        for cell, digit in marks
    )
