"""A story by fewer links: which of all the links known can be left out, one after the other.

Each link tells what it strikes once certain candidates are gone; whether some links still lead to the
end is then seen by going through them once, with bit sets of candidates. What is left when no link can
be left out depends on the order in which it is tried (deletion, as in J. Marques-Silva, "Minimal
unsatisfiability: models, algorithms and applications", ISMVL 2010), so several orders are tried.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import TYPE_CHECKING, NamedTuple

from gridassay.verify.solving.board.position import Mark, Position, members

if TYPE_CHECKING:
    from gridassay.verify.solving.stories.supposing import End, Link, Supposition


class _Bits(NamedTuple):
    """A link by its number: the candidates that have to be gone for it, and those that then go."""

    number: int
    needs: int
    strikes: int


def shorter(one: Supposition, end: End) -> Iterator[list[int]]:
    """For each link of its story: numbers of links that lead to the end without it, none needless."""
    assert one.best
    position = one.ground.position
    width = position.layout.width

    def bits(marks: Iterable[Mark]) -> int:
        found = 0
        for unknown, value in marks:
            if position.masks[unknown] >> value & 1:
                found |= 1 << unknown * width + value
        return found

    gone = bits(mark for mark, number in one.by.items() if not number)
    wanted = bits(end.uses)
    links = [
        _Bits(number, bits(link.uses), bits(_strikes(position, link)))
        for number, link in enumerate(one.links)
        if number
    ]

    def leads(some: Sequence[_Bits]) -> bool:
        have = gone
        for link in some:
            if not link.needs & ~have:
                have |= link.strikes
        return not wanted & ~have

    by_length = sorted(links, key=lambda link: (one.rests[link.number].bit_count(), link.number))
    told = [link for link in links if one.rests_of(end) >> link.number & 1]
    for first in (None, *reversed(told)):
        kept = [link for link in links if link is not first]
        if first and not leads(kept):
            continue
        for link in reversed(by_length):
            fewer = [other for other in kept if other is not link]
            if len(fewer) < len(kept) and leads(fewer):
                kept = fewer
        yield [link.number for link in kept]


def _strikes(position: Position, link: Link) -> Iterator[Mark]:
    """What a link strikes from a board, whatever else is gone there."""
    layout = position.layout
    yield from link.removes
    for unknown, value in link.places:
        for other in members(position.masks[unknown] & ~(1 << value)):
            yield unknown, other
        if layout.is_cell(unknown):
            for peer in members(layout.sees[unknown]):
                yield peer, value
