"""The verdict: has a puzzle none, one or several solutions?

Counting stops at two. Two solutions differ when a cell or a declared unknown differs; nothing else
about them counts. Every solution in a verdict has been read back in plain Python against all givens,
houses and rules before it is given out.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Literal

from gridassay.encodings.constraints import Variable
from gridassay.encodings.puzzle import Puzzle, Solution
from gridassay.verify.budget import DEFAULT_SECONDS, Clock, OutOfTime, building
from gridassay.verify.engines import ENGINES, EngineName, engine_for
from gridassay.verify.engines.questions import Engine
from gridassay.verify.in_short import InShort

Status = Literal["unique", "multiple", "none", "undecided"]
STATUSES: tuple[Status, Status, Status] = ("none", "unique", "multiple")
"""The status by the number of solutions, counted up to two."""


class Disagreement(AssertionError):
    """Two witnesses contradict each other: a fault in gridassay, never in the puzzle."""


@dataclass(frozen=True, repr=False)
class Verdict(InShort):
    """The status of a puzzle, with the solutions that show it (at most two) and the seconds taken.

    ``undecided`` with one solution: it has one, and whether it has a second is open.
    """

    puzzle: Puzzle
    status: Status
    solutions: tuple[Solution, ...]
    engine: str
    seconds: float

    def in_short(self) -> str:
        """The status, what differs, who says so."""
        told = f" in {' '.join(map(str, self.differs))}" if self.differs else ""
        return f"{self.status}{told} ({self.engine}, {1000 * self.seconds:.1f} ms)"

    @property
    def met(self) -> bool:
        """Whether the puzzle is what it is held to: its own expectation, else one solution."""
        return self.status == (self.puzzle.expect or "unique")

    @property
    def differs(self) -> tuple[Variable, ...]:
        """The cells and unknowns in which the two solutions of ``multiple`` differ."""
        if len(self.solutions) < 2:
            return ()
        shown = self.puzzle.board.shown
        pairs = zip(shown, *self.solutions, strict=True)
        return tuple(variable for variable, first, second in pairs if first != second)

    def to_json(self) -> dict[str, Any]:
        """The keys of the JSON contract."""
        puzzle = self.puzzle
        result: dict[str, Any] = {
            "title": puzzle.title,
            "source": puzzle.source,
            "verdict": self.status,
            "solutions": [puzzle.line(solution) for solution in self.solutions],
            "engine": self.engine,
            "seconds": round(self.seconds, 6),
        }
        if puzzle.board.letters or puzzle.doublers:
            result["unknowns"] = [puzzle.unknowns(solution) for solution in self.solutions]
        if puzzle.warnings:
            result["warnings"] = list(puzzle.warnings)
        if puzzle.layers:
            result["layers"] = [puzzle.layers_shown(solution) for solution in self.solutions]
        if self.status == "multiple":
            result["differs"] = [str(variable) for variable in self.differs]
        return result


def check(
    puzzle: Puzzle,
    *,
    engine: EngineName | Literal["both"] = "sat",
    budget: float | Clock = DEFAULT_SECONDS,
) -> Verdict:
    """Tell whether a puzzle has none, one or several solutions.

    ``budget`` is in seconds, building included, or a clock already running; when it runs out the
    status is ``undecided`` and ``solutions`` holds what was found. With ``both`` engines each gets
    its say and Disagreement is raised when they contradict each other. Raises PuzzleError, with the
    limit, where what the puzzle says takes more room than there is, and ValueError where there is no
    engine of that name.
    """
    if engine not in (*ENGINES, "both"):
        raise ValueError(f"there is no engine {engine!r}: sat, cp or both")
    clock = Clock.of(budget)
    if engine != "both":
        return _ask(puzzle, engine, clock)
    first, second = _ask(puzzle, "sat", clock), _ask(puzzle, "cp", clock)
    return _reconcile(first, second, clock)


def _ask(puzzle: Puzzle, name: EngineName, clock: Clock) -> Verdict:
    started = clock.spent()
    found: list[Solution] = []
    status: Status
    try:
        with building(puzzle, clock):
            status = _count(puzzle, engine_for(puzzle, clock, name), clock, found)
    except OutOfTime:
        status = "undecided"
    for solution in found:
        confirm(puzzle, solution, name)
    return Verdict(puzzle, status, tuple(found), name, clock.spent() - started)


def confirm(puzzle: Puzzle, solution: Solution, engine: str) -> None:
    """Read a solution back in plain Python; raises Disagreement naming what it breaks."""
    broken = next(puzzle.broken(solution), None)
    if broken is not None:
        raise Disagreement(
            f"{puzzle.source}: the {engine} engine gives {puzzle.whole(solution)}, "
            f"which by plain reading breaks {broken}"
        )


def _count(puzzle: Puzzle, engine: Engine, clock: Clock, found: list[Solution]) -> Status:
    first = engine.solve(puzzle.givens, clock)
    if first is None:
        return "none"
    found.append(first)
    other = engine.forbid(first)
    try:
        second = engine.solve(puzzle.givens, clock, demands=[other])
    finally:
        engine.retire(other)
    if second is None:
        return "unique"
    found.append(second)
    return "multiple"


def _reconcile(sat: Verdict, cp: Verdict, clock: Clock) -> Verdict:
    settled = [verdict for verdict in (sat, cp) if verdict.status != "undecided"]
    differ = len({verdict.status for verdict in settled}) > 1
    unequal = sat.status == cp.status == "unique" and sat.solutions != cp.solutions
    outnumbered = any(
        len(one.solutions) > {"none": 0, "unique": 1}.get(other.status, 2)
        for one, other in ((sat, cp), (cp, sat))
    )
    if differ or unequal or outnumbered:
        said = "; ".join(
            f"{v.engine} says {v.status} {' '.join(map(v.puzzle.whole, v.solutions))}".strip()
            for v in (sat, cp)
        )
        raise Disagreement(f"{sat.puzzle.source}: the engines disagree: {said}")
    # Two undecided opinions, or one of each, are only as good as the weaker: both must have spoken.
    weaker = sat if sat.status == "undecided" else cp
    return Verdict(sat.puzzle, weaker.status, weaker.solutions, "both", clock.spent())
