"""The route and the audit: named techniques, smallest reasons alone, a walkthrough held to them."""

from __future__ import annotations

from benchmarks.corpora import puzzles
from benchmarks.measure import Measured, Row, seconds, spread
from gridassay.encodings.puzzle import Puzzle
from gridassay.verify import Clock, audit, route, write_steps
from gridassay.verify.solving.board.position import Position
from gridassay.verify.solving.results import Route
from gridassay.verify.solving.routes import RouteWalk
from gridassay.verify.solving.truth import truth_of

LINKED = ("chain", "colouring", "almost", "wing", "skyscraper", "kite", "fish", "reason")
"""What the names of techniques hold that go beyond singles, sets and locked candidates."""


def full(name: str, quick: bool, linked: bool = False) -> Measured:
    """The route of each puzzle of a corpus to its end, in milliseconds; the first warms up.

    With ``linked``, of those only that need a wing, a chain or more.
    """
    times = []
    for puzzle in puzzles(name, 0, 16 if quick else 100):
        found: list[Route] = []
        spent = seconds(lambda p=puzzle, f=found: f.append(route(p, budget=60)))  # type: ignore[misc]
        if not found[0].solved:
            raise AssertionError(f"{puzzle.source}: the route does not reach the end")
        if not linked or any(word in one for one in found[0].techniques for word in LINKED):
            times.append(1e3 * spent.cpu)
    return spread(times[1:], f"{len(times)} puzzles, slowest {max(times):.0f} ms")


def _by_reasons(puzzle: Puzzle) -> list[float]:
    """Seconds for each step of a route of smallest reasons alone."""
    clock, position = Clock(120), Position.start(puzzle)
    truth = truth_of(puzzle, clock)
    walk = RouteWalk(puzzle, position, clock, (), [])
    times = []
    while truth.false_candidates(position):

        def step() -> None:
            idea = walk.next_reason(truth)
            if idea is None:
                raise AssertionError(f"{puzzle.source}: no reason is found")
            walk.take(idea)

        times.append(seconds(step).cpu)
    return times


def a_reason(name: str, quick: bool) -> Measured:
    """The smallest reason over all open eliminations, at each position of a route of reasons."""
    found = [_by_reasons(puzzle) for puzzle in puzzles(name, 0, 2 if quick else 6)]
    return spread([1e3 * time for times in found for time in times])


def by_reasons_alone(quick: bool) -> Measured:
    """The whole route of a hard grid, no named techniques."""
    found = [sum(_by_reasons(puzzle)) for puzzle in puzzles("hard9", 0, 3 if quick else 12)]
    return spread(found[1:])


def audited(quick: bool) -> Measured:
    """The first eighty steps of what a route writes, of routes that are so long, in milliseconds.

    All are written before any is audited: the route of a puzzle leaves behind what its audit needs.
    """
    walks: list[tuple[Puzzle, str]] = []
    for puzzle in puzzles("hard9"):
        steps = route(puzzle, budget=60).steps
        if len(steps) >= 80:
            walks.append((puzzle, write_steps(steps[:80], puzzle)))
        if len(walks) == (6 if quick else 24):
            break
    times = [
        1e3 * seconds(lambda p=puzzle, t=text: audit(p, t, budget=60)).cpu  # type: ignore[misc]
        for puzzle, text in walks
    ]
    return spread(times[1:])


ROWS = (
    Row(7, "route of a 17-given 9×9", "at most", 150, "ms", lambda quick: full("seventeen", quick)),
    Row(
        7,
        "route of a hard 9×9 that needs wings, chains or more",
        "at most",
        150,
        "ms",
        lambda quick: full("hard9", quick, linked=True),
    ),
    Row(
        7, "smallest reason, hard 9×9", "at most", 50, "ms", lambda quick: a_reason("hard9", quick)
    ),
    Row(7, "smallest reason, cages", "at most", 300, "ms", lambda quick: a_reason("cages9", quick)),
    Row(7, "route of smallest reasons alone, hard 9×9", "at most", 3, "s", by_reasons_alone),
    Row(7, "audit of 80 steps", "at most", 100, "ms", audited),
)
