"""A story by fewer links: those of all known links that can be left out, one after another.

Each link tells what it strikes once certain candidates are gone; whether some links still lead to
the end is then seen by going through them once, with bit sets of candidates. The links that are
left in the end depend on the order in which they are tried (deletion, as in J. Marques-Silva,
"Minimal unsatisfiability: models, algorithms and applications", ISMVL 2010), so several orders are
tried.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from typing import NamedTuple

from gridassay.verify.solving.board.position import Mark, Position, members
from gridassay.verify.solving.board.supposed import ruled_out
from gridassay.verify.solving.stories.links import COMPLETING, End, Outcome, StoryLink


class _Bits(NamedTuple):
    """A link by its number: the candidates that have to be gone for it, and those that it removes."""

    number: int
    needs: int
    strikes: int


class Known(NamedTuple):
    """Links by number, the first of them the supposition; what each rests on; what went at once."""

    links: Sequence[StoryLink]
    rests: Sequence[int]
    gone: Iterable[Mark]


def by_fewer(position: Position, outcome: Outcome, known: Known, story: int) -> Outcome:
    """The same end by fewer links, if a ``story`` (links as a bit set) can be told without one of them.

    A link is left out, and then, of all known links, whatever the others do not need.
    """
    best = outcome
    for numbers in _shorter(position, known, outcome.end, story):
        links = [known.links[number] for number in numbers]
        found = outcome_of(position, outcome.supposed, links, outcome.end)
        if len(found.links) < len(best.links):
            best = found
    return best


def _shorter(position: Position, known: Known, end: End, story: int) -> Iterator[list[int]]:
    """For each link of a story: the links (numbers) that lead to the end without it, all needed."""
    width = position.layout.width

    def bits(marks: Iterable[Mark]) -> int:
        found = 0
        for unknown, value in marks:
            if position.masks[unknown] >> value & 1:
                found |= 1 << unknown * width + value
        return found

    gone = bits(known.gone)
    wanted = bits(end.uses)
    links = [
        _Bits(number, bits(link.uses), bits(_strikes(position, link)))
        for number, link in enumerate(known.links)
        if number
    ]

    def leads(some: Sequence[_Bits]) -> bool:
        have = gone
        for link in some:
            if not link.needs & ~have:
                have |= link.strikes
        return not wanted & ~have

    by_length = sorted(links, key=lambda link: (known.rests[link.number].bit_count(), link.number))
    told = [link for link in links if story >> link.number & 1]
    for first in (None, *reversed(told)):
        kept = [link for link in links if link is not first]
        if first and not leads(kept):
            continue
        for link in reversed(by_length):
            fewer = [other for other in kept if other is not link]
            if len(fewer) < len(kept) and leads(fewer):
                kept = fewer
        yield [link.number for link in kept]


def _strikes(position: Position, link: StoryLink) -> Iterator[Mark]:
    """The candidates that a link strikes from a board, whatever else is gone there."""
    layout = position.layout
    yield from link.removes
    for unknown, value in link.places:
        for other in members(position.masks[unknown] & ~(1 << value)):
            yield unknown, other
        if layout.is_cell(unknown):
            for peer in members(layout.sees[unknown]):
                yield peer, value


def outcome_of(
    position: Position, supposed: Sequence[Mark], links: Sequence[StoryLink], end: End
) -> Outcome:
    """How a supposition ends, by those of some links that are needed.

    A strike of a rule may also come from a placement that the story needs anyway.
    """
    while True:
        kept = _needed_links(position, supposed, links, end)
        if len(kept) == len(links):
            return Outcome(tuple(supposed), tuple(kept), end)
        links = kept


def _needed_links(
    position: Position, supposed: Sequence[Mark], links: Sequence[StoryLink], end: End
) -> list[StoryLink]:
    """The links of a story, each with only the conclusions that are used."""
    board = position.copy()
    by: dict[Mark, int] = {}
    completed: dict[int, set[int]] = {}
    for number, link in enumerate((_first(position, supposed), *links)):
        before = board.masks[:]
        board.conclude(link.places, link.removes)
        completed[number] = _complete(board, before, link)
        for unknown, (old, new) in enumerate(zip(before, board.masks, strict=True)):
            if old != new:
                for value in members(old & ~new):
                    by[unknown, value] = number
    # What is wanted of each link.
    wanted: list[set[Mark]] = [set() for _ in range(len(links) + 1)]

    def want(marks: Iterable[Mark]) -> None:
        for mark in marks:
            if mark in by:
                wanted[by[mark]].add(mark)

    want(end.uses)
    kept: list[StoryLink] = []
    for number in range(len(links), 0, -1):
        link, mine = links[number - 1], wanted[number]
        if not mine:
            continue
        whole = completed[number] if mine.difference(link.removes) else set()
        removes = tuple(mark for mark in link.removes if mark in mine or mark[0] in whole)
        kept.append(link if removes == link.removes else replace(link, removes=removes))
        want(link.uses)
        for unknown in whole:
            want(mark for mark, one in by.items() if mark[0] == unknown and one < number)
    return kept[::-1]


def _first(position: Position, supposed: Sequence[Mark]) -> StoryLink:
    """The supposition, as a link."""
    if len(supposed) == 1:
        return StoryLink("", places=tuple(supposed))
    return StoryLink("", removes=ruled_out(position, supposed))


def _complete(board: Position, before: Sequence[int], link: StoryLink) -> set[int]:
    """Place what a rule leaves with one value, where it struck anything there."""
    done: set[int] = set()
    struck = link.removes if link.technique in COMPLETING else ()
    for unknown in dict.fromkeys(one for one, value in struck if before[one] >> value & 1):
        mask = board.masks[unknown]
        if mask.bit_count() == 1 and not board.is_placed(unknown):
            board.place(unknown, mask.bit_length() - 1)
            done.add(unknown)
    return done
