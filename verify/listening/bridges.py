"""Steps that were left out: a short run of named steps after which a claim follows as it was said.

All open steps are taken, round by round. Only those on which the claim rests are kept: for each
candidate that was removed, the step that struck it is known.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence

from gridassay.verify.auditing.claims import move_on
from gridassay.verify.solving.board.ideas import Idea
from gridassay.verify.solving.board.position import Mark, Position, members
from gridassay.verify.solving.techniques import Technique, last_cell

MOST_STEPS = 6
"""The most steps that may have been left out before one claim."""

_MOST_TRIED = 200

Find = Callable[[Technique, Position], Iterable[Idea]]
"""The ideas of a technique on a board."""


def bridge(
    position: Position,
    techniques: Sequence[Technique],
    kept_out: Iterable[Mark],
    find: Find,
    follows: Callable[[Position], Sequence[Idea]],
    holds: Callable[[Position, Idea], bool],
    rounds: int = MOST_STEPS,
) -> tuple[list[Idea], list[Idea]] | None:
    """The steps left out, in order, and the ideas that then give the claim; None if there are none.

    ``kept_out`` are the claim's own conclusions, which no such step may have; ``find`` gives the ideas
    of a technique on a board, ``follows`` gives the
    ideas by which the claim follows on a board, ``holds`` whether an idea is proved there.
    """
    own = set(kept_out)
    later = position.copy()
    applied: list[Idea] = []
    needs: list[set[int]] = []
    struck_by: dict[Mark, int] = {}
    for _ in range(rounds):
        fresh = []
        for technique in techniques:
            for idea in find(technique, later):
                if own.isdisjoint(idea.marks) and _does(later, idea) and holds(later, idea):
                    fresh.append(idea)
                    if len(fresh) + len(applied) > _MOST_TRIED:
                        break
        if not fresh:
            return None
        rests = [_rests_on(later, idea, struck_by) for idea in fresh]
        for idea, needed in zip(fresh, rests, strict=True):
            if not _does(later, idea):
                continue
            number = len(applied)
            applied.append(idea)
            needs.append(needed)
            before = later.masks[:]
            move_on(later, idea)
            for cell, mask in enumerate(before):
                for digit in members(mask & ~later.masks[cell]):
                    struck_by.setdefault((cell, digit), number)
        used = follows(later)
        if used:
            wanted = set().union(*(_rests_on(later, idea, struck_by) for idea in used))
            for number in range(len(applied) - 1, -1, -1):
                if number in wanted:
                    wanted |= needs[number]
            steps = [applied[number] for number in sorted(wanted)]
            if len(steps) > 2 * MOST_STEPS:
                return None
            steps, used = _prune(position, techniques, steps, list(used), find, follows)
            return (steps, used) if len(steps) <= MOST_STEPS else None
    return None


def _prune(
    position: Position,
    techniques: Sequence[Technique],
    steps: list[Idea],
    used: list[Idea],
    find: Find,
    follows: Callable[[Position], Sequence[Idea]],
) -> tuple[list[Idea], list[Idea]]:
    """Leave out each step that neither the others nor the claim need."""
    for one in reversed(steps):
        fewer = [idea for idea in steps if idea is not one]
        later = position.copy()
        for idea in fewer:
            finds = (
                other
                for each in techniques
                if idea.technique in each.names
                for other in find(each, later)
            )
            if not any(set(idea.marks) <= set(other.marks) for other in finds):
                break
            move_on(later, idea)
        else:
            still = follows(later)
            if still:
                steps, used = fewer, list(still)
    return steps, used


def _does(position: Position, idea: Idea) -> bool:
    return any(not position.is_placed(cell) for cell, _ in idea.places) or any(
        map(position.has, idea.removes)
    )


def _rests_on(position: Position, idea: Idea, struck_by: dict[Mark, int]) -> set[int]:
    """The steps that struck the candidates that an idea needs struck, in its cells and zones.

    The last cell of a house needs all its other cells filled.
    """
    cells = {*idea.cells, *idea.shown}
    if idea.technique == last_cell.NAME:
        names = {position.layout.premise_of(switch).name for switch in idea.all_switches}
        cells |= {cell for name in names for cell in position.layout.scope(name)}
    spots = {(cell, digit) for digit, zone in idea.spots for cell in zone.cells}
    return {number for mark, number in struck_by.items() if mark[0] in cells or mark in spots}
