"""Faults planted on purpose: ``python -m tests.attack.planted [NAME …]`` tells how soon each is found.

An attack that finds nothing means something only if it would have found a fault.
"""

from __future__ import annotations

import random
import sys
import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from importlib import import_module
from unittest.mock import patch

from gridassay.encodings.cnf.registry import ENCODERS
from gridassay.encodings.cnf.writer import Writer
from gridassay.encodings.constraints import Compare
from gridassay.encodings.rules.set_lines import Renban
from gridassay.verify.batch import run as batch_run
from gridassay.verify.clue_worth import effects
from gridassay.verify.counting.solution_count import SolutionCount
from gridassay.verify.engines import forget_engines
from gridassay.verify.proof.recheck import _Bench

from .failures import Failure, Found

MINUTE = 60.0


@dataclass(frozen=True)
class Fault:
    """A fault: the part that should find it, and how it is planted."""

    part: str
    plant: Callable[[], object]


def _compare(writer: Writer, constraint: Compare) -> None:
    """Comparisons that forbid too much: equality if it is allowed."""
    sound = _SOUND_COMPARE
    if constraint.relation == "<=" and constraint.offset == 0:
        constraint = Compare(constraint.left, "<=", constraint.right, -1)
    sound(writer, constraint)


_SOUND_COMPARE = ENCODERS["Compare"]["order"]


def _count(*arguments: object) -> SolutionCount:
    """Counts that miss one solution."""
    count = _SOUND_COUNT(*arguments)  # type: ignore[arg-type]
    return SolutionCount(count.count - (count.count > 2), exact=count.exact)


_SOUND_COUNT = effects.solution_count


def _left(files: object, done: dict[str, str], questions: object) -> Iterator[object]:
    """A resumed batch that forgets a puzzle."""
    left = list(_SOUND_LEFT(files, done, questions))  # type: ignore[arg-type]
    yield from left[:-1] if done else left


_SOUND_LEFT = batch_run._left_to_do

FAULTS = {
    "an encoder": Fault(
        "differential", lambda: patch.dict(ENCODERS["Compare"], {"order": _compare})
    ),
    "a plain reading": Fault(
        "differential", lambda: patch.object(Renban, "holds", lambda self, filled: True)
    ),
    "the clue analyser": Fault(
        "differential", lambda: patch.object(effects, "solution_count", _count)
    ),
    "recheck": Fault(
        "certificates", lambda: patch.object(_Bench, "_check_clauses", lambda self: "they are fine")
    ),
    "batch": Fault("batches", lambda: patch.object(batch_run, "_left_to_do", _left)),
}


@contextmanager
def planted(name: str) -> Iterator[None]:
    """Plant a fault while the block runs; nothing compiled before is used in it, or after it."""
    forget_engines()
    with FAULTS[name].plant():  # type: ignore[attr-defined]
        yield
    forget_engines()


def hunt(
    name: str, seconds: float = MINUTE, first: int | None = None
) -> tuple[Failure | None, int]:
    """The check that finds a planted fault, and with how many seeds; None if none does."""
    one: Callable[[int], Found] = import_module(f"tests.attack.{FAULTS[name].part}").one
    seed = random.randrange(10**9) if first is None else first
    ends, seeds = time.process_time() + seconds, 0
    with planted(name):
        while time.process_time() < ends:
            found = one(seed + seeds)
            seeds += 1
            if found.failure:
                return found.failure, seeds
    return None, seeds


def main(names: Sequence[str]) -> int:
    """Plant each fault and look for it; return 1 if one survives for a minute."""
    alive = 0
    for name in names or list(FAULTS):
        started = time.process_time()
        failure, seeds = hunt(name)
        took = time.process_time() - started
        alive += failure is None
        what = failure.what.splitlines()[0][:90] if failure else "NOT FOUND"
        print(f"{name:<18} {took:5.1f} s, {seeds:>5} seeds: {what}", flush=True)
    return int(alive > 0)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
