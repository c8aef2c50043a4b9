"""The claim of a written step, and whether it follows from what the step names.

The name of a technique is a claim, and so is every cell, digit, house and rule listed with
it: a step is sound if the technique gives its conclusions on this board by exactly that pattern.
A *reason* names only premises, and is sound if its conclusions follow from them. If a claim fails, the
audit helps: it gives the pattern's right name, the missing removal and what supplies it, or the likely
slip of the pen.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property

from gridassay.encodings.puzzle import Puzzle
from gridassay.verify.auditing.finding import Searches
from gridassay.verify.budget import Clock
from gridassay.verify.engines import sat_engine_for
from gridassay.verify.engines.deletion import fewest
from gridassay.verify.engines.questions import Assertion, Switch
from gridassay.verify.solving.board.ideas import Spot, word_list
from gridassay.verify.solving.board.position import Layout, Mark, Position, bits_of
from gridassay.verify.solving.board.step_reader import Because
from gridassay.verify.solving.board.steps import REASON
from gridassay.verify.solving.reasons.proving import cell_premises, contrary, follows, spot_premises
from gridassay.verify.solving.techniques import (
    TECHNIQUES,
    Idea,
    Technique,
    inference_chain,
    remote_pairs,
    rule_alone,
    rule_with_houses,
    x_chain,
    xy_chain,
)
from gridassay.verify.solving.techniques.names import techniques_meant

MOST_TRIED = 60
"""Ideas tried as the missing step before a claim."""


CHAINS = (x_chain.NAME, xy_chain.NAME, remote_pairs.NAME, inference_chain.NAME)
"""Techniques written as a list of cells, of which there are too many to look through."""


@dataclass(frozen=True)
class Claim:
    """Conclusions by index, and why they are claimed to hold."""

    places: tuple[Mark, ...]
    removes: tuple[Mark, ...]
    because: Because | None

    @cached_property
    def names(self) -> tuple[str, ...]:
        """The techniques that its name stands for; none if the name is unknown."""
        if self.because is None:
            return ()
        name = self.because.name
        return (REASON,) if name.casefold() == REASON else techniques_meant(name)

    @property
    def techniques(self) -> list[Technique]:
        """The techniques that give steps with these names."""
        return [technique for technique in TECHNIQUES if {*technique.names} & {*self.names}]

    @property
    def marks(self) -> tuple[Mark, ...]:
        """All conclusions, placements first."""
        return (*self.places, *self.removes)

    def still_open(self, position: Position) -> Claim:
        """The conclusions that are not so yet."""
        return Claim(
            tuple(mark for mark in self.places if not position.is_placed(mark[0])),
            tuple(mark for mark in self.removes if position.has(mark)),
            self.because,
        )

    def left_by(self, idea: Idea) -> Claim:
        """The conclusions that an idea does not give."""
        struck = set(idea.removes)
        settled = dict(idea.places)
        return Claim(
            tuple(mark for mark in self.places if mark not in idea.places),
            tuple(
                mark
                for mark in self.removes
                if mark not in struck and settled.get(mark[0], mark[1]) == mark[1]
            ),
            self.because,
        )


def say_marks(layout: Layout, marks: Iterable[Mark]) -> str:
    """Candidates in words: ``r4c3=7 and r4c4=7``."""
    return word_list(map(layout.mark, marks))


def say_conclusions(layout: Layout, idea: Idea) -> str:
    """The conclusions of an idea: ``r4c3=7; r5c5 not 2``."""
    struck = [f"{layout.unknowns[mark[0]]} not {layout.value_name(mark)}" for mark in idea.removes]
    return "; ".join([*map(layout.mark, idea.places), *struck])


def agrees(idea: Idea, because: Because, layout: Layout) -> bool:
    """Whether an idea is the pattern over what is listed, with nothing foreign to it."""
    return _is_over(idea, because, layout) and _houses(idea, because, layout) >= {*because.houses}


def _is_over(idea: Idea, because: Because, layout: Layout) -> bool:
    """Whether an idea is the pattern over the cells, digits and rules that are listed."""
    cells = {layout.index[one] for one in (*because.cells, *because.unknowns)}
    if cells and not set(idea.core or idea.shown) <= cells <= {*idea.shown, *idea.touched}:
        return False
    digits = {layout.digit_index[digit] for digit in because.digits}
    concluded = {digit for cell, digit in idea.marks if layout.is_cell(cell)}
    if not digits <= concluded.union(idea.digits):
        return False
    return _premises(idea, layout).issuperset(because.rules)


def _houses(idea: Idea, because: Because, layout: Layout) -> set[str]:
    """The listed houses that an idea rests on, or that hold its pattern."""
    premises, shown = _premises(idea, layout), bits_of(idea.core or idea.shown)
    return {
        house
        for house in because.houses
        if house in premises or (shown and _house_bits(layout, house) & shown == shown)
    }


def _premises(idea: Idea, layout: Layout) -> set[str]:
    return {layout.premise_of(switch).name for switch in idea.all_switches}


def rests_on(idea: Idea, because: Because) -> bool:
    """Whether the list names what an agreeing idea rests on, and not just where it ends.

    The cell that a hidden single fills is not a reason for it; its house and its digit are.
    """
    return bool(because.houses or because.rules or (because.cells and idea.shown))


def _house_bits(layout: Layout, name: str) -> int:
    return next((zone.bits for zone in layout.zones if zone.switch == name), 0)


class Matcher:
    """Checks claims against a position, which others move on."""

    def __init__(self, puzzle: Puzzle, position: Position, clock: Clock) -> None:
        self.position = position
        self.layout = position.layout
        self.clock = clock
        self.engine = sat_engine_for(puzzle, clock, for_steps=True)
        self.searches = Searches()

    def giving(
        self,
        claim: Claim,
        techniques: Iterable[Technique],
        position: Position | None = None,
        *,
        by_name: bool = False,
    ) -> list[Idea]:
        """Ideas of the techniques that together give the claim by its pattern; empty if there are none.

        What they give is proved. With ``by_name`` they carry the name that the claim gives. A house
        that the claim lists may be the reason for a part of it.
        """
        at = position or self.position
        left, used = claim, []
        houses = {*claim.because.houses} if claim.because else set()
        near = bits_of({cell for cell, _ in claim.marks})
        for technique in techniques:
            for idea in self.searches.find(technique, at, near):
                rest = left.left_by(idea)
                more = claim.because and houses & _houses(idea, claim.because, self.layout)
                gives = rest != left or (more and claim.left_by(idea) != claim)
                if not gives or not self._fits(idea, claim, by_name):
                    continue
                if not follows(self.engine, at, idea, self.clock):
                    continue
                houses -= more or set()
                left = rest
                used.append(idea)
                if not left.marks and not houses:
                    return used
        return []

    def _fits(self, idea: Idea, claim: Claim, by_name: bool) -> bool:
        """Whether the claim can mean an idea; one with another name must rest on what it lists."""
        because = claim.because
        if because is None:
            return True
        meant = idea.technique in claim.names or (not by_name and rests_on(idea, because))
        return meant and _is_over(idea, because, self.layout)

    def by_name(self, claim: Claim, position: Position | None = None) -> list[Idea]:
        """Ideas of the technique that the claim names which give it, or none."""
        return self.giving(claim, claim.techniques, position, by_name=True)

    def by_premises(self, claim: Claim) -> bool:
        """Whether the conclusions follow from the premises that the claim lists, and nothing else.

        If no cell is listed, the candidates of every cell in the listed houses and rules count.
        """
        because = claim.because
        if because is None or because.bare:
            return False
        layout = self.layout
        names = [*because.houses, *because.rules]
        cells = [layout.index[one] for one in (*because.cells, *because.unknowns)]
        if not cells:
            cells = sorted({one for name in names for one in layout.span(name)})
        spots: list[Spot] = [
            (layout.digit_index[digit], zone)
            for zone in layout.full_zones
            if zone.switch in because.houses or zone.name in because.rules
            for digit in because.digits
        ]
        return self._follows(claim, cells, spots, names)

    def by_reading(self, claim: Claim) -> bool:
        """Whether one rule, alone or with houses as the name has it, gives the claim as listed.

        Of several smallest sets of premises, the reader finds one, which need not be the one listed.
        A rule whose cells all differ, such as a cage, may be among the houses.
        """
        because = claim.because
        if because is None or not because.rules:
            return False
        different = {zone.name for zone in self.layout.zones}
        if sum(rule not in different for rule in because.rules) > 1:
            return False
        together = because.houses or len(because.rules) > 1
        name = rule_with_houses.NAME if together else rule_alone.NAME
        return name in claim.names and self.by_premises(claim)

    def by_links(self, claim: Claim, chain: str) -> bool:
        """Whether the conclusions follow from the cells listed and how they see one another.

        That is how chains are written: the cells in order, the digit if there is one. A digit
        that a house confines to the listed cells may be used too. The name of the chain limits
        its links: an X-chain uses the places of one digit, an XY-chain and remote pairs use cells
        with two candidates (for remote pairs, the same two).
        """
        because = claim.because
        if because is None or not because.cells:
            return False
        layout, position = self.layout, self.position
        cells = [layout.index[cell] for cell in because.cells]
        every = list(dict.fromkeys([*cells, *(cell for cell, _ in claim.marks)]))
        switches = [
            layout.link(one, other)
            for place, one in enumerate(every)
            for other in every[place + 1 :]
            if layout.sees[one] >> other & 1
        ]
        listed_bits = bits_of(cells)
        digits = [layout.digit_index[digit] for digit in because.digits]
        if chain == x_chain.NAME:
            digits = digits or [digit for _, digit in claim.marks]
            if len(set(digits)) > 1:
                return False
            cells = []
        elif chain in (xy_chain.NAME, remote_pairs.NAME):
            masks = {position.masks[cell] for cell in cells}
            if any(mask.bit_count() != 2 for mask in masks):
                return False
            if chain == remote_pairs.NAME and len(masks) > 1:
                return False
            return self._follows(claim, cells, [], list(dict.fromkeys(switches)))
        spots = [
            (digit, zone)
            for zone in layout.full_zones
            for digit in digits or range(len(layout.digits))
            if not position.where[digit] & zone.bits & ~listed_bits
            and position.where[digit] & zone.bits
        ]
        return self._follows(claim, cells, spots, list(dict.fromkeys(switches)))

    def _follows(
        self, claim: Claim, cells: list[int], spots: list[Spot], switches: Sequence[Switch]
    ) -> bool:
        assumed: list[Assertion] = [
            *cell_premises(self.position, cells),
            *spot_premises(self.position, spots),
        ]
        on = list(dict.fromkeys([*switches, *(zone.switch for _, zone in spots)]))
        contraries = [
            *(contrary(self.layout, mark, placed=True) for mark in claim.places),
            *(contrary(self.layout, mark, placed=False) for mark in claim.removes),
        ]
        return all(
            self.engine.solve([*assumed, other], self.clock, on=on) is None for other in contraries
        )

    def missing(self, claim: Claim) -> list[Idea]:
        """Steps that were open before the claim, and without which its pattern does not exist yet."""
        later = self.position.copy()
        applied: list[Idea] = []
        for _ in range(2):
            round_of = []
            for idea in self._open_ideas(later):
                round_of.append(idea)
                if len(applied) + len(round_of) >= MOST_TRIED:
                    break
            for idea in round_of:
                move_on(later, idea)
                applied.append(idea)
                if self._holds_at(claim, later):
                    return self._prune(claim, applied)
        return []

    def _open_ideas(self, position: Position) -> Iterator[Idea]:
        for technique in TECHNIQUES:
            if technique.group <= 6 and not technique.promised:
                yield from technique.find(position)

    def _holds_at(self, claim: Claim, position: Position) -> bool:
        left = claim.still_open(position)
        return left.marks == claim.marks and bool(self.by_name(left, position))

    def _prune(self, claim: Claim, applied: list[Idea]) -> list[Idea]:
        def enough(some: list[int]) -> bool:
            later = self.position.copy()
            for number in reversed(some):
                move_on(later, applied[number])
            return self._holds_at(claim, later)

        kept = fewest(range(len(applied) - 1, -1, -1), enough)
        return [applied[number] for number in reversed(kept)]

    def slip(self, claim: Claim) -> str:
        """The step that was probably meant: the same pattern with one cell, digit or house different."""
        because = claim.because
        if because is None or because.bare:
            return ""
        cells = {self.layout.index[one] for one in (*because.cells, *because.unknowns)}
        for technique in claim.techniques:
            for idea in technique.find(self.position):
                if agrees(idea, because, self.layout):
                    return f"the pattern gives {say_conclusions(self.layout, idea)}"
                meant = set(idea.shown)
                if len(meant - cells) == len(cells - meant) == 1 and not claim.left_by(idea).marks:
                    right, wrong = (meant - cells).pop(), (cells - meant).pop()
                    names = self.layout.unknowns
                    return f"{names[right]} instead of {names[wrong]}?"
        return ""


def move_on(position: Position, idea: Idea) -> None:
    """Apply an idea to a position, but for what is already gone."""
    position.conclude(filter(position.has, idea.places), idea.removes)


def simpler_idea(position: Position, group: int) -> Idea | None:
    """The first idea of a technique taught before this group, or None."""
    for technique in TECHNIQUES:
        if technique.group < group and not technique.promised:
            idea = next(iter(technique.find(position)), None)
            if idea is not None:
                return idea
    return None
