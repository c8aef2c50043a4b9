"""Counting solutions up to two, with stronger methods the longer it takes.

First the shared solver is asked (``engines/sat.py``), which has the houses loaded and assumes the
rest, for EFFORT conflicts: that decides all but a few puzzles made by hand. A puzzle that it finds
hard, or on a canvas that was not asked about before, gets a fresh solver with everything fixed
stated as fact (``engines/one_shot.py``). After BESIDE_AFTER seconds, if it is wanted, the second
engine works on the same puzzle in a process of its own (``engines/second_engine.py``), and whichever is
first answers.

The steps of the first engine are counted in conflicts, never in seconds, so that it gives the same
answer whenever it starts afresh. Which engine was quicker does depend on the machine, and so do the
two solutions shown of several; the verdict never does.
"""

from __future__ import annotations

from contextlib import closing

from gridassay.encodings.puzzle import Puzzle, Solution
from gridassay.verify.budget import Clock, TooHard
from gridassay.verify.engines import is_familiar, sat_engine_for
from gridassay.verify.engines.one_shot import OutrightEngine
from gridassay.verify.engines.questions import Engine, another
from gridassay.verify.engines.second_engine import AnswerFound, SecondEngine
from gridassay.verify.faults import Disagreement

EFFORT = 2000
"""Conflicts after which the shared solver gives up. Hard classic 9×9 grids take a few hundred."""

BESIDE_AFTER = 1.0
"""Seconds after which the second engine starts."""


def count_to_two(puzzle: Puzzle, clock: Clock, found: list[Solution], *, beside: bool) -> str:
    """Fill ``found`` with different solutions, two or all there are, and return the name of the engine.

    With ``beside`` the second engine joins in. Raises OutOfTime, with ``found`` as far as it came.
    """
    if is_familiar(puzzle.model):
        try:
            ask_engine(puzzle, sat_engine_for(puzzle, clock), clock, found, EFFORT)
        except TooHard:
            pass
        else:
            return "sat"
    try:
        with closing(SecondEngine(puzzle, clock, BESIDE_AFTER if beside else None)) as other:
            _outright(puzzle, clock, found, other)
    except AnswerFound as answered:
        _take(puzzle, found, answered.solutions)
        return "cp"
    return "sat"


def ask_engine(
    puzzle: Puzzle, engine: Engine, clock: Clock, found: list[Solution], effort: int | None = None
) -> None:
    """Fill ``found`` with different solutions, two or all there are. Raises OutOfTime and TooHard.

    ``effort`` is in conflicts, for each of the two questions; only the first engine counts them.
    """
    first = engine.solve(puzzle.givens, clock, effort=effort)
    if first is None:
        return
    found.append(first)
    second = another(engine, puzzle.givens, first, clock, effort=effort)
    if second is not None:
        found.append(second)


def _outright(puzzle: Puzzle, clock: Clock, found: list[Solution], other: SecondEngine) -> None:
    with closing(OutrightEngine(puzzle.model, puzzle.givens, clock)) as engine:
        for solution in found:
            engine.rule_out(solution)
        while len(found) < 2:
            another = engine.solve(clock, other.look)
            if another is None:
                return
            found.append(another)
            engine.rule_out(another)


def _take(puzzle: Puzzle, found: list[Solution], told: tuple[Solution, ...]) -> None:
    """Replace what was found by the second engine's solutions, which must agree with it."""
    strangers = [solution for solution in found if solution not in told]
    if strangers and len(told) < 2:
        raise Disagreement(
            f"{puzzle.source}: the engines disagree: cp says that there is nothing but "
            f"{' '.join(map(puzzle.line, told)) or 'nothing'}, sat found {puzzle.line(strangers[0])}"
        )
    found[:] = told
