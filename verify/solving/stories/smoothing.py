"""The links of a story as a person follows them: causes first, one strike of a rule at a time."""

from __future__ import annotations

from gridassay.encodings.constraints import Doubler
from gridassay.verify.solving.board.ideas import Idea
from gridassay.verify.solving.board.position import Mark, Position, bits_of
from gridassay.verify.solving.rule_meaning.strikes import reader_of
from gridassay.verify.solving.stories.links import StoryLink
from gridassay.verify.solving.techniques import naked_single, rule_alone


def rule_bound(board: Position, idea: Idea, unknown: int) -> int:
    """The candidates of an unknown that a link strikes, with the end of the others where the rule has it.

    So a bound is what the rule says, no tighter for what is gone already and no looser for what a
    story has no use for.
    """
    mask, full = board.masks[unknown], board.layout.full[unknown].bit_length()
    struck = [value for one, value in idea.removes if one == unknown]
    left = mask & ~bits_of(struck)
    low, high = min(struck), max(struck)
    if idea.technique != rule_alone.NAME or not left:
        return mask
    if left.bit_length() <= low:
        near, beyond, lost = range(low - 1, -1, -1), -1 << low, range(high + 1, full)
    elif not left & (1 << high) - 1:
        near, beyond, lost = range(high + 1, full), (1 << high + 1) - 1, range(low)
    else:
        return mask

    def strikes(value: int) -> bool:
        wider = board.copy()
        wider.masks[unknown] |= 1 << value
        return bool(reader_of(board.layout).striking(wider, idea.switches[0], [(unknown, value)]))

    for value in near:
        if not strikes(value):
            mask = mask & beyond | 1 << value
            break
    # A smaller digit counts as more if its cell is a doubler.
    if any(isinstance(one, Doubler) for one in board.layout.unknowns):
        for value in lost:
            if not mask >> value & 1 and not strikes(value):
                return mask | 1 << value
    return mask


def already_left(board: Position, link: StoryLink) -> list[Mark]:
    """The cells that a rule was to fill and that by now have one candidate left."""
    if link.technique != rule_alone.NAME:
        return []
    return [
        (unknown, value)
        for unknown, value in link.places
        if board.masks[unknown] == 1 << value and not board.is_placed(unknown)
    ]


def singles_first(board: Position, idea: Idea, later: list[StoryLink]) -> list[StoryLink]:
    """Links that place what a link rests on, taken from those that would be told after it."""
    first = [
        link
        for link in later
        if link.technique == naked_single.NAME
        and link.places[0][0] in idea.cells
        and link.places[0][0] not in idea.touched
        and board.masks[link.places[0][0]] == 1 << link.places[0][1]
        and not board.is_placed(link.places[0][0])
    ]
    later[:] = [link for link in later if link not in first]
    return first


def both(link: StoryLink, following: StoryLink) -> StoryLink | None:
    """Two strikes of one rule, one after the other, as one."""
    if link.technique != rule_alone.NAME or link.technique != following.technique:
        return None
    if link.switch != following.switch:
        return None
    places = dict.fromkeys([*link.places, *following.places])
    removes = dict.fromkeys([*link.removes, *following.removes])
    placed = {unknown for unknown, _ in places}
    left = tuple(mark for mark in removes if mark[0] not in placed)
    return StoryLink(link.technique, tuple(places), left, switch=link.switch)
