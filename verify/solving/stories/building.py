"""Makes a story of the consequences on a supposed board: links are proved steps of techniques.

The links are remade on a board on which only the story happens. If a link needs more premises than
a listener can remember, or does not hold without what was left out, there is no story.
"""

from __future__ import annotations

from collections.abc import Callable, Container, Iterable, Iterator, Sequence
from dataclasses import replace
from functools import partial
from typing import NamedTuple

from gridassay.verify.engines.questions import Switch
from gridassay.verify.solving.board.ideas import (
    Branch,
    Ending,
    Finder,
    Idea,
    Narrowed,
    Spot,
    Story,
)
from gridassay.verify.solving.board.position import ALL, Mark, Position, members
from gridassay.verify.solving.board.steps import STORY
from gridassay.verify.solving.board.supposed import ruled_out
from gridassay.verify.solving.rule_meaning.strikes import reader_of
from gridassay.verify.solving.stories.links import End, Outcome, StoryLink
from gridassay.verify.solving.stories.smoothing import (
    already_left,
    both,
    rule_bound,
    singles_first,
)
from gridassay.verify.solving.stories.words import story_said
from gridassay.verify.solving.techniques import (
    connection,
    corner_of_two,
    group_sizes,
    hidden_sets,
    hidden_single,
    house_totals,
    joining,
    locked,
    naked_sets,
    naked_single,
    one_loop,
    rule_alone,
    rule_with_houses,
    same_region,
    sure_digit,
    two_groups,
)

MOST_PREMISES = 6
"""The largest number of premises about candidates of one link, not counting decided cells."""


class Touched(NamedTuple):
    """The places to look for something new: the unknowns that changed, and the rules with tables."""

    unknowns: int = ALL
    known: Container[Switch] = ()


class Untold(NamedTuple):
    """An outcome of which no story can be told, for one of its links if it is not for its end."""

    outcome: Outcome
    link: StoryLink | None = None


FinderNear = Callable[[Position, Touched], Iterable[Idea]]


def _anywhere(find: Finder) -> FinderNear:
    return lambda position, _: find(position)


QUICK: dict[str, FinderNear] = {
    locked.NAME: lambda position, near: locked.find(position, near.unknowns),
    naked_sets.NAMES[2]: lambda position, near: naked_sets.pairs(position, near.unknowns),
    hidden_sets.NAMES[2]: lambda position, near: hidden_sets.pairs(position, near.unknowns),
    sure_digit.NAME: lambda position, near: sure_digit.find(position, near.unknowns),
    corner_of_two.NAME: _anywhere(corner_of_two.find),
    two_groups.CROSSED: _anywhere(two_groups.find),
    same_region.NAME: _anywhere(same_region.find),
    group_sizes.FULL: _anywhere(group_sizes.find),
    connection.DEAD_END: _anywhere(
        lambda position: [*connection.find(position), *joining.find(position)]
    ),
    one_loop.NAME: _anywhere(one_loop.find),
    rule_alone.NAME: lambda position, near: rule_alone.find(position, near.unknowns, near.known),
}
"""Short techniques beside singles and tables of single rules."""

_OTHER_NAMES = {
    connection.CUT_OFF: connection.DEAD_END,
    connection.MEETING_PLACE: connection.DEAD_END,
    group_sizes.ROOM: group_sizes.FULL,
    same_region.DIGIT: same_region.NAME,
    two_groups.EDGE: two_groups.CROSSED,
}
"""Techniques that are found together with another."""

SLOW: dict[str, FinderNear] = {
    **QUICK,
    house_totals.NAME: _anywhere(house_totals.find),
    rule_with_houses.NAME: lambda position, near: rule_with_houses.find(position, near.unknowns),
}
"""The same, with techniques that take long to look for."""


def ideas_of(finders: dict[str, FinderNear], position: Position, near: Touched) -> Iterator[Idea]:
    """The steps of some short techniques that few enough premises give."""
    for find in finders.values():
        for idea in find(position, near):
            if weight(position, idea) <= MOST_PREMISES:
                yield idea


def again(technique: str, position: Position, marks: Sequence[Mark]) -> Iterable[Idea]:
    """The steps of a short technique among which are those that conclude all this."""
    own = technique in (rule_alone.NAME, rule_with_houses.NAME)
    near = Touched(1 << marks[0][0]) if own else Touched()
    return SLOW[_OTHER_NAMES.get(technique, technique)](position, near)


def weight(position: Position, idea: Idea) -> int:
    """The number of premises about candidates that a listener has to remember, without decided cells."""
    return len(idea.spots) + sum(not position.is_placed(cell) for cell in idea.cells)


