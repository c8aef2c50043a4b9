"""The verdict: does a puzzle have no solution, one solution or several?

Counting stops at two. Two solutions differ when a cell or a declared unknown differs; nothing else
about them counts. Every solution in a verdict has been read back in plain Python against all givens,
houses and rules before it is given out. That there is no other rests on one solver's word, unless
``engine="both"`` is used, and can be proved by a certificate (``proof/certificate.py`` makes it,
``proof/recheck.py`` checks it).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Literal

from gridassay.encodings.constraints import Variable
from gridassay.encodings.puzzle import Puzzle, Solution
from gridassay.verify.budget import DEFAULT_SECONDS, Clock, OutOfTime, building, expect
from gridassay.verify.counting.up_to_two import ask_engine, count_to_two
from gridassay.verify.engines import ENGINES, EngineName, engine_for
from gridassay.verify.faults import Disagreement
from gridassay.verify.in_short import InShort

Status = Literal["unique", "multiple", "none", "undecided"]
STATUSES: tuple[Status, Status, Status] = ("none", "unique", "multiple")
"""The status by the number of solutions, counted up to two."""


@dataclass(frozen=True, repr=False)
class Verdict(InShort):
    """The status of a puzzle, with the solutions that show it (at most two) and the seconds taken.

    ``undecided`` with one solution: whether there is a second is open.
    """

    puzzle: Puzzle
    status: Status
    solutions: tuple[Solution, ...]
    engine: str
    seconds: float

    def in_short(self) -> str:
        """The status, what differs, and which engine says so."""
        told = f" in {' '.join(map(str, self.differs))}" if self.differs else ""
        return f"{self.status}{told} ({self.engine}, {1000 * self.seconds:.1f} ms)"

    @property
    def met(self) -> bool:
        """Whether the puzzle meets its own expectation, or else has one solution."""
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
        if puzzle.layers:
            result["layers"] = [puzzle.layers_shown(solution) for solution in self.solutions]
        if self.status == "multiple":
            result["differs"] = [str(variable) for variable in self.differs]
        return result


def check(
    puzzle: Puzzle,
    *,
    engine: EngineName | Literal["any", "both"] = "any",
    budget: float | Clock = DEFAULT_SECONDS,
) -> Verdict:
    """Find whether a puzzle has no solution, one or several.

    ``budget`` is in seconds, building included, or a clock already running; when it runs out the
    status is ``undecided`` and ``solutions`` holds what was found. ``sat`` and ``cp`` are the two
    engines, ``any`` the first of them, joined by the second when it takes long; the one that
    answered is named. With ``both``, each engine answers, and Disagreement is raised if they
    contradict each other. Raises PuzzleError, with the limit, if what the puzzle says takes more
    room than there is, and ValueError if there is no engine of that name.
    """
    expect("check", "Puzzle", puzzle)
    if engine not in (*ENGINES, "any", "both"):
        raise ValueError(f"there is no engine {engine!r}: any, sat, cp or both")
    clock = Clock.of(budget)
    if engine != "both":
        return _ask(puzzle, engine, clock)
    first, second = _ask(puzzle, "sat", clock), _ask(puzzle, "cp", clock)
    return _reconcile(first, second, clock)


def _ask(puzzle: Puzzle, name: EngineName | Literal["any"], clock: Clock) -> Verdict:
    started = clock.time_spent()
    found: list[Solution] = []
    status: Status
    answered = "cp" if name == "cp" else "sat"
    try:
        with building(puzzle, clock):
            if name == "cp":
                ask_engine(puzzle, engine_for(puzzle, clock, name), clock, found)
            else:
                answered = count_to_two(puzzle, clock, found, beside=name == "any")
        status = STATUSES[len(found)]
    except OutOfTime:
        status = "undecided"
    for solution in found:
        confirm(puzzle, solution, answered)
    return Verdict(puzzle, status, tuple(found), answered, clock.time_spent() - started)


def confirm(puzzle: Puzzle, solution: Solution, engine: str) -> None:
    """Read a solution back in plain Python; raises Disagreement naming what it breaks."""
    broken = next(puzzle.violations(solution), None)
    if broken is not None:
        raise Disagreement(
            f"{puzzle.source}: the {engine} engine gives {puzzle.whole(solution)}, "
            f"which by plain reading breaks {broken}"
        )


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
    # Two opinions are only as good as the weaker one: both engines must have answered.
    weaker = sat if sat.status == "undecided" else cp
    return Verdict(sat.puzzle, weaker.status, weaker.solutions, "both", clock.time_spent())
