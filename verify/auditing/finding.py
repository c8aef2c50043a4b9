"""Ideas of techniques on the boards last looked at: each board is searched once by each technique."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Iterator

from gridassay.verify.solving.board.ideas import Idea
from gridassay.verify.solving.board.position import ALL, Position
from gridassay.verify.solving.techniques import Technique, rule_with_houses

_MOST_BOARDS = 32

_Board = tuple[int, tuple[int, ...]]


class Searches:
    """Finds ideas lazily, and keeps those found for the same board."""

    def __init__(self) -> None:
        self._boards: OrderedDict[
            _Board, tuple[Position, dict[tuple[Technique, int], _FollowedSearch]]
        ] = OrderedDict()

    def find(self, technique: Technique, position: Position, near: int = ALL) -> Iterator[Idea]:
        """The ideas of a technique on a board, in the order in which it finds them.

        Those of rules with their houses may be left out if they strike nothing in the cells of ``near``.
        """
        board = (position.placed, tuple(position.masks))
        if board in self._boards:
            self._boards.move_to_end(board)
        else:
            # A copy: the search goes on when the position may have moved on.
            self._boards[board] = position.copy(), {}
            if len(self._boards) > _MOST_BOARDS:
                self._boards.popitem(last=False)
        kept, searches = self._boards[board]
        if technique.find is not rule_with_houses.find or (technique, ALL) in searches:
            near = ALL
        search = (technique, near)
        if search not in searches:
            found = technique.find(kept) if near == ALL else rule_with_houses.find(kept, near)
            searches[search] = _FollowedSearch(iter(found))
        return searches[search].ideas()


class _FollowedSearch:
    """One search of one board, as far as it was followed."""

    def __init__(self, search: Iterator[Idea]) -> None:
        self._search = search
        self._found: list[Idea] = []

    def ideas(self) -> Iterator[Idea]:
        place = 0
        while True:
            if place == len(self._found):
                idea = next(self._search, None)
                if idea is None:
                    return
                self._found.append(idea)
            yield self._found[place]
            place += 1