class BranchTelling:
    """The board of one branch, and the strike of each candidate that is gone."""

    def __init__(self, position: Position) -> None:
        self.start = position
        self.board = position.copy()
        self.cells: set[int] = set()
        self.spots: dict[Spot, None] = {}
        self.switches: dict[Switch, None] = {}
        self.links: list[Idea] = []
        self._reasons: list[Callable[[], tuple[Narrowed, ...]]] = []
        self._cleared: dict[Mark, tuple[int, ...]] = {}
        self._before = tuple(position.masks)
        self._row: tuple[int, ...] | None = None

    def suppose(self, marks: Sequence[Mark]) -> None:
        """Take one of these candidates to be true."""
        if len(marks) == 1:
            self.place(marks[0])
            return
        supposed = dict.fromkeys(unknown for unknown, _ in marks)
        if len(supposed) == 1:
            self.cells.update(supposed)
        for mark in ruled_out(self.board, marks):
            self.board.remove(*mark)
            self._cleared[mark] = tuple(supposed)

    def place(self, mark: Mark) -> None:
        """Place a value, and note the candidates that this clears."""
        unknown, value = mark
        before = self.board.where[:]
        self.board.place(unknown, value)
        if self.board.layout.is_cell(unknown):
            for peer in members(before[value] & ~self.board.where[value]):
                self._cleared[peer, value] = (unknown,)

    def rests(
        self, cells: Iterable[int], spots: Iterable[Spot], switches: Iterable[Switch]
    ) -> None:
        """Note premises, and what cleared the candidates that they lack."""
        board = self.board
        for unknown in cells:
            self.cells.add(unknown)
            gone = self.start.masks[unknown] & ~board.masks[unknown]
            self._by_sight((unknown, value) for value in members(gone))
        for digit, zone in spots:
            self.spots[digit, zone] = None
            gone = self.start.where[digit] & ~board.where[digit] & zone.bits
            self._by_sight((cell, digit) for cell in members(gone))
        self.switches.update(dict.fromkeys(switches))

    def follow(self, links: Sequence[StoryLink], *, smooth: bool = False) -> StoryLink | None:
        """Tell some links, one after the other; the one that cannot be told, or None.

        If ``smooth``, a cell is placed before a rule strikes because of it, and what one rule strikes
        at once is one link.
        """
        left = [*links]
        while left:
            link = left.pop(0)
            if not _news(self.board, link):
                continue
            singles = already_left(self.board, link) if smooth else []
            if singles:
                rest = tuple(mark for mark in link.places if mark not in singles)
                left[:0] = [StoryLink(naked_single.NAME, (mark,)) for mark in singles]
                left.insert(len(singles), replace(link, places=rest))
                continue
            idea = _tell(self.board, link)
            if idea is None or weight(self.board, idea) > MOST_PREMISES:
                return link
            first = singles_first(self.board, idea, left) if smooth else []
            if first:
                left[:0] = [*first, link]
                continue
            joined = both(link, left[0]) if smooth and left else None
            if joined and (told := _tell(self.board, joined)):
                idea = told
                left.pop(0)
            self.tell(idea)
        return None

    def tell(self, idea: Idea, *, cleared: bool = False) -> None:
        """Take a step as the next link; one that only says what was ``cleared`` has no reasons."""
        self._reasons.append(tuple if cleared else self._why(idea))
        self.rests(idea.cells, idea.spots, idea.all_switches)
        self.links.append(idea)
        for mark in idea.places:
            self.place(mark)
        for unknown, value in idea.removes:
            self.board.remove(unknown, value)

    def _why(self, idea: Idea) -> Callable[[], tuple[Narrowed, ...]]:
        """The open unknowns on which a link rests and that have lost candidates, and those it strikes.

        They are looked for when the story is put into words, on the board as it now is. Of a naked
        single it is its cell, with what it had before the first of several in a row.
        """
        if idea.technique != naked_single.NAME:
            self._row = None
            return partial(_reasons, self._before, self.board.copy(), idea)
        self._row = self._row or tuple(self.board.masks)
        ((unknown, value),) = idea.places
        narrowed = (unknown, self._row[unknown], 1 << value)
        return lambda: (narrowed,)

    def branch(self, supposed: tuple[Mark, ...], end: Ending | None = None) -> Branch:
        """The branch that was told."""
        return Branch(supposed, tuple(self.links), end, tuple(self._reasons))

    def cleared_by(self, marks: Sequence[Mark]) -> int | None:
        """The one cell whose placement cleared all these candidates of others; None if none did."""
        by = {self._cleared.get(mark) for mark in marks}
        if len(by) != 1:
            return None
        (cells,) = by
        return cells[0] if cells and len(cells) == 1 else None

    def _by_sight(self, gone: Iterable[Mark]) -> None:
        for mark in gone:
            for placed in self._cleared.get(mark, ()):
                if placed != mark[0]:
                    self.switches[board_link(self.board, placed, mark[0])] = None


def _reasons(before: Sequence[int], board: Position, idea: Idea) -> tuple[Narrowed, ...]:
    """The unknowns that make a link and those it strikes, with candidates before the story and now."""
    now = board.masks
    causes = [
        unknown
        for unknown in idea.cells
        if before[unknown] != now[unknown]
        and not board.is_placed(unknown)
        and unknown not in idea.touched
    ]
    struck = dict.fromkeys(unknown for unknown, _ in idea.removes)
    return (
        *((one, before[one], now[one]) for one in causes),
        *((one, before[one], rule_bound(board, idea, one)) for one in struck),
    )


