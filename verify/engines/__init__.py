"""Engines: one SAT, one CP, the same questions (``questions.py``).

An engine belongs to the thread that made it (``by_thread.py``): everything kept here is kept per thread.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal
from weakref import WeakKeyDictionary

from gridassay.encodings.model import Model
from gridassay.encodings.puzzle import Puzzle
from gridassay.verify.budget import Clock, building
from gridassay.verify.engines.by_thread import kept_by_thread
from gridassay.verify.engines.questions import Engine
from gridassay.verify.engines.sat import SatEngine
from gridassay.verify.engines.shared_solvers import forget_lent

if TYPE_CHECKING:
    from gridassay.verify.engines.enumerator import Enumerator

EngineName = Literal["sat", "cp"]
ENGINES: tuple[EngineName, ...] = ("sat", "cp")


def engine_for(puzzle: Puzzle, clock: Clock, name: EngineName = "sat") -> Engine:
    """The engine for a puzzle's houses and rules, compiled once per thread and kept for more questions.

    Puzzles on one plain canvas share an engine. Raises OutOfTime if compiling outlasts the clock,
    and ValueError if there is no engine of that name.
    """
    if name not in ENGINES:
        raise ValueError(f"there is no engine {name!r}: sat or cp")
    if name == "cp":
        from gridassay.verify.engines.cp import CpEngine

        with building(puzzle, clock):
            return CpEngine(puzzle.model)
    return sat_engine_for(puzzle, clock)


def sat_engine_for(puzzle: Puzzle, clock: Clock, *, for_steps: bool = False) -> SatEngine:
    """The SAT engine for a puzzle's houses and rules. Raises OutOfTime as ``engine_for`` does.

    The one ``for_steps`` decides what follows from some premises alone (``Model.with_free_letters``).
    """
    model = puzzle.model.with_free_letters if for_steps else puzzle.model
    with building(puzzle, clock):
        _times_met[model] = ALWAYS
        engine = _cached_engine(model, _Uncompared(clock))
        if not engine.sound:
            _cached_engine.forget()
            engine = _cached_engine(model, _Uncompared(clock))
        return engine


def is_familiar(model: Model) -> bool:
    """Whether the shared solver is worth loading; counts the verdicts on a model.

    A single puzzle on a canvas is decided sooner by its own solver, and so is a puzzle with its own
    rules (1.7 times as fast over the corpus of variants, with or without the houses at hand). If
    the same houses and rules come again with other givens, the shared solver is loaded after as
    many verdicts as pay for it: 1 on 9×9, 3 on 16×16, 7 on 25×25.
    """
    times = _times_met.get(model, 0)
    _times_met[model] = times + 1
    return times >= max(1, len(model.shown) // 81)


def enumerator_for(model: Model, clock: Clock) -> Enumerator:
    """The enumerator of a model, kept for further counts. Raises OutOfTime as compiling may."""
    return _kept_enumerator(model, _Uncompared(clock))


def forget_engines() -> None:
    """Release every engine kept for this thread, so that its next question starts afresh.

    A solver that has learnt something may give another of several right answers.
    """
    _times_met.clear()
    _cached_engine.forget()
    _kept_enumerator.forget()
    forget_lent()  # after the engines, which return what they borrowed


_times_met: WeakKeyDictionary[Model, float] = WeakKeyDictionary()
ALWAYS = float("inf")


class _Uncompared:
    """Carries the clock past the cache without being part of its key."""

    def __init__(self, clock: Clock) -> None:
        self.clock = clock

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Uncompared)

    def __hash__(self) -> int:
        return 0


@kept_by_thread(16)
def _cached_engine(model: Model, carried: _Uncompared) -> SatEngine:
    return SatEngine(model, carried.clock)


@kept_by_thread(4)
def _kept_enumerator(model: Model, carried: _Uncompared) -> Enumerator:
    # Imported here: loading clingo takes longer than most counts that need it.
    from gridassay.verify.engines.enumerator import Enumerator

    return Enumerator(model, carried.clock)
