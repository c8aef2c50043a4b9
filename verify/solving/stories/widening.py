"""The strikes that a tidy step shows in passing: a bound strikes all beyond it, not only what is used.

A listener strikes everything that he is shown. So a rule that is read by itself, with the premises that
the tidy route needs, strikes all that these premises and the digits placed in it strike. What comes
later is told on the board that this leaves: a step with nothing left to conclude is dropped, and one
whose premises changed is looked for again.
"""

from __future__ import annotations

from collections.abc import Container, Iterable, Iterator, Sequence
from dataclasses import replace

from gridassay.verify.engines.deletion import fewest
from gridassay.verify.engines.questions import Switch
from gridassay.verify.solving.board.ideas import Idea
from gridassay.verify.solving.board.position import Mark, Position, Zone, members
from gridassay.verify.solving.board.supposed import can_be_supposed
from gridassay.verify.solving.rule_meaning.strikes import RuleStrikes, reader_of
from gridassay.verify.solving.stories.again import told_again
from gridassay.verify.solving.stories.building import SLOW, again
from gridassay.verify.solving.stories.retelling import Proves, by_rule, rule_step
from gridassay.verify.solving.techniques import TECHNIQUES, rule_alone, rule_with_houses, sure_digit
from gridassay.verify.solving.techniques.strike_words import Strike

_MOST_HOUSES = 2
"""The most houses in which a rule is said not to repeat a digit."""


class _Stuck(Exception):
    """A later step cannot be told once these candidates are gone."""

    def __init__(self, marks: set[Mark]) -> None:
        super().__init__()
        self.marks = marks


class Widening:
    """Widens the ideas of a tidy route, and remembers how rules were told."""

    def __init__(self, proves: Proves, without: Container[str]) -> None:
        self._proves = proves
        self._without = without
        self._kept: set[Mark] = set()
        self._known: dict[object, tuple[RuleStrikes | None, str]] = {}

    def widen(self, first: Position, ideas: Sequence[Idea]) -> list[Idea]:
        """The ideas, those of a rule by itself with all that their premises strike."""
        self._kept = set()
        while True:
            try:
                return list(self._each_wider(first, ideas))
            except _Stuck as stuck:
                self._kept |= stuck.marks

    def _each_wider(self, first: Position, ideas: Sequence[Idea]) -> Iterator[Idea]:
        """The ideas, one after the other; candidates that are kept are not struck in passing."""
        before, board = first.copy(), first.copy()
        for place, idea in enumerate(ideas):
            extra = _more(before, board)
            now = self._on(board, idea, extra)
            if now is not None and now.story:
                now = self._for_others(board, now, ideas[place + 1 :])
            if now is not None and now.technique == sure_digit.NAME:
                now = self._digits_for_others(board, now, ideas[place + 1 :])
            before.conclude(idea.places, idea.removes)
            if now is not None:
                yield now
                board.conclude(now.places, now.removes)

    def _on(self, board: Position, idea: Idea, extra: set[Mark]) -> Idea | None:
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
            found = self._rule(at, idea, places, removes)
            if found is not None:
                return found
            if not extra:
                return idea
        elif idea.story:
            found = told_again(at, idea, removes)
            if found is not None and self._proves(at, found):
                return found
        elif not _concerns(idea, extra):
            return idea
        for found in _anew(at, idea, places, removes):
            if found.technique not in self._without and self._proves(at, found):
                return found
        concerned = {mark for mark in extra if _concerns(idea, {mark})}
        if concerned <= self._kept:
            return replace(idea, places=places, removes=removes)
        raise _Stuck(concerned)

    def _for_others(self, board: Position, idea: Idea, later: Sequence[Idea]) -> Idea:
        """A story that supposes what later ones suppose as well, if the same links lead to an end."""
        for other in later:
            if not other.story:
                continue
            more = [mark for mark in other.removes if board.has(mark) and mark not in idea.removes]
            removes = tuple(sorted([*idea.removes, *more]))
            if not more or not self._kept.isdisjoint(more):
                continue
            if not can_be_supposed(board.layout, removes):
                continue
            for story in (idea, other):
                found = told_again(board.copy(), story, removes)
                if found is not None and self._proves(board, found):
                    idea = found
                    break
        return idea

    def _digits_for_others(self, board: Position, idea: Idea, later: Sequence[Idea]) -> Idea:
        """The sure digits of a rule with those of later steps about it that it already has."""
        rule, at = idea.switches[0], board.copy()
        for other in later:
            if other.technique != sure_digit.NAME or other.switches[0] != rule:
                continue
            more = [mark for mark in other.removes if board.has(mark) and mark not in idea.removes]
            found = sure_digit.with_more(at, rule, idea.removes, more) if more else None
            if found and self._kept.isdisjoint(found.removes) and self._proves(at, found):
                idea = found
        return idea

    def _rule(
        self, at: Position, idea: Idea, places: Iterable[Mark], removes: Iterable[Mark]
    ) -> Idea | None:
        """A rule with all that its premises strike; None if it does not show its own any more."""
        placed = [
            (cell, other)
            for cell, digit in places
            for other in members(at.masks[cell] & ~(1 << digit))
        ]
        for found in self._readings(at, idea.switches[0], (*removes, *placed)):
            if found.technique not in self._without and set(places) <= set(found.places):
                return found
        return None

    def _readings(self, at: Position, switch: Switch, wanted: tuple[Mark, ...]) -> Iterator[Idea]:
        """A rule with the houses without which a way to fill it would repeat a digit, and by itself."""
        reader = reader_of(at.layout)
        houses = reader.own_houses(switch)
        words = self._tell(at, switch, wanted, houses)[1]
        few: Sequence[Zone] = ()
        if words and self._tell(at, switch, wanted, ())[1] != words:
            few = fewest(houses, lambda zones: self._tell(at, switch, wanted, zones)[1] == words)
        for zones in (few, ()) if 0 < len(few) <= _MOST_HOUSES else ((),):
            reading, why = self._tell(at, switch, wanted, zones)
            if reading and why:
                yield rule_step(at, reading)
        if alone := reader.striking(at, switch, wanted):
            yield rule_step(at, alone)

    def _tell(
        self, at: Position, switch: Switch, wanted: tuple[Mark, ...], zones: Sequence[Zone]
    ) -> tuple[RuleStrikes | None, str]:
        """All that is struck, and why in fillings, sums or bounds; nothing if it takes other words."""
        reader = reader_of(at.layout)
        scope = reader.scope(switch)
        left = tuple([(at.masks[unknown], at.is_placed(unknown)) for unknown in scope])
        kept = frozenset([mark for mark in self._kept if mark[0] in scope])
        key = switch, wanted, tuple(zones), left, kept
        if key not in self._known:
            reading = reader.all_strikes(at, switch, wanted, kept, zones)
            why = ""
            if reading is not None:
                idea = rule_step(at, reading)
                strike = Strike.of(at, reading.piece, zones, idea.cells, idea.places, idea.removes)
                why = replace(strike, untold=True).in_numbers()
            self._known[key] = reading, why
        return self._known[key]


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


def _anew(
    at: Position, idea: Idea, places: Sequence[Mark], removes: Sequence[Mark]
) -> Iterator[Idea]:
    """The steps that conclude what is left of an idea, its own technique first."""
    if idea.technique == rule_with_houses.NAME:
        found = by_rule(at, idea.switches, places, removes)
        if found:
            yield found
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
