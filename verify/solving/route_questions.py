"""Questions around the route: what is open now, which techniques are needed, the way to a technique."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from gridassay.encodings.lines import PuzzleError
from gridassay.encodings.puzzle import Puzzle
from gridassay.verify.budget import DEFAULT_SECONDS, Clock, OutOfTime, within_budget
from gridassay.verify.solving.board.position import Mark, Position, members
from gridassay.verify.solving.board.steps import Step, step_of
from gridassay.verify.solving.board.steps_file import read_steps
from gridassay.verify.solving.reasons.proving import follows
from gridassay.verify.solving.reasons.smallest import reason_idea
from gridassay.verify.solving.reasons.witnesses import ReasonBook
from gridassay.verify.solving.results import Route
from gridassay.verify.solving.routes import RouteWalk, route, technique_order
from gridassay.verify.solving.techniques import SINGLES, Idea
from gridassay.verify.solving.techniques.names import (
    all_techniques,
    find_technique,
    technique_names,
)
from gridassay.verify.solving.truth import truth_of


@within_budget
def open_steps(
    puzzle: Puzzle,
    *,
    start: Position | None = None,
    without: str | Iterable[str] = (),
    promise_unique: bool = False,
    budget: float | Clock = DEFAULT_SECONDS,
) -> tuple[Step, ...]:
    """Every step that a named technique gives at a position, in teaching order, and one story.

    A conclusion that one technique reaches in several ways is listed once for it. No story is
    told if techniques are left out. Raises OutOfTime if the budget runs out.
    """
    clock = Clock.of(budget)
    position = start.copy() if start else Position.start(puzzle)
    names = all_techniques(without)
    telling = None if names else truth_of(puzzle, clock)
    walk = RouteWalk(
        puzzle, position, clock, technique_order(promise_unique=promise_unique), names, telling
    )
    steps = [step_of(idea, position) for idea in walk.all_ideas()]
    story = None if position.solved else walk.story()
    return (*steps, step_of(story, position)) if story else tuple(steps)


@within_budget
def only_steps(found: Route, *, budget: float | Clock = DEFAULT_SECONDS) -> tuple[int, ...]:
    """The indexes of the steps of a route at which no named technique gives anything else.

    A presenter who misses such a step is stuck. Raises OutOfTime if the budget runs out.
    """
    position = found.start.copy()
    walk = RouteWalk(found.puzzle, position, Clock.of(budget))
    only = []
    for number, step in enumerate(found.steps):
        concluded = set()
        for idea in walk.all_ideas():
            concluded.add((idea.places, frozenset(idea.removes)))
            if len(concluded) > 1:
                break
        else:
            # If one cell is left, there is nothing else to see.
            if position.open_bits.bit_count() > 1:
                only.append(number)
        step.apply(position)
    return tuple(only)


@within_budget
def smallest_reason_of(
    puzzle: Puzzle,
    claim: str,
    *,
    start: Position | None = None,
    budget: float | Clock = DEFAULT_SECONDS,
) -> Step:
    """The smallest reason of one conclusion, as a step: ``r5c5 not 2``, or ``r5c5 = 4``.

    Raises PuzzleError if the claim cannot be read, is already known or does not follow, OutOfTime if
    the budget runs out.
    """
    clock = Clock.of(budget)
    position = start.copy() if start else Position.start(puzzle)
    written = next(read_steps(claim, puzzle), None)
    if written is None or written.trouble:
        raise PuzzleError(written.trouble if written else "nothing is claimed", puzzle.source)
    marks = [*position.layout.marks(written.removes)]
    for place in written.places:
        unknown, value = position.layout.mark_of(*place)
        others = members(position.masks[unknown] & ~(1 << value))
        marks += [(unknown, other) for other in others]
    truth = truth_of(puzzle, clock)
    wanted = [mark for mark in truth.false_candidates(position) if mark in marks]
    if not wanted:
        raise PuzzleError(f"{claim}: it does not follow, or it is already known", puzzle.source)
    book = ReasonBook(puzzle, clock)
    idea = reason_idea(book, position, wanted, truth.solution, clock)
    if idea is None:
        raise PuzzleError(f"{claim}: no reason was found", puzzle.source)
    return step_of(idea, position)


@within_budget
def needed_techniques(
    found: Route, *, promise_unique: bool = False, budget: float | Clock = DEFAULT_SECONDS
) -> dict[str, Route]:
    """The techniques of a route that are needed: without each, the others get stuck at a place."""
    clock = Clock.of(budget)
    needed = {}
    known = {name for technique in technique_order(promise_unique=True) for name in technique.names}
    for name in found.techniques:
        if name in known:
            other = route(
                found.puzzle,
                without=[name],
                promise_unique=promise_unique,
                start=found.start,
                budget=clock,
            )
            if not other.solved:
                needed[name] = other
    return needed


@within_budget
def calls_for(
    puzzle: Puzzle,
    technique: str,
    *,
    only_singles: bool = False,
    budget: float | Clock = DEFAULT_SECONDS,
) -> bool:
    """Whether named techniques solve a puzzle, but get stuck if this one is left out.

    With ``only_singles`` the techniques are singles and this one: it is enough that singles alone
    get stuck. Otherwise all techniques are used; a pattern that a chain can replace is then not
    needed. Techniques that rest on the promise of one solution count only if one of them is asked
    about. Raises PuzzleError if there is no such technique, OutOfTime if the budget runs out.
    """
    clock = Clock.of(budget)
    name = find_technique(technique)
    promised = any(t.promised and name in t.names for t in technique_order(promise_unique=True))
    known = technique_names()

    aside = [other for other in known if only_singles and other not in (*SINGLES, name)]

    def walk(without: Iterable[str]) -> Route:
        found = route(puzzle, without=without, promise_unique=promised, budget=clock)
        if found.timed_out:
            raise OutOfTime
        return found

    first = walk(aside)
    # A route with nothing left out may end with reasons, which are not techniques.
    enough = first.solved and all(used in known for used in first.techniques)
    return enough and name in first.techniques and not walk([*aside, name]).solved


@within_budget
def route_to(
    puzzle: Puzzle,
    technique: str,
    *,
    start: Position | None = None,
    promise_unique: bool = False,
    budget: float | Clock = DEFAULT_SECONDS,
) -> Route:
    """A short way to the first use of a technique; none of its steps can be left out.

    The technique is taken as soon as it applies. Then the steps before it are left out, last first,
    if all later ones still hold without them. Quite different, shorter ways are not searched for.
    Raises PuzzleError if the technique never applies.
    """
    clock = Clock.of(budget)
    name = find_technique(technique)
    first = start.copy() if start else Position.start(puzzle)
    techniques = technique_order([name], promise_unique=promise_unique)
    walk = RouteWalk(puzzle, first.copy(), clock, techniques)
    ideas: list[Idea] = []
    while not ideas or ideas[-1].technique != name:
        idea = walk.next_idea()
        if idea is None:
            raise PuzzleError(f"{name} never applies in it", puzzle.source)
        ideas.append(idea)
        walk.conclude(idea)
    return _without_detours(puzzle, walk, first, ideas)


@within_budget
def route_to_marks(
    puzzle: Puzzle,
    places: Sequence[Mark],
    removes: Sequence[Mark],
    *,
    budget: float | Clock = DEFAULT_SECONDS,
) -> Route:
    """A short way to placements and removals; none of its steps can be left out.

    Raises PuzzleError if the route does not come to them, and OutOfTime.
    """
    clock = Clock.of(budget)
    first = Position.start(puzzle)
    walk = RouteWalk(puzzle, first.copy(), clock, truth=truth_of(puzzle, clock))
    ideas: list[Idea] = []

    def there() -> bool:
        placed = all(walk.position.is_placed(mark[0]) for mark in places)
        return placed and not any(walk.position.has(mark) for mark in removes)

    while not there():
        idea = walk.next_idea()
        if idea is None:
            raise PuzzleError("no named step leads to it", puzzle.source)
        ideas.append(idea)
        walk.conclude(idea)
    return _without_detours(puzzle, walk, first, ideas)


def _without_detours(puzzle: Puzzle, walk: RouteWalk, first: Position, ideas: list[Idea]) -> Route:
    """The route without the ideas that the last one does not need, tried last first."""
    timed_out = False
    clock = walk.clock
    try:
        for place in range(len(ideas) - 2, -1, -1):
            shorter = ideas[:place] + ideas[place + 1 :]
            if _still_holds(walk, first, shorter):
                ideas = shorter
    except OutOfTime:
        timed_out = True
    again = RouteWalk(puzzle, first.copy(), clock)
    steps = tuple(again.take(idea) for idea in ideas)
    return Route(puzzle, "undecided", steps, first, again.position, timed_out, clock.time_spent())


def _still_holds(walk: RouteWalk, first: Position, ideas: Sequence[Idea]) -> bool:
    """Whether every idea still follows and has an effect, if they are applied from a position."""
    position = first.copy()
    for idea in ideas:
        idle = not any(not position.is_placed(mark[0]) for mark in idea.places) and not any(
            position.has(mark) for mark in idea.removes
        )
        if idle or not follows(walk.engine, position, idea, walk.clock):
            return False
        position.conclude(idea.places, idea.removes)
    return True