def board_link(position: Position, one: int, other: int) -> Switch:
    """The premise by which one cell sees another."""
    return position.layout.link(one, other)


def story_of(position: Position, outcome: Outcome, *, smooth: bool = False) -> Idea | Untold:
    """The story of a supposition that ends in nothing left, or what of it cannot be told."""
    telling = BranchTelling(position)
    telling.suppose(outcome.supposed)
    untold = telling.follow(outcome.links, smooth=smooth)
    if untold:
        return Untold(outcome, untold)
    ending = _ending(telling, outcome.end)
    if ending is None:
        return Untold(outcome)
    branch = telling.branch(outcome.supposed, ending)
    return story_idea(position, Story("suppose", (branch,)), outcome.supposed, [telling])


def story_idea(
    position: Position, story: Story, removes: tuple[Mark, ...], tellings: Sequence[BranchTelling]
) -> Idea:
    """A story that strikes some candidates as a step, with the premises of all its branches."""
    cells = tuple(sorted({cell for one in tellings for cell in one.cells}))
    return Idea(
        STORY,
        removes=removes,
        cells=cells,
        spots=tuple(dict.fromkeys(spot for one in tellings for spot in one.spots)),
        switches=tuple(dict.fromkeys(switch for one in tellings for switch in one.switches)),
        shown=cells,
        story=story,
        say=partial(story_said, position.layout, story, removes),
    )


def told_for(position: Position, idea: Idea, supposed: tuple[Mark, ...]) -> Idea | None:
    """A story by the same links of other suppositions; None if they do not lead to its end."""
    found = story_of(position, replace(_outcome(idea), supposed=supposed))
    return None if isinstance(found, Untold) else found


def told_smoothly(position: Position, idea: Idea) -> Idea:
    """The same story, with its links in the order in which a person follows them."""
    found = story_of(position, _outcome(idea), smooth=True)
    return (told_for(position, idea, idea.removes) or idea) if isinstance(found, Untold) else found


def _outcome(idea: Idea) -> Outcome:
    """The links of a story as they were found."""
    assert idea.story is not None
    (branch,) = idea.story.branches
    end = branch.end
    assert end is not None
    return Outcome(
        branch.supposed, links_of(branch), End(end.unknown, end.digit, end.zone, end.switch)
    )


def links_of(branch: Branch) -> tuple[StoryLink, ...]:
    """The links of a branch as they were found."""
    return tuple(
        StoryLink(
            link.technique,
            link.places,
            link.removes,
            link.spots[0][1] if link.spots else None,
            link.switches[0] if link.switches else None,
        )
        for link in branch.links
    )


def _news(board: Position, link: StoryLink) -> bool:
    return any(not board.is_placed(unknown) for unknown, _ in link.places) or any(
        board.has(mark) for mark in link.removes
    )


def _tell(board: Position, link: StoryLink) -> Idea | None:
    """A link as a step of its technique, in words that fit the board at that moment."""
    at = board.copy()
    if link.technique == naked_single.NAME:
        ((cell, value),) = link.places
        found = naked_single.find(at)
        return next((idea for idea in found if idea.places == ((cell, value),)), None)
    if link.technique == hidden_single.NAME and link.zone:
        return hidden_single.at(at, link.zone, link.places[0][1])
    if link.technique == rule_alone.NAME and link.switch is not None:
        wanted = [mark for mark in link.removes if at.has(mark)]
        for unknown, value in link.places:
            others = members(at.masks[unknown] & ~(1 << value))
            wanted += [(unknown, other) for other in others]
        reading = reader_of(at.layout).striking(at, link.switch, wanted)
        return rule_alone.rule_idea(at, reading) if reading else None
    for idea in again(link.technique, at, (*link.places, *link.removes)):
        strikes = tuple(mark for mark in link.removes if at.has(mark))
        if set(strikes) <= set(idea.removes) and set(link.places) <= set(idea.places):
            return replace(idea, removes=strikes) if strikes else idea
    return None


def _ending(telling: BranchTelling, end: End) -> Ending | None:
    """The end as it is told, its premises noted; None if it does not end in this way on this board."""
    board, layout = telling.board, telling.board.layout
    if end.unknown is not None:
        telling.rests([end.unknown], [], [])
        return None if board.masks[end.unknown] else Ending(unknown=end.unknown)
    if end.digit is not None and end.zone is not None:
        telling.rests([], [(end.digit, end.zone)], [])
        has_place = board.where[end.digit] & end.zone.bits
        return None if has_place else Ending(digit=end.digit, zone=end.zone)
    assert end.switch is not None
    needed = reader_of(layout).unfillable(board, end.switch)
    if needed is None:
        return None
    telling.rests(needed, [], [end.switch])
    before = telling.start.masks
    left = tuple((unknown, before[unknown], board.masks[unknown]) for unknown in needed)
    return Ending(switch=end.switch, left=left)
