"""How a step of a tidy route is told where candidates that others struck before it are still there.

Its own technique is looked for on that board. Where that does not give it any more, a digit may be placed
by another single, or by the rule whose strike was left out: by itself, or with the house in which the
digit has one place. Two steps of one rule may be told as one.
"""

from __future__ import annotations

from collections.abc import Callable, Container, Iterable, Iterator
from dataclasses import replace

from gridassay.verify.engines.questions import Switch
from gridassay.verify.solving.board.ideas import Idea
from gridassay.verify.solving.board.position import Mark, Position, members
from gridassay.verify.solving.rule_meaning.strikes import RuleStrikes, reader_of
from gridassay.verify.solving.stories.again import told_again
from gridassay.verify.solving.stories.building import (
    MOST_PREMISES,
    SLOW,
    again,
    weight,
)
from gridassay.verify.solving.techniques import (
    SINGLES,
    TECHNIQUES,
    rule_alone,
    rule_with_houses,
    sure_digit,
)

Proves = Callable[[Position, Idea], bool]

_STRIKING = (rule_alone.NAME, rule_with_houses.NAME)
"""The techniques of a rule of which any strikes can be asked for."""

_OF_RULES = (*_STRIKING, sure_digit.NAME)

_FEW = 3
"""The most candidates that a rule strikes, and on which it rests, where it takes the place of a single.

With houses it may also strike as many where it struck fewer before.
"""


class Retelling:
    """Tells steps with proofs, and by no technique that is left out."""

    def __init__(self, proves: Proves, without: Container[str]) -> None:
        self._proves = proves
        self._without = without

    def again(
        self, before: Position, extra: set[Mark], idea: Idea, left_out: Idea, taken: set[Mark]
    ) -> Idea | None:
        """The same conclusions on a board with ``extra`` candidates, proved; None if they do not hold.

        A sentence names all that its step strikes. That may be more than before, but nothing that was
        ``taken`` by later steps. The extra candidates are strikes of a step that is ``left_out``.
        """
        at = with_candidates(before, extra)
        if idea.story:
            found = told_again(at, idea)
            return found if found and self._proves(at, found) else None
        for own in _by_itself(at, before, idea):
            more = {*own.removes} - {*idea.removes} - extra
            if more and own.technique == rule_alone.NAME:
                own = saying(at, own, idea.removes)
            elif not more.isdisjoint(taken):
                continue
            if self._proves(at, own):
                return own
        for other in _placing(at, idea, left_out):
            if other.technique not in self._without and self._proves(at, other):
                return other
        return None

    def both(self, before: Position, extra: set[Mark], earlier: Idea, later: Idea) -> Idea | None:
        """The conclusions of a later step of a rule with the strikes of an earlier one, proved."""
        at = with_candidates(before, extra)
        switches = tuple(dict.fromkeys((*later.switches, *earlier.switches)))
        removes = tuple(sorted(extra.intersection(earlier.removes).union(later.removes)))
        found = by_rule(at, switches, later.places, removes)
        if not found or found.technique in self._without:
            return None
        most = max(MOST_PREMISES, weight(at, earlier), weight(before, later))
        short = weight(at, found) <= most and _is_short(at, found, before, later)
        return found if short and self._proves(at, found) else None


def _by_itself(at: Position, before: Position, idea: Idea) -> Iterator[Idea]:
    """The steps of its own technique that conclude the same."""
    if idea.technique == rule_with_houses.NAME:
        found = by_rule(at, idea.switches, idea.places, idea.removes)
        if found and _is_short(at, found, before, idea):
            yield found
        return
    for technique in TECHNIQUES:
        if idea.technique in technique.names:
            some: Iterable[Idea] = (
                again(idea.technique, at, idea.marks)
                if idea.technique in SLOW
                else technique.find(at)
            )
            for other in some:
                if other.technique == idea.technique and covers(other, idea):
                    yield other


def _placing(at: Position, idea: Idea, left_out: Idea) -> Iterator[Idea]:
    """Other short steps that place a digit."""
    # However many they are, opening marks are told as one step.
    if left_out.group or len(idea.places) != 1 or idea.removes:
        return
    for technique in TECHNIQUES:
        if technique.name in SINGLES:
            yield from (other for other in technique.find(at) if covers(other, idea))
    if left_out.technique not in _OF_RULES:
        return
    rule = left_out.switches[0]
    for switches in ((rule,), *((rule, zone.switch) for _, zone in idea.spots)):
        found = by_rule(at, switches, idea.places, ())
        if found and weight(at, found) <= _FEW and _count_of_strikes(at, found) <= _FEW:
            yield found


def _is_short(at: Position, found: Idea, before: Position, idea: Idea) -> bool:
    """Whether a rule with houses strikes few candidates, or not more than a step did before."""
    if found.technique != rule_with_houses.NAME:
        return True
    return _count_of_strikes(at, found) <= max(_FEW, _count_of_strikes(before, idea))


def _count_of_strikes(board: Position, idea: Idea) -> int:
    """The number of candidates that a step removes from its cells."""
    placed = sum(board.masks[cell].bit_count() - 1 for cell, _ in idea.places)
    return placed + len(idea.removes)


def may_be_one(earlier: Idea, later: Idea) -> bool:
    """Whether two steps may be told as one, since a rule strikes in both.

    Opening marks are told as one step already.
    """
    ruled = earlier.technique in _STRIKING and later.technique in _STRIKING
    return ruled and not earlier.group and earlier.switches[0] == later.switches[0]


def can_say_less(idea: Idea) -> bool:
    """Whether an idea can be told with fewer conclusions."""
    return bool(idea.story) or (idea.technique in _STRIKING and not idea.places)


def saying(board: Position, idea: Idea, removes: tuple[Mark, ...]) -> Idea:
    """An idea with fewer removals; the sentence of a rule names no others."""
    if idea.technique in _STRIKING:
        return by_rule(board, idea.switches, idea.places, removes) or idea
    return replace(idea, removes=removes)


def by_rule(
    board: Position, switches: Iterable[Switch], places: Iterable[Mark], removes: Iterable[Mark]
) -> Idea | None:
    """The step of a rule, the first of some premises, with the houses that are the others.

    None if it does not conclude all this.
    """
    rule, *houses = switches
    placed = [
        (cell, other)
        for cell, digit in places
        for other in members(board.masks[cell] & ~(1 << digit))
    ]
    reading = reader_of(board.layout).striking(board, rule, (*removes, *placed), houses)
    return rule_step(board, reading) if reading else None


def rule_step(board: Position, reading: RuleStrikes) -> Idea:
    """The strikes of a rule as a step of one of its two techniques."""
    if reading.zones:
        return rule_with_houses.joint_idea(board, reading)
    return rule_alone.rule_idea(board, reading)


def covers(idea: Idea, wanted: Idea) -> bool:
    """Whether an idea concludes all that another does."""
    return set(wanted.places) <= set(idea.places) and set(wanted.removes) <= set(idea.removes)


def with_candidates(board: Position, marks: Iterable[Mark]) -> Position:
    """A board with some candidates back."""
    wider = board.copy()
    for unknown, value in marks:
        if wider.is_placed(unknown) and wider.layout.is_cell(unknown):
            continue
        wider.masks[unknown] |= 1 << value
        if wider.layout.is_cell(unknown):
            wider.where[value] |= 1 << unknown
        elif wider.masks[unknown].bit_count() > 1:
            wider.placed &= ~(1 << unknown)
    return wider
