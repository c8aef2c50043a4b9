"""The search for the smallest reason of a position, over all its open eliminations at once.

A *reason* is a set of premises from which an elimination follows: houses and rule parts first, then
premises about candidates ("the candidates of this cell are these", "the places of this digit in this
house are these"). The smallest has the fewest houses and rule parts, and among those the fewest
premises about candidates.

The search is by implicit hitting sets (``engines/hitting_sets.py``; Ignatiev, Previti, Liffiton and
Marques-Silva, "Smallest MUS extraction with minimal hitting set dualization", CP 2015), with the
target chosen by the same search as its reason, as in "Efficiently explaining CSPs with
unsatisfiable subset optimization" (Gamba, Bogaerts and Guns, IJCAI 2021). The next set proposes a
target and a few premises. Either the opposite of the target contradicts them, and the reason is
found; or there is a *witness*, a full grid in which that opposite and those premises hold. Then
every reason of that target has some premise that the witness breaks.

The differences here: a witness counts for every target whose opposite it contains, so one grid
answers for dozens; witnesses near the solution are made by swapping, without a solver; they are
kept from position to position for as long as they use no struck candidate; and the two parts of the
size are searched one after the other, the first over a few dozen elements.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from gridassay.encodings.puzzle import Solution
from gridassay.verify.budget import Clock, TooHard
from gridassay.verify.engines.hitting_sets import LightestHitting
from gridassay.verify.engines.questions import Demand
from gridassay.verify.solving.board.ideas import Spot
from gridassay.verify.solving.board.position import Mark, Position, members
from gridassay.verify.solving.reasons.proving import contrary, spot_premises
from gridassay.verify.solving.reasons.short import TELLABLE, ShortReasons
from gridassay.verify.solving.reasons.witnesses import (
    MOST_ABOUT_CANDIDATES,
    NO_BOUNDS,
    FoundReason,
    ReasonBook,
    Values,
    Within,
    Witness,
)

EFFORT = 20
"""The most conflicts that a choice may take, on average over one search."""

_HEAVY = MOST_ABOUT_CANDIDATES + 1
"""The weight of a house or rule part: more than all premises about candidates together."""

GLANCE = 40
"""The most conflicts spent on making a witness keep one more part."""

QUESTION = 20_000
"""The most conflicts that one question about a choice may take: nearly all take less than a tenth."""

PASSED_OVER = 6
"""The number of choices too hard to answer after which the search makes do with a short reason."""

FIRST_LOOK = 20
"""The number of choices after which a short reason is made, which then bounds the search."""


def find_reason(
    book: ReasonBook,
    position: Position,
    targets: Sequence[Mark],
    solution: Solution,
    clock: Clock,
    within: Within = NO_BOUNDS,
) -> FoundReason | None:
    """The smallest reason of any of the targets within bounds; None if there is none.

    ``targets`` are candidates that no solution has, ``solution`` is one of the solutions. Other
    targets that follow from the same premises are returned with it. If the search takes too long
    the reason is a short one, not proved to be the smallest. Raises OutOfTime if the clock runs
    out.
    """
    if not targets:
        return None
    book.enter(position, solution, clock)
    # A quarter quicker for reasons, which ask many small questions.
    with LightestHitting((), EFFORT * within.choices, "minisat22") as hitting:
        search = _Search(book, position, targets, book.values(solution), clock, within, hitting)
        try:
            return search.run()
        except TooHard:
            return None if within.rules_only else search.short()


class _Search:
    """One search: the two bounds rise one after the other over one set of witnesses."""

    def __init__(
        self,
        book: ReasonBook,
        position: Position,
        targets: Sequence[Mark],
        solution: Values,
        clock: Clock,
        within: Within,
        hitting: LightestHitting,
    ) -> None:
        self.book = book
        self.hitting = hitting
        self.within = within
        self.choices = 0
        self.passed_over = 0
        self.short_one: FoundReason | None = None
        self.position = position
        self.solution = solution
        self.clock = clock
        self.size = book.layout.width
        self.target = dict(zip(targets, hitting.elements([0] * len(targets)), strict=True))
        self.bits = {mark[0] * self.size + mark[1]: mark for mark in targets}
        self.target_bits = sum(1 << bit for bit in self.bits)
        self.part = hitting.elements([_HEAVY] * len(book.switches))
        hitting.add(self.target.values())
        self.about_cell = [book.about_cell(position, cell) for cell in range(len(position.masks))]

    def run(self) -> FoundReason | None:
        """Raise the bound on houses and rule parts, then the bound on premises about candidates."""
        self._recall()
        if self.within.rules_only:
            for element, switch in zip(self.part, self.book.switches, strict=True):
                if isinstance(switch, str):
                    self.hitting.exclude([element])
        count = self.within.fewest_parts
        while count <= self.within.most_parts:
            if self.short_one and count >= len(self.short_one.switches):
                return self._fewest_premises(count)
            choice = self.hitting.find(_HEAVY * count, self.clock)
            if choice is None:
                count += 1
                continue
            mark = self._target_of(choice)
            parts = [number for number, element in enumerate(self.part) if element in choice]
            try:
                values = self._refute_here(mark, parts)
            except TooHard:
                self._pass_over(mark, parts)
                continue
            if values is None:
                return self._fewest_premises(count)
            self._widen(mark, parts, values)
        return None

    def _pass_over(self, mark: Mark, parts: Iterable[int]) -> None:
        """Go on without knowing whether a target follows from some parts; too often, give up."""
        self.passed_over += 1
        if self.passed_over > PASSED_OVER:
            raise TooHard
        self.hitting.exclude([self.target[mark], *(self.part[number] for number in parts)])

    def _target_of(self, choice: set[int]) -> Mark:
        """The target of a choice; after many choices, make a short reason, or give up."""
        self.clock.check()
        self.choices += 1
        if self.choices > self.within.choices:
            raise TooHard
        if self.choices == FIRST_LOOK and not self.within.rules_only:
            self.short()
        return next(mark for mark, element in self.target.items() if element in choice)

    def _refute(
        self, mark: Mark, parts: Iterable[int], about: Sequence[Demand], *, placed: bool = False
    ) -> Values | None:
        """A grid in which the premises hold and the target's candidate is true, or None.

        With ``placed``, one in which the candidate is false. Raises TooHard.
        """
        solution = self.book.engine.solve(
            [contrary(self.book.layout, mark, placed=placed)],
            self.clock,
            on=[self.book.switches[number] for number in parts],
            demands=about,
            effort=QUESTION,
        )
        return None if solution is None else self.book.values(solution)

    def _refute_here(self, mark: Mark, parts: Iterable[int]) -> Values | None:
        """The same question, with every candidate of the position as a premise."""
        solution = self.book.settled.solve(
            [contrary(self.book.layout, mark, placed=False)],
            self.clock,
            on=[self.book.switches[number] for number in parts],
            effort=QUESTION,
        )
        return None if solution is None else self.book.values(solution)

    def _recall(self) -> None:
        """Use the existing witnesses that have no struck candidate."""
        gone = 0
        for cell, mask in enumerate(self.position.masks):
            gone |= (self.book.layout.full[cell] & ~mask) << cell * self.size
        self.book.pool = [witness for witness in self.book.pool if not witness.marks & gone]
        for witness in self.book.pool:
            self._teach(witness)
        for mark in self.target:
            for witness in self.book.near(mark):
                if not witness.marks & gone:
                    self._teach(witness)

    def _widen(self, mark: Mark, parts: Sequence[int], values: Values) -> None:
        """Learn a witness to which, at a quick look, no broken part can be added."""
        switches = self.book.switches
        while True:
            broken = self.book.violated_parts(values)
            kept = set(range(len(self.part))).difference(broken)
            wider = self.book.settled.glance(
                [contrary(self.book.layout, mark, placed=False)],
                [switches[number] for number in kept],
                [switches[number] for number in broken],
                GLANCE,
            )
            if wider is None:
                break
            values = self.book.values(wider)
        witness = Witness(self.book.marks(values), broken)
        self.book.pool.append(witness)
        self._teach(witness)

    def _teach(self, witness: Witness, others: Sequence[int] = ()) -> None:
        """For every target in the witness: its reason has a premise that the witness breaks."""
        elements = [*(self.part[number] for number in witness.broken), *others]
        for bit in members(witness.marks & self.target_bits):
            self.hitting.add(elements, when=[self.target[self.bits[bit]]])

    def _fewest_premises(self, count: int) -> FoundReason | None:
        """The fewest premises about candidates for this number of houses and rule parts."""
        layout, position, hitting = self.book.layout, self.position, self.hitting
        number = dict(zip(self.book.switches, self.part, strict=True))
        self.cell = hitting.elements([1] * len(position.masks))
        self.spots: list[Spot] = [
            (digit, zone)
            for zone in layout.full_zones
            for digit, cells in enumerate(position.where)
            if not cells & zone.bits & position.placed
        ]
        self.spot = hitting.elements([1] * len(self.spots))
        self.about_spot = []
        for element, (digit, zone) in zip(self.spot, self.spots, strict=True):
            hitting.add([number[zone.switch]], when=[element])
            key = (digit, zone.switch, position.where[digit] & zone.bits)
            denied = spot_premises(position, [(digit, zone)])
            self.about_spot.append(self.book.bundle(key, denied))
        most = 0
        sound: set[tuple[Mark, tuple[int, ...]]] = set()
        while most <= self.within.most_about:
            if self.short_one and self.short_one.size <= (count, most):
                return replace(self.short_one, exact=not self.passed_over)
            choice = hitting.find(_HEAVY * count + most, self.clock)
            if choice is None:
                most += 1
                continue
            mark = self._target_of(choice)
            parts = [place for place, element in enumerate(self.part) if element in choice]
            cells = [place for place, element in enumerate(self.cell) if element in choice]
            spots = [place for place, element in enumerate(self.spot) if element in choice]
            values = self._refute(mark, parts, self._about(cells, spots))
            if values is None:
                return self._reason(mark, parts, cells, spots)
            pair = (mark, tuple(parts))
            if pair not in sound:
                whole = self._refute_here(mark, parts)
                if whole is not None:
                    self._widen(mark, parts, whole)
                    continue
                sound.add(pair)
            self._narrow(mark, parts, spots, values)
        return None

    def short(self) -> FoundReason | None:
        """A short reason, made once."""
        if self.short_one is None:
            maker = ShortReasons(self.book, self.position, self.clock)
            found = maker.shortest(self.target)
            if found:
                number = {switch: place for place, switch in enumerate(self.book.switches)}
                parts = [number[switch] for switch in found.parts]
                reason = self._reason(found.mark, parts, found.cells, ())
                self.short_one = replace(reason, exact=False)
        return self.short_one

    def _about(self, cells: Iterable[int], spots: Iterable[int]) -> list[Demand]:
        return [
            *(self.about_cell[place] for place in cells),
            *(self.about_spot[place] for place in spots),
        ]

    def _narrow(
        self,
        mark: Mark,
        parts: Sequence[int],
        spots: Sequence[int],
        values: Values,
    ) -> None:
        """Learn a witness within these parts to which no premise about candidates can be added."""
        scope = 1 << mark[0]
        for part in parts:
            scope |= self.book.scopes[part]
        broken_cells, broken_spots = self._misfits(values, scope)
        tried = set()
        while True:
            place = next((place for place in broken_cells if place not in tried), None)
            if place is None:
                break
            tried.add(place)
            kept = [c for c in members(scope) if c not in broken_cells]
            try:
                wider = self._refute(mark, parts, self._about([*kept, place], spots))
            except TooHard:
                continue
            if wider is not None:
                values = wider
                broken_cells, broken_spots = self._misfits(values, scope)
        witness = Witness(self.book.marks(values), self.book.violated_parts(values))
        others = [self.cell[place] for place in broken_cells]
        self._teach(witness, [*others, *(self.spot[place] for place in broken_spots)])

    def _misfits(self, values: Values, scope: int) -> tuple[set[int], list[int]]:
        """The cells and places that a grid breaks, once it is the solution outside the scope."""
        layout, position = self.book.layout, self.position
        astray: dict[int, int] = {}
        for place, name in enumerate(layout.unknowns):
            if not scope >> place & 1:
                values[name] = self.solution[name]
                continue
            _, value = layout.mark_of(name, values[name])
            if not position.masks[place] >> value & 1:
                astray[place] = value
        for cell_name in layout.cells:
            self.book.read_cell(values, cell_name)
        held: dict[int, int] = {}
        for place, value in astray.items():
            if layout.is_cell(place):
                held[value] = held.get(value, 0) | 1 << place
        spots = [
            place
            for place, (digit, zone) in enumerate(self.spots)
            if held.get(digit, 0) & zone.bits
        ]
        return set(astray), spots

    def _reason(
        self, mark: Mark, parts: Sequence[int], cells: Sequence[int], spots: Sequence[int]
    ) -> FoundReason:
        """The reason found, with every target that it strikes."""
        scope = 1 << mark[0]
        # Other candidates that a reason strikes are useless if nobody can see why they go.
        for part in parts if len(parts) <= TELLABLE else ():
            scope |= self.book.scopes[part]
        about = self._about(cells, spots)
        struck = self._all_struck(mark, parts, about, scope)
        left = {cell: self.position.masks[cell] for cell, _ in struck}
        for cell, digit in struck:
            left[cell] &= ~(1 << digit)
        places = [
            (cell, digits.bit_length() - 1)
            for cell, digits in left.items()
            if digits.bit_count() == 1
        ]
        return FoundReason(
            tuple(struck),
            tuple(self.book.switches[number] for number in parts),
            tuple(cells),
            tuple(self.spots[place] for place in spots),
            tuple(one for one in places if self._follows(one, parts, about, placed=True)),
            exact=not self.passed_over,
        )

    def _follows(
        self, mark: Mark, parts: Sequence[int], about: Sequence[Demand], *, placed: bool
    ) -> bool:
        """Whether it is found soon that a candidate is struck, or placed, by these premises."""
        try:
            return self._refute(mark, parts, about, placed=placed) is None
        except TooHard:
            return False

    def _all_struck(
        self, mark: Mark, parts: Sequence[int], about: Sequence[Demand], scope: int
    ) -> list[Mark]:
        """A target, with all others in the scope that the same premises strike."""
        left = [one for one in self.target if one != mark and scope >> one[0] & 1]
        struck = [mark]
        while left:
            other = left.pop()
            try:
                values = self._refute(other, parts, about)
            except TooHard:
                continue
            if values is None:
                struck.append(other)
                continue
            layout = self.book.layout
            left = [
                one for one in left if values[(fact := layout.fact(one)).variable] != fact.value
            ]
        return sorted(struck)
