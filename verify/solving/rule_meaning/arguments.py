"""An argument against a candidate: what follows from it, one thing after the other, up to a clash."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Literal

from gridassay.verify.solving.board.position import Mark, Zone

MOST_NEEDED = 3
"""The most digits that a cell is said to need, or to have left, and the most cases."""


@dataclass(frozen=True)
class Act:
    """Something that follows: a digit's last place in a ``zone``, a cell's last digit, a strike.

    ``places`` holds the one or the other, ``removes`` the strike of the rule; ``left`` says what
    each unknown that it strikes then has, and what it could have at all (bits).
    """

    places: tuple[Mark, ...] = ()
    zone: Zone | None = None
    removes: tuple[Mark, ...] = ()
    left: tuple[tuple[int, int, int], ...] = ()


Loss = Literal["before", "then", "to another"]
"""When a candidate was lost: before anything was supposed, or after that, perhaps to another cell."""


@dataclass(frozen=True)
class Clash:
    """A clash: cells of a zone with fewer ``digits``, digits with fewer ``cells``, a rule left empty.

    With ``needs``, the rule needs one of these values in the one cell or letter, which only has the
    values ``have``, or is ``known`` from the beginning; or it needs the value there or in one of the
    cells ``also``, all of which have lost it; ``by_have``, if these are told instead, as values that
    are ruled out. ``lost`` says when it lost what is needed. With ``by_digits``, the digits are what
    has too few cells.
    """

    cells: tuple[int, ...] = ()
    digits: tuple[int, ...] = ()
    zone: Zone | None = None
    needs: int = 0
    also: tuple[int, ...] = ()
    have: int = 0
    known: bool = False
    by_have: bool = False
    lost: Loss = "before"
    by_digits: bool = False

    @property
    def weight(self) -> int:
        """The plainer, the lower."""
        if self.needs:
            return int(self.by_have)
        return max(len(self.cells), len(self.digits)) - 1 if self.zone else 3


@dataclass(frozen=True)
class Argument:
    """The consequences of something supposed, up to a clash or to cases that all end in one.

    The cases are those of a cell, or of a ``digit`` in a ``zone``.
    """

    acts: tuple[Act, ...]
    clash: Clash | None = None
    cases: tuple[tuple[Mark, Argument], ...] = ()
    digit: int | None = None
    zone: Zone | None = None

    @property
    def length(self) -> int:
        """The number of things to be said."""
        return len(self.acts) + sum(1 + case.length for _, case in self.cases)

    @property
    def weight(self) -> tuple[int, int]:
        """Its length, then how plain its clash is."""
        plain = self.clash.weight if self.clash else sum(c.weight[1] for _, c in self.cases)
        return self.length, plain


def _is_end(bits: int, full: int) -> bool:
    """Whether some values are all those up to one, or from one on."""
    in_a_row = not bits & (bits + (bits & -bits))
    return in_a_row and bool(bits & (1 | full ^ full >> 1))


def in_short(left: tuple[int, int, int]) -> bool:
    """Whether what is left to an unknown (with all that it could be) is said in a few words."""
    _, mask, full = left
    return mask.bit_count() <= MOST_NEEDED or _is_end(mask, full)


def shorter(told: Argument, *, least: bool) -> Iterator[Argument]:
    """The argument without one of its acts, or without what one strikes from one cell.

    A value is left out of a strike only if it takes many words, or with ``least``.
    """
    for place in reversed(range(len(told.acts))):
        act = told.acts[place]
        before, after = told.acts[:place], told.acts[place + 1 :]
        yield replace(told, acts=(*before, *after))
        changed = dict.fromkeys(unknown for unknown, _ in act.removes)
        for one in changed if len(changed) > 1 else ():
            less = replace(act, removes=tuple(mark for mark in act.removes if mark[0] != one))
            yield replace(told, acts=(*before, less, *after))
        values = dict.fromkeys(value for _, value in act.removes)
        for one in values if least or not all(map(in_short, act.left)) else ():
            if len(values) == 1:
                break
            less = replace(act, removes=tuple(mark for mark in act.removes if mark[1] != one))
            yield replace(told, acts=(*before, less, *after))
    for place, (mark, case) in enumerate(told.cases):
        for less_said in shorter(case, least=least):
            cases = (*told.cases[:place], (mark, less_said), *told.cases[place + 1 :])
            yield replace(told, cases=cases)


class State:
    """Candidates, and the unknowns of which it has been said what they are."""

    def __init__(self, masks: list[int], decided: set[int]) -> None:
        """The ``masks`` hold the candidates of every unknown."""
        self.masks = masks
        self.decided = decided

    def copy(self) -> State:
        """A copy, to suppose more on."""
        return State(self.masks[:], set(self.decided))


def is_short(wanted: int, have: int) -> bool:
    """Whether values that are needed are few, or all above or all below those that there are."""
    beyond = wanted < have & -have or have < wanted & -wanted
    return wanted.bit_count() <= MOST_NEEDED or beyond


def told_first(clash: Clash) -> tuple[bool, int]:
    """The order in which clashes of one kind are told."""
    return clash.by_have, (clash.have if clash.by_have else clash.needs).bit_count()
