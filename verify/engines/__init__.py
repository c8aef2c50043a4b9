"""Engines: one SAT, one CP, the same questions (``questions.py``).

An engine belongs to the thread that made it (``by_thread.py``): what is kept here is kept for each.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

from gridassay.encodings.puzzle import Model, Puzzle
from gridassay.verify.budget import Clock, building
from gridassay.verify.engines.by_thread import kept_by_thread
from gridassay.verify.engines.lending import forget_lent
from gridassay.verify.engines.questions import Engine
from gridassay.verify.engines.sat import SatEngine

if TYPE_CHECKING:
    from gridassay.verify.engines.enumerator import Enumerator

EngineName = Literal["sat", "cp"]
ENGINES: tuple[EngineName, ...] = ("sat", "cp")


def engine_for(puzzle: Puzzle, clock: Clock, name: EngineName = "sat") -> Engine:
    """The engine for a puzzle's houses and rules, compiled once a thread and kept for more questions.

    Puzzles on one plain canvas share an engine. Raises OutOfTime when compiling outlasts the clock,
    and ValueError where there is no engine of that name.
    """
    if name not in ENGINES:
        raise ValueError(f"there is no engine {name!r}: sat or cp")
    if name == "cp":
        from gridassay.verify.engines.cp import CpEngine

        with building(puzzle, clock):
            return CpEngine(puzzle.model)
    return sat_engine_for(puzzle, clock)


def sat_engine_for(puzzle: Puzzle, clock: Clock) -> SatEngine:
    """The SAT engine for a puzzle's houses and rules. Raises OutOfTime as ``engine_for`` does."""
    with building(puzzle, clock):
        engine = _kept(puzzle.model, _Uncompared(clock))
        if not engine.sound:
            _kept.forget()
            engine = _kept(puzzle.model, _Uncompared(clock))
        return engine


def enumerator_for(model: Model, clock: Clock) -> Enumerator:
    """The enumerator of a model, kept for further counts. Raises OutOfTime as compiling may."""
    return _kept_enumerator(model, _Uncompared(clock))


def forget_engines() -> None:
    """Let every engine go that is kept for this thread, so that its next question starts anew.

    What a solver has learnt decides which of several right answers it gives.
    """
    _kept.forget()
    _kept_enumerator.forget()
    forget_lent()  # after the engines, which give back what they borrowed


class _Uncompared:
    """Carries the clock past the cache without being part of its key."""

    def __init__(self, clock: Clock) -> None:
        self.clock = clock

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Uncompared)

    def __hash__(self) -> int:
        return 0


@kept_by_thread(16)
def _kept(model: Model, carried: _Uncompared) -> SatEngine:
    return SatEngine(model, carried.clock)


@kept_by_thread(4)
def _kept_enumerator(model: Model, carried: _Uncompared) -> Enumerator:
    # Imported here: loading clingo takes longer than most counts that need it.
    from gridassay.verify.engines.enumerator import Enumerator

    return Enumerator(model, carried.clock)
