"""The tidy route: none of its eliminations can be left out.

Going backwards, a step on which nothing later rests is left out, and so are the unused conclusions
of a story or a rule, so that it needs no more premises than it must. A pattern keeps all its
conclusions: its sentence names them, and a person who sees it strikes them all. So does a rule
with all that the premises which are left show (``widening.py``). A later step that rested on one that
was left out has to hold on the board without it: it is told there again (``retelling.py``), with the
same conclusions, and proved again. What a rule strikes twice is told once, where the later strike stands,
if nothing before it rests on the earlier one.
"""

from __future__ import annotations

from collections.abc import Container, Sequence
from itertools import islice

from gridassay.verify.solving.board.ideas import Idea
from gridassay.verify.solving.board.position import Mark, Position
from gridassay.verify.solving.stories.again import told_again
from gridassay.verify.solving.stories.retelling import (
    Proves,
    Retelling,
    can_say_less,
    may_be_one,
    saying,
    with_candidates,
)
from gridassay.verify.solving.stories.widening import Widening
from gridassay.verify.solving.techniques import SINGLES

_TRIED = 3
"""With how many later steps of the same kind it is tried to tell one together."""


def tidy(
    first: Position, ideas: Sequence[Idea], proves: Proves, without: Container[str] = ()
) -> list[Idea]:
    """The ideas of a route that solves its puzzle, without those on which nothing rests.

    Techniques in ``without`` are not used.
    """
    if not any(idea.removes or idea.technique not in SINGLES for idea in ideas):
        return list(ideas)  # each of them places a digit that the solution needs
    retelling, widening = Retelling(proves, without), Widening(proves, without)
    kept = _Tidying(first, ideas, retelling).run()
    while True:
        kept = widening.widen(first, kept)
        # Where more is struck, fewer steps may be enough.
        fewer = _Tidying(first, _Tidying(first, kept, retelling).fewer(), retelling).join()
        if len(fewer) == len(kept):
            return kept
        kept = fewer


class _Tidying:
    """The ideas that are kept, each with the board before it."""

    def __init__(self, first: Position, ideas: Sequence[Idea], retelling: Retelling) -> None:
        self._retelling = retelling
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
                several = idea.removes if len(idea.removes) > 1 and can_say_less(idea) else ()
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

    def join(self) -> list[Idea]:
        """Leave out steps whose strikes a later step of the same rule can make as well."""
        for place in range(len(self._ideas) - 1, -1, -1):
            idea = self._ideas[place]
            if idea and not idea.places and self._goes_into_another(place, idea):
                self._ideas[place] = None
        return [idea for idea in self._ideas if idea is not None]

    def _goes_into_another(self, place: int, idea: Idea) -> bool:
        alike = (
            later
            for later, other in enumerate(self._ideas[place + 1 :], place + 1)
            if other and may_be_one(idea, other)
        )
        return any(self._without(place, idea.removes, later) for later in islice(alike, _TRIED))

    def _narrow(self, place: int, idea: Idea, kept: tuple[Mark, ...]) -> Idea | None:
        """An idea with fewer conclusions; None if it has none left."""
        if not kept and not idea.places:
            return None
        board = self._boards[place]
        if idea.story:
            # A story concludes the opposite of its supposition, so it has to suppose less.
            return told_again(board.copy(), idea, kept) or idea
        return saying(board.copy(), idea, kept)

    def _without(self, place: int, marks: Sequence[Mark], into: int = 0) -> bool:
        """Leave out some conclusions of a step, if all later steps hold; the boards are updated.

        With ``into``, that later step concludes them too.
        """
        left_out, extra = self._ideas[place], set(marks)
        assert left_out is not None
        changed: dict[int, Idea] = {}
        wider: dict[int, set[Mark]] = {}
        for later in range(place + 1, len(self._ideas)):
            if not extra:
                break
            idea = self._ideas[later]
            wider[later] = extra
            if idea is None:
                continue
            if later == into or _rests_on(idea, extra):
                before = self._boards[later]
                if later == into:
                    told = self._retelling.both(before, extra, left_out, idea)
                else:
                    taken = self._struck_after(later)
                    told = self._retelling.again(before, extra, idea, left_out, taken)
                if told is None:
                    return False
                changed[later] = idea = told
            extra = _still_there(self._boards[later], idea, extra)
        if extra:  # a letter or doubler would be left open
            return False
        for later, more in wider.items():
            self._boards[later] = with_candidates(self._boards[later], more)
        for later, idea in changed.items():
            self._ideas[later] = idea
        return True

    def _struck_after(self, place: int) -> set[Mark]:
        """The candidates that the steps after one strike."""
        return {mark for idea in self._ideas[place + 1 :] if idea for mark in idea.removes}


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
