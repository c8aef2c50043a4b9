"""Alternation: along a whisper, low and high take turns, so one known cell settles the line.

Digits fall into classes: low and high, odd and even, thirds, remainders. If a rule lets each class
of one cell go with exactly one class of another, whatever the digits, the class of the one gives
that of the other: neighbours on a whisper or a parity line, every third cell of an entropic or
modular line. Which cells are so joined is asked of the rule's meaning, once for a puzzle.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache, partial
from itertools import pairwise, product

from gridassay.verify.engines.questions import Switch
from gridassay.verify.solving.board.ideas import (
    Idea,
    cell_names,
    digit_names,
    premise_name,
    word_list,
)
from gridassay.verify.solving.board.position import Layout, Mark, Position, bits_of, members
from gridassay.verify.solving.rule_meaning.desks import RuleDesk
from gridassay.verify.solving.rule_meaning.fillings import RuleFillings, fillings_of
from gridassay.verify.solving.rule_meaning.pieces import Piece

NAME = "alternation"

_FEWEST_CELLS = 3
"""The fewest cells of a line: two do not take turns."""

_STEPS = (1, 3)
"""The greatest distance along a line at which cells are compared; the rest follows."""


@dataclass(frozen=True, slots=True, eq=False)
class Classes:
    """Digits by class, one bit per digit, and the names of the classes."""

    sets: tuple[int, ...]
    names: tuple[str, ...]


@dataclass(frozen=True, slots=True, eq=False)
class TakingTurns:
    """A rule along whose cells classes take turns.

    ``given[cell][class]`` tells the class of each other cell that is joined to it.
    """

    switch: Switch
    classes: Classes
    given: Mapping[int, Mapping[int, Mapping[int, int]]]


def find(position: Position) -> Iterator[Idea]:
    """For every such rule and every cell whose candidates are of one class."""
    for turns in _turns(position.layout):
        for cell, by_class in turns.given.items():
            for known, others in by_class.items():
                if not position.masks[cell] & ~turns.classes.sets[known]:
                    removes = tuple(
                        (other, digit)
                        for other, their in sorted(others.items())
                        for digit in members(position.masks[other] & ~turns.classes.sets[their])
                    )
                    if removes:
                        yield _idea(position, turns, cell, known, removes)


@lru_cache(maxsize=16)
def _turns(layout: Layout) -> tuple[TakingTurns, ...]:
    found = []
    whole = {rule.switch: rule for rule in fillings_of(layout)}
    for premise in layout.premises.values():
        cells = layout.scope(premise.name)
        if premise.kind == "rule" and len(cells) >= _FEWEST_CELLS:
            rule = whole.get(premise.name) or RuleFillings(
                RuleDesk(layout, Piece(premise.name, premise, cells, cells))
            )
            line = _TurnLine(rule)
            for classes in _partitions(layout):
                given = line.links(classes)
                if given:
                    found.append(TakingTurns(premise.name, classes, given))
    return tuple(found)


def _partitions(layout: Layout) -> Iterator[Classes]:
    """Low and high, odd and even, thirds, remainders: the digits in order, cut or dealt out."""
    places = sorted(range(len(layout.digits)), key=layout.digits.__getitem__)
    count = len(places)
    half = count // 2
    if half:
        halves = (places[:half], places[half : count - half], places[count - half :])
        yield Classes(tuple(map(bits_of, halves)), ("low", "the middle digit", "high"))
    parity = [[place for place in places if layout.digits[place] % 2 == odd] for odd in (0, 1)]
    if all(parity):
        yield Classes(tuple(map(bits_of, parity)), ("even", "odd"))
    if count % 3 == 0 and count > 3:
        third = count // 3
        cuts = [bits_of(places[start : start + third]) for start in range(0, count, third)]
        yield Classes(tuple(cuts), ("low", "middle", "high"))
    dealt = [[place for place in places if layout.digits[place] % 3 == rest] for rest in (1, 2, 0)]
    if all(len(share) > 1 for share in dealt):
        names = [f"one of {digit_names(layout, share)}" for share in dealt]
        yield Classes(tuple(map(bits_of, dealt)), tuple(names))


class _TurnLine:
    """The cells of a rule in order, and the known facts about their fillings."""

    def __init__(self, rule: RuleFillings) -> None:
        self._rule = rule
        self._found: list[dict[int, int]] = []

    def links(self, classes: Classes) -> dict[int, dict[int, dict[int, int]]]:
        """Every cell's classes, with those that follow for the cells that can be reached from it."""
        steps: dict[int, list[tuple[int, dict[int, int]]]] = {}
        for step in _STEPS:
            if step > 1 and not self._changes(classes):
                break
            for one, other in zip(self._rule.cells, self._rule.cells[step:], strict=False):
                turn = self._turn(one, other, classes)
                # Neighbours of one class are equal, or alike: they do not take turns.
                if not turn or (step == 1 and any(ours == turn[ours] for ours in turn)):
                    break
                steps.setdefault(one, []).append((other, turn))
                back = {theirs: ours for ours, theirs in turn.items()}
                steps.setdefault(other, []).append((one, back))
            if steps:
                break
        return {
            start: {known: _classes_from(steps, start, known) for known in turns[0][1]}
            for start, turns in steps.items()
        }

    def _changes(self, classes: Classes) -> bool:
        """Whether neighbours along the line are never of one class."""
        of_digit = {d: n for n, bits in enumerate(classes.sets) for d in members(bits)}
        for one, other in pairwise(self._rule.cells):
            if any(of_digit[found[one]] == of_digit[found[other]] for found in self._found):
                return False
            if any(self._can_be((one, bits), (other, bits)) for bits in classes.sets if bits):
                return False
        return True

    def _turn(self, one: int, other: int, classes: Classes) -> dict[int, int]:
        """The class of the second cell for each class of the first; empty if this is not one to one."""
        turn: dict[int, int] = {}

        def agrees(ours: int, theirs: int) -> bool:
            """Note that these go together; return whether each still goes with only one."""
            known = turn.setdefault(ours, theirs)
            return known == theirs and list(turn.values()).count(theirs) == 1

        of_digit = {d: n for n, bits in enumerate(classes.sets) for d in members(bits)}
        for filling in self._found:
            if not agrees(of_digit[filling[one]], of_digit[filling[other]]):
                return {}
        for ours, theirs in product(range(len(classes.sets)), repeat=2):
            if turn.get(ours) == theirs:
                continue
            held = (one, classes.sets[ours]), (other, classes.sets[theirs])
            if self._can_be(*held) and not agrees(ours, theirs):
                return {}
        return turn if len(turn) > 1 else {}

    def _can_be(self, *held: tuple[int, int]) -> bool:
        """Whether the rule has a filling in which these cells have one of these digits each."""
        filling = self._rule.filling(dict(held))
        if filling is None:
            return False
        self._found.append(dict(zip(self._rule.cells, filling, strict=True)))
        return True


