"""Either stories: of two or three candidates one is true, and each leads to the same by a few links.

They are looked for where every supposition that fails needs more links than both branches together.
"""

from __future__ import annotations

from collections.abc import Container, Iterator, Sequence
from dataclasses import dataclass
from functools import partial
from typing import NamedTuple

from gridassay.verify.budget import Clock
from gridassay.verify.solving.board.ideas import Ending, Idea, Story, cell_names, removal
from gridassay.verify.solving.board.position import Mark, Position, members
from gridassay.verify.solving.stories.building import BranchTelling, story_idea
from gridassay.verify.solving.stories.links import Distance, End, Ground, StoryLink
from gridassay.verify.solving.stories.shortening import outcome_of
from gridassay.verify.solving.stories.supposing import Supposition
from gridassay.verify.solving.techniques import rule_alone

MOST_EITHER = 6
"""The most links of all branches together."""

_LEVELS = 3
"""The most links of a branch before a placement clears what is concluded."""

_MOST_CASES = 3
"""The most candidates that are gone through."""

_BUILT = 6
"""How many of the shortest are made into stories until one can be told."""


class _Way(NamedTuple):
    """How many links strike a candidate, and which (a bit set).

    The last may be one that says what a placement cleared.
    """

    length: int
    links: int


@dataclass(frozen=True)
class _Case:
    """An unknown, or a digit in a zone, with its candidates."""

    about: Ending
    marks: tuple[Mark, ...]


class _Branches:
    """The strikes to which candidates lead, each candidate followed once."""

    def __init__(self, ground: Ground, clock: Clock) -> None:
        self._ground = ground
        self._clock = clock
        self._known: dict[Mark, tuple[Supposition, dict[Mark, _Way]]] = {}

    def reached(self, mark: Mark) -> dict[Mark, _Way]:
        """The candidates that one strikes; none if it fails."""
        if mark not in self._known:
            self._clock.check()
            one = Supposition(self._ground, (mark,), _LEVELS + 1)
            for level in range(_LEVELS):
                if not one.rise(level) or one.best:
                    break
            self._known[mark] = one, {} if one.best else dict(_conclusions(one, mark))
        return self._known[mark][1]

    def links(self, mark: Mark, struck: Sequence[Mark], way: _Way) -> tuple[StoryLink, ...]:
        """The links by which a candidate strikes others."""
        one, _ = self._known[mark]
        links = [one.links[number] for number in members(way.links)]
        end = End(uses=tuple(struck))
        return outcome_of(self._ground.position, (mark,), links, end).links


def _conclusions(one: Supposition, mark: Mark) -> Iterator[tuple[Mark, _Way]]:
    """The candidates that a few links strike."""
    ways = [one.rests[number] | (1 << number if number else 0) for number in range(len(one.links))]
    lengths = [way.bit_count() for way in ways]
    for value, row in enumerate(one.by):
        for unknown, number in row.items():
            link = one.links[number]
            own = unknown == mark[0] or any(unknown == placed for placed, _ in link.places)
            if not own and lengths[number] <= _LEVELS:
                struck = unknown, value
                length = lengths[number] + (struck not in link.removes)
                yield struck, _Way(length, ways[number])


def shortest_either(
    ground: Ground,
    most: int,
    distance: Distance,
    targets: Container[Mark] | None,
    clock: Clock,
) -> Idea | None:
    """The story of the fewest links, at most so many, that concludes one of the targets, if any.

    Raises OutOfTime.
    """
    position, branches = ground.position, _Branches(ground, clock)
    most = min(most, MOST_EITHER)
    found: dict[tuple[int, int, tuple[_Way, ...]], list[Mark]] = {}
    cases = [*_cases(position)]
    for number, case in enumerate(cases):
        first, *others = (branches.reached(mark) for mark in case.marks)
        for struck in first:
            if all(struck in other for other in others) and (targets is None or struck in targets):
                ways = tuple(reached[struck] for reached in (first, *others))
                length = sum(way.length for way in ways)
                if length <= most:
                    found.setdefault((length, number, ways), []).append(struck)

    def worth(key: tuple[int, int, tuple[_Way, ...]]) -> tuple[int, ...]:
        length, number, _ = key
        unknown, _ = found[key][0]
        decides = position.masks[unknown].bit_count() == 2
        return length, not decides, distance(unknown), number

    for key in sorted(found, key=worth)[:_BUILT]:
        _, number, ways = key
        removes = tuple(found[key])
        told = [
            (mark, branches.links(mark, removes, way))
            for mark, way in zip(cases[number].marks, ways, strict=True)
        ]
        idea = either_of(position.copy(), cases[number].about, told, removes)
        if idea and idea.story and idea.story.length <= most:
            return idea
    return None


def _cases(position: Position) -> Iterator[_Case]:
    """Unknowns with few candidates, and digits with few places in a house."""
    for unknown in members(position.open_unknowns):
        mask = position.masks[unknown]
        if 1 < mask.bit_count() <= _MOST_CASES:
            marks = tuple((unknown, value) for value in members(mask))
            yield _Case(Ending(unknown=unknown), marks)
    for zone in position.layout.full_zones:
        for digit, cells in enumerate(position.where):
            places = cells & zone.bits
            if 1 < places.bit_count() <= _MOST_CASES and not places & position.placed:
                marks = tuple((cell, digit) for cell in members(places))
                yield _Case(Ending(digit=digit, zone=zone), marks)


def either_of(
    position: Position,
    about: Ending,
    branches: Sequence[tuple[Mark, Sequence[StoryLink]]],
    removes: tuple[Mark, ...],
) -> Idea | None:
    """The story whose branches all strike some candidates; None if one of them does not."""
    tellings, told = [], []
    for supposed, links in branches:
        telling = BranchTelling(position)
        telling.suppose((supposed,))
        if telling.follow(links) or not _strikes(telling, removes):
            return None
        tellings.append(telling)
        told.append(telling.branch((supposed,)))
    if about.unknown is not None:
        tellings[0].cells.add(about.unknown)
    elif about.digit is not None and about.zone is not None:
        tellings[0].spots[about.digit, about.zone] = None
    return story_idea(position, Story("either", tuple(told), about), removes, tellings)


def _strikes(telling: BranchTelling, removes: tuple[Mark, ...]) -> bool:
    """Whether a branch ends in these strikes; if a placement made them, that is its last link."""
    if telling.links and {*removes} <= {*telling.links[-1].removes}:
        return True
    placed = telling.cleared_by(removes)
    if placed is None or any(telling.board.has(mark) for mark in removes):
        return False
    layout = telling.board.layout
    struck = dict.fromkeys(unknown for unknown, _ in removes)
    telling.tell(
        Idea(
            rule_alone.NAME,
            removes=removes,
            switches=tuple(dict.fromkeys(layout.link(placed, one) for one in struck)),
            shown=(placed,),
            say=partial(_clearing, telling.board.copy(), placed, removes),
        ),
        cleared=True,
    )
    return True


def _clearing(board: Position, placed: int, removes: Sequence[Mark]) -> str:
    """``r5c5 is 2, so 2 can be removed from r5c8``."""
    digit = board.layout.symbol(members(board.masks[placed])[0])
    return f"{cell_names(board.layout, [placed])} is {digit}, {removal(board.layout, removes)}"
