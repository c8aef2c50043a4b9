"""The tidy route: none of its eliminations can be left out.

Going backwards, a step on which nothing later rests is left out, and so are the unused conclusions
of a story or a rule, so that it needs no more premises than it must. A pattern keeps all its
conclusions: its sentence names them, and a person who sees it strikes them all. So does a rule
with all that the premises which are left show (``widening.py``). A later step that rested on one that
was left out has to hold on the board without it: its technique is looked for there again, with the
same conclusions, and proved again.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace

from gridassay.verify.solving.board.ideas import Idea
from gridassay.verify.solving.board.position import Mark, Position, members
from gridassay.verify.solving.rule_meaning.strikes import reader_of
from gridassay.verify.solving.stories.building import SLOW, again, told_again
from gridassay.verify.solving.stories.widening import widen
from gridassay.verify.solving.techniques import SINGLES, TECHNIQUES, rule_alone

Proves = Callable[[Position, Idea], bool]


def tidy(first: Position, ideas: Sequence[Idea], proves: Proves) -> list[Idea]:
    """The ideas of a route that solves its puzzle, without those on which nothing rests."""
    if not any(idea.removes or idea.technique not in SINGLES for idea in ideas):
        return list(ideas)  # each of them places a digit that the solution needs
    kept = _Tidying(first, ideas, proves).run()
    while True:
        kept = widen(first, kept, proves)
        # Where more is struck, fewer steps may be enough.
        fewer = _Tidying(first, kept, proves).fewer()
        if len(fewer) == len(kept):
            return kept
        kept = fewer


class _Tidying:
    """The ideas that are kept, each with the board before it."""

    def __init__(self, first: Position, ideas: Sequence[Idea], proves: Proves) -> None:
        self._proves = proves
        self._ideas: list[Idea | None] = list(ideas)
        self._boards: list[Position] = []
        board = first.copy()
        for idea in ideas:
            self._boards.append(board.copy())
            board.conclude(idea.places, idea.removes)

    def run(self) -> list[Idea]:
        """Leave out what can be left out, last first."""
        for place in range(len(self._ideas) - 1, -1, -1):
            idea = self._ideas[place]
            if idea is None or not idea.removes:
                continue
            if self._without(place, idea.removes):
                kept: tuple[Mark, ...] = ()
            else:
                several = idea.removes if len(idea.removes) > 1 and _can_say_less(idea) else ()
                dropped = [mark for mark in several if self._without(place, (mark,))]
                kept = tuple(mark for mark in idea.removes if mark not in dropped)
            if kept != idea.removes:
                self._ideas[place] = self._narrow(place, idea, kept)
        return [idea for idea in self._ideas if idea is not None]

    def fewer(self) -> list[Idea]:
        """Leave out whole steps only."""
        for place in range(len(self._ideas) - 1, -1, -1):
            idea = self._ideas[place]
            if idea and not idea.places and self._without(place, idea.removes):
                self._ideas[place] = None
        return [idea for idea in self._ideas if idea is not None]

    def _narrow(self, place: int, idea: Idea, kept: tuple[Mark, ...]) -> Idea | None:
        """An idea with fewer conclusions; None if it has none left."""
        if not kept and not idea.places:
            return None
        board = self._boards[place]
        if idea.story:
            # A story concludes the opposite of its supposition, so it has to suppose less.
            (branch,) = idea.story.branches
            less = replace(idea.story, branches=(replace(branch, supposed=kept),))
            return told_again(board.copy(), replace(idea, story=less, removes=kept)) or idea
        return _saying(board.copy(), idea, kept)

    def _without(self, place: int, marks: Sequence[Mark]) -> bool:
        """Leave out some conclusions of a step, if all later steps hold; the boards are updated."""
        extra = set(marks)
        changed: dict[int, Idea] = {}
        wider: dict[int, set[Mark]] = {}
        for later in range(place + 1, len(self._ideas)):
            if not extra:
                break
            idea = self._ideas[later]
            wider[later] = extra
            if idea is None:
                continue
            if _rests_on(idea, extra):
                again = self._again(_with(self._boards[later], extra), later, idea, extra)
                if again is None:
                    return False
                changed[later] = idea = again
            extra = _still_there(self._boards[later], idea, extra)
        if extra:  # a letter or doubler would be left open
            return False
        for later, more in wider.items():
            self._boards[later] = _with(self._boards[later], more)
        for later, idea in changed.items():
            self._ideas[later] = idea
        return True

    def _again(self, board: Position, place: int, idea: Idea, extra: set[Mark]) -> Idea | None:
        """The same step on a board with ``extra`` candidates, proved; None if it does not hold.

        Its sentence names all that it strikes. That may be more than before, but nothing that a later
        step strikes.
        """
        at = board.copy()
        if idea.story:
            found = told_again(at, idea)
            return found if found and self._proves(at, found) else None
        for technique in TECHNIQUES:
            if idea.technique not in technique.names:
                continue
            found_anew: Iterable[Idea] = (
                again(idea.technique, at, (*idea.places, *idea.removes))
                if idea.technique in SLOW
                else technique.find(at)
            )
            for other in found_anew:
                if other.technique != idea.technique or not _covers(other, idea):
                    continue
                more = {*other.removes} - {*idea.removes} - extra
                if more and idea.technique == rule_alone.NAME:
                    other = _saying(at, other, idea.removes)
                elif not more.isdisjoint(self._struck_after(place)):
                    continue
                return other if self._proves(at, other) else None
        return None

    def _struck_after(self, place: int) -> set[Mark]:
        """The candidates that the steps after one strike."""
        return {mark for idea in self._ideas[place + 1 :] if idea for mark in idea.removes}


def _can_say_less(idea: Idea) -> bool:
    """Whether an idea can be told with fewer conclusions."""
    return bool(idea.story) or (idea.technique == rule_alone.NAME and not idea.places)


def _saying(board: Position, idea: Idea, removes: tuple[Mark, ...]) -> Idea:
    """An idea with fewer removals; the sentence of a rule by itself names no others."""
    if idea.technique == rule_alone.NAME:
        placed = [
            (cell, other)
            for cell, digit in idea.places
            for other in members(board.masks[cell] & ~(1 << digit))
        ]
        reading = reader_of(board.layout).striking(board, idea.switches[0], (*removes, *placed))
        if reading:
            return rule_alone.rule_idea(board, reading)
    return replace(idea, removes=removes)


def _covers(idea: Idea, wanted: Idea) -> bool:
    return set(wanted.places) <= set(idea.places) and set(wanted.removes) <= set(idea.removes)


def _rests_on(idea: Idea, marks: set[Mark]) -> bool:
    """Whether premises of an idea are about these candidates."""
    return any(
        cell in idea.cells
        or any(digit == spot and zone.bits >> cell & 1 for spot, zone in idea.spots)
        for cell, digit in marks
    )


def _still_there(board: Position, idea: Idea, extra: set[Mark]) -> set[Mark]:
    """Those of some candidates that an idea leaves on a board that has them besides its own."""
    layout = board.layout

    def is_left(mark: Mark) -> bool:
        unknown, value = mark
        if mark in idea.removes or (layout.is_cell(unknown) and board.is_placed(unknown)):
            return False
        return not any(
            unknown == placed
            or (
                digit == value
                and layout.is_cell(placed)
                and layout.is_cell(unknown)
                and layout.sees[placed] >> unknown & 1
            )
            for placed, digit in idea.places
        )

    return {mark for mark in extra if is_left(mark)}


def _with(board: Position, marks: set[Mark]) -> Position:
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