def _classes_from(
    steps: Mapping[int, Sequence[tuple[int, Mapping[int, int]]]], start: int, known: int
) -> dict[int, int]:
    """The classes of the cells that follow from that of one, step by step."""
    reached = {start: known}
    queue = deque([start])
    while queue:
        cell = queue.popleft()
        for other, turn in steps[cell]:
            if other not in reached and reached[cell] in turn:
                reached[other] = turn[reached[cell]]
                queue.append(other)
    del reached[start]
    return reached


def _idea(
    position: Position, turns: TakingTurns, cell: int, known: int, removes: tuple[Mark, ...]
) -> Idea:
    struck = tuple(dict.fromkeys(other for other, _ in removes))
    return Idea(
        NAME,
        removes=removes,
        cells=(cell,),
        switches=(turns.switch,),
        shown=(cell,),
        say=partial(_say, position.layout, turns, cell, known, struck),
    )


def _say(layout: Layout, turns: TakingTurns, cell: int, known: int, struck: tuple[int, ...]) -> str:
    names = turns.classes.names
    their = turns.given[cell][known]
    found = []
    for one, name in enumerate(names):
        cells = [other for other in struck if their[other] == one]
        if cells:
            found.append(f"{cell_names(layout, cells)} {'is' if len(cells) == 1 else 'are'} {name}")
    return (
        f"{layout.cells[cell]} is {names[known]}, and along {premise_name(layout, turns.switch)} "
        f"{_taking(turns, names)}, so {word_list(found)}"
    )


def _taking(turns: TakingTurns, names: tuple[str, ...]) -> str:
    used = dict.fromkeys(known for by_class in turns.given.values() for known in by_class)
    return f"{word_list(names[known] for known in sorted(used))} take turns"
