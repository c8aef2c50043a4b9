"""The solving route: a puzzle's solution as a sequence of steps, each proved before it is shown.

At every position the techniques are tried in their order and the first that applies gives the step;
among several ideas of one technique it is the one with the smallest reason, then the one nearest to
the last placement. If no named technique applies, the smallest reason of any open elimination does
(``reasons/smallest.py``), so that every puzzle with one solution has a route to its end. There is not
a table of scores: the profile counts techniques, and the crux is the step with the largest reason.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from contextlib import suppress

from gridassay.encodings.lines import PuzzleError
from gridassay.encodings.puzzle import Puzzle
from gridassay.verify.budget import DEFAULT_SECONDS, Clock, OutOfTime, within_budget
from gridassay.verify.counting.verdict import Status
from gridassay.verify.engines import sat_engine_for
from gridassay.verify.faults import Disagreement
from gridassay.verify.solving.board.position import Position
from gridassay.verify.solving.board.steps import Step, step_of
from gridassay.verify.solving.levels import GROUPS, group_named, level_of, openings
from gridassay.verify.solving.reasons.proving import cell_premises, follows
from gridassay.verify.solving.reasons.smallest import idea_of, smallest_reason
from gridassay.verify.solving.reasons.witnesses import ReasonBook
from gridassay.verify.solving.results import Route
from gridassay.verify.solving.stories.search import StoryTeller
from gridassay.verify.solving.stories.tidying import tidy
from gridassay.verify.solving.techniques import TECHNIQUES, Idea, Technique
from gridassay.verify.solving.techniques.names import all_techniques
from gridassay.verify.solving.truth import Truth, truth_of

_CHOICES = 20, 1000
"""The least and the most choices in a search for the smallest reason of a step."""

_STORIES_BEFORE = (8, 9)
"""The groups of techniques before which short stories are told, and all others."""

_SEARCH = 10_000_000
"""The most choices, times variables, times houses and rule parts: both make a choice cost more."""


def technique_order(
    order: str | Iterable[str] = (), *, promise_unique: bool = False
) -> tuple[Technique, ...]:
    """The techniques, those in ``order`` first; the promised ones only on request."""
    first = {name: place for place, name in enumerate(all_techniques(order))}
    allowed = [t for t in TECHNIQUES if promise_unique or not t.promised]
    return tuple(
        sorted(allowed, key=lambda t: min(first.get(name, len(first)) for name in t.names))
    )


_UNPROMISED = (
    technique_order()
)  # what rests on the promise of one solution is used only if it is asked for


class RouteWalk:
    """Goes through a puzzle step by step from a position, which it changes."""

    def __init__(
        self,
        puzzle: Puzzle,
        position: Position,
        clock: Clock,
        techniques: Sequence[Technique] = _UNPROMISED,
        without: Iterable[str] = (),
        truth: Truth | None = None,
    ) -> None:
        """With ``truth``, stories are told if no short technique applies."""
        self._truth = truth
        self._teller: StoryTeller | None = None
        self.position = position
        self.clock = clock
        self.techniques = techniques
        self.without = frozenset(without)
        self.engine = sat_engine_for(puzzle, clock, for_steps=True)
        self._puzzle = puzzle
        self._book: ReasonBook | None = None
        parts = sum(len(premise.parts) for premise in puzzle.model.premises)
        fewest, most = _CHOICES
        afforded = _SEARCH // max(1, parts * self.engine.compiled.variables)
        self._most_choices = max(fewest, min(most, afforded))
        self._choices = self._most_choices
        self._last: int | None = None

    def next_idea(self) -> Idea | None:
        """The idea of the first technique that has one, proved; None if no technique has one.

        Short stories come after wings, longer ones after chains.
        """
        told = 0
        for technique in self.techniques:
            while told < len(_STORIES_BEFORE) and technique.group >= _STORIES_BEFORE[told]:
                told += 1
                story = self.story(short=told == 1)
                if story is not None:
                    return story
            ideas = self._ideas_allowed(technique)
            best = (
                next(ideas, None)
                if technique.ranked
                else min(ideas, key=self._preference, default=None)
            )
            if best is not None:
                self.prove(best)
                return best
            self.clock.check()
        return self.story() if told < len(_STORIES_BEFORE) else None

    def story(self, *, short: bool = False) -> Idea | None:
        """The story of the position, proved link by link and as a whole."""
        if self._truth is None:
            return None
        if self._teller is None:
            self._teller = StoryTeller(self._puzzle, self.clock)
        targets = self._truth.false_candidates(self.position)
        idea = self._teller.story(self.position, self._distance, targets, short=short)
        if idea is not None:
            self.prove(idea)
        return idea

    def next_reason(self, truth: Truth) -> Idea | None:
        """The smallest reason of any open elimination, proved; None if nothing is open."""
        if self._book is None:
            self._book = ReasonBook(self._puzzle, self.clock)
        targets = truth.false_candidates(self.position)
        found = smallest_reason(
            self._book, self.position, targets, truth.solution, self.clock, self._choices
        )
        if found is None:
            return None
        # After one search was given up, the next would probably fail as well.
        grown = self._choices * 2 if found.exact else self._choices // 2
        self._choices = min(max(grown, _CHOICES[0]), self._most_choices)
        idea = idea_of(found, self.position)
        self.prove(idea)
        return idea

    def all_ideas(self) -> Iterator[Idea]:
        """Every idea of every technique, each conclusion once for each technique, all proved."""
        seen = set()
        for technique in self.techniques:
            for idea in self._ideas_allowed(technique):
                concluded = (idea.technique, idea.places, frozenset(idea.removes))
                if concluded not in seen:
                    seen.add(concluded)
                    self.prove(idea)
                    yield idea
            self.clock.check()

    def _ideas_allowed(self, technique: Technique) -> Iterator[Idea]:
        for idea in technique.find(self.position):
            if idea.technique not in self.without:
                yield idea

    def _preference(self, idea: Idea) -> tuple[tuple[int, int], int, int]:
        cell = idea.touched[0]
        return idea.size, self._distance(cell), cell

    def _distance(self, cell: int) -> int:
        layout = self.position.layout
        if self._last is None or not layout.is_cell(cell):
            return 0
        one, other = (layout.cells[index] for index in (self._last, cell))
        return abs(one.row - other.row) + abs(one.column - other.column)

    def prove(self, idea: Idea) -> None:
        """Prove an idea. Raises Disagreement if it does not follow, which is a fault of its technique."""
        if not follows(self.engine, self.position, idea, self.clock):
            marks = [self.position.layout.mark(mark) for mark in (*idea.places, *idea.removes)]
            raise Disagreement(
                f"{idea.technique} proposes {', '.join(marks)}, which does not follow"
            )

    def tidy(self, first: Position, ideas: Sequence[Idea]) -> list[Step]:
        """The steps of a route to the end, without those on which no later step rests."""

        def proves(position: Position, idea: Idea) -> bool:
            self.clock.check()
            return follows(self.engine, position, idea, self.clock)

        return list(self.tell(first, tidy(first, ideas, proves, self.without)))

    def openings(self, first: Position, steps: Sequence[Step]) -> int | None:
        """The number of conclusions of the highest group that are open where the steps first need it."""
        groups = [group_named(step.technique, TECHNIQUES) for step in steps]
        highest = max(groups, default=0)
        if not highest:
            return None
        board = first.copy()
        for step in steps[: groups.index(highest)]:
            step.apply(board)
        found = openings(board, self.techniques, highest)
        if not found and self._teller and self._truth:
            found = self._teller.openings(board, self._truth.false_candidates(board))
        return max(1, found)

    def take(self, idea: Idea) -> Step:
        """Apply an idea and return it as a step."""
        step = step_of(idea, self.position)
        self.conclude(idea)
        return step

    def conclude(self, idea: Idea) -> None:
        """Apply an idea that is put into words later, or never."""
        self.position.conclude(idea.places, idea.removes)
        for cell, _ in idea.places:
            if self.position.layout.is_cell(cell):
                self._last = cell

    def tell(self, first: Position, ideas: Sequence[Idea]) -> Iterator[Step]:
        """The steps of the ideas, which lead on from a position."""
        # The sentences fit the board on which a step is taken.
        self.position.become(first)
        for idea in ideas:
            yield self.take(idea)


@within_budget
def route(
    puzzle: Puzzle,
    *,
    without: str | Iterable[str] = (),
    order: str | Iterable[str] = (),
    promise_unique: bool = False,
    start: Position | None = None,
    most: int | None = None,
    every_step: bool = False,
    budget: float | Clock = DEFAULT_SECONDS,
) -> Route:
    """Solve a puzzle step by step, as a presenter would.

    The route is tidy: none of its eliminations can be left out. ``every_step`` returns it as it was
    found.

    ``without`` names one or more techniques to leave out; then only named techniques are used, and
    the route may stop early. ``order`` names techniques to try first. ``promise_unique`` allows
    those that rest on the promise of one solution. ``start`` is a position to begin from; ``most``
    the number of steps to stop after. A puzzle without a solution has no steps. The steps found
    before the budget ran out are returned.
    """
    clock = Clock.of(budget)
    began = clock.time_spent()
    names = all_techniques(without)
    techniques = technique_order(order, promise_unique=promise_unique)
    first = start.copy() if start else Position.start(puzzle)
    ideas: list[Idea] = []
    steps: list[Step] = []
    position, timed_out = first.copy(), False
    verdict: Status = "undecided"
    level = opened = None
    try:
        truth = truth_of(puzzle, clock)
        verdict = truth.verdict
        telling = None if names else truth
        walk = RouteWalk(puzzle, position, clock, techniques, names, telling)
        if verdict != "none":
            _consistent(walk)
        # What will be tidied is put into words after that, unless time becomes short.
        tidied = most is None and not every_step
        while verdict != "none" and not position.solved and len(ideas) != most:
            idea = walk.next_idea()
            if idea is None and not names:
                idea = walk.next_reason(truth)
            if idea is None:
                break
            ideas.append(idea)
            if tidied and clock.time_spent() - began < clock.time_left():
                walk.conclude(idea)
            elif len(steps) == len(ideas) - 1:
                steps.append(walk.take(idea))
            else:
                steps = list(walk.tell(first, ideas))
        if position.solved and tidied:
            steps = walk.tidy(first, ideas)
        elif len(steps) < len(ideas):
            steps = list(walk.tell(first, ideas))
        if position.solved and not names:
            level = GROUPS[level_of(first, techniques, clock, ideas)]
            opened = walk.openings(first, steps)
    except OutOfTime:
        timed_out = True
        if ideas and not steps:
            with suppress(OutOfTime):
                for step in walk.tell(first, ideas):
                    steps.append(step)
    seconds = clock.time_spent() - began
    return Route(
        puzzle,
        verdict,
        tuple(steps),
        first,
        position,
        timed_out,
        seconds,
        names,
        level,
        opened,
    )


def _consistent(walk: RouteWalk) -> None:
    """Raise PuzzleError if the candidates leave no solution."""
    position = walk.position
    if walk.engine.solve(cell_premises(position, range(len(position.masks))), walk.clock) is None:
        raise PuzzleError("these candidates rule out every solution")
