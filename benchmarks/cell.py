"""One cell of a table, measured in its own process: a corpus, a solver, a choice of encodings.

As a program it takes a question in JSON and prints the answer in JSON; ``measure_apart`` runs
it. Solvers keep state, Python keeps caches, and one solver of python-sat aborts the process.
"""

from __future__ import annotations

import gc
import json
import sys
from collections.abc import Mapping
from dataclasses import asdict, dataclass, field, replace
from statistics import median
from time import process_time

from benchmarks.corpora import known_verdicts, puzzles
from benchmarks.measure import peak_of_this_process, process
from gridassay.encodings.cnf.compile import compile_model
from gridassay.encodings.cnf.registry import every_encoder
from gridassay.encodings.model import Model
from gridassay.encodings.puzzle import Puzzle, Solution
from gridassay.verify.budget import Clock, OutOfTime
from gridassay.verify.engines.sat import DEFAULT_SOLVER, SatEngine


@dataclass(frozen=True)
class Question:
    """A cell to measure: the first ``limit`` puzzles of a corpus from ``start``, ``budget`` s each.

    ``choices`` names the encoding of a constraint if it is not the configured one.
    """

    corpus: str
    choices: Mapping[str, str] = field(default_factory=dict)
    solver: str = DEFAULT_SOLVER
    start: int = 0
    limit: int | None = None
    budget: float = 20.0

    @property
    def puzzles(self) -> tuple[Puzzle, ...]:
        """The puzzles asked about."""
        return puzzles(self.corpus, self.start, self.limit)

    @property
    def part(self) -> slice:
        """The part of the corpus."""
        return slice(self.start, None if self.limit is None else self.start + self.limit)


@dataclass(frozen=True)
class Answer:
    """Seconds of processor time, and figures that do not depend on the machine, over all the puzzles.

    ``first`` and ``second`` are the median time to a first solution, and from there to the answer
    whether there is a second. ``problem`` says why there are no figures, if there are none.
    """

    verdicts: str = ""
    build: float = 0.0
    load: float = 0.0
    first: float = 0.0
    second: float = 0.0
    total: float = 0.0
    clauses: int = 0
    variables: int = 0
    literals: int = 0
    conflicts: int = 0
    propagations: int = 0
    megabytes: float = 0.0
    each: tuple[float, ...] = ()
    problem: str = ""


def measure(question: Question) -> Answer:
    """Measure in this process."""
    answer = Answer()
    engines: dict[Model, SatEngine] = {}
    verdicts, firsts, seconds = "", [], []
    for puzzle in question.puzzles:
        if puzzle.model not in engines:
            answer, engines[puzzle.model] = _built(puzzle.model, question, answer)
        verdict, first, second = _verdict(engines[puzzle.model], puzzle, Clock(question.budget))
        verdicts += verdict
        firsts.append(first)
        seconds.append(second)
    efforts = [engine.effort() for engine in engines.values()]
    each = tuple(round(a + b, 7) for a, b in zip(firsts, seconds, strict=True))
    return replace(
        answer,
        verdicts=verdicts,
        first=median(firsts),
        second=median(seconds),
        total=answer.build + answer.load + sum(each),
        conflicts=sum(effort.get("conflicts", 0) for effort in efforts),
        propagations=sum(effort.get("propagations", 0) for effort in efforts),
        megabytes=peak_of_this_process(),
        each=each,
    )


def _built(model: Model, question: Question, so_far: Answer) -> tuple[Answer, SatEngine]:
    """The engine for a model; building and loading are timed separately beforehand."""
    from pysat.solvers import Solver

    every_encoder()  # its first call imports all of them, which is not a part of building
    gc.collect()
    gc.disable()
    started = process_time()
    compiled = compile_model(model, question.choices)
    built = process_time()
    with Solver(name=question.solver) as solver:
        solver.append_formula(compiled.clauses)
        for literals, bound in compiled.writer.cardinalities:
            solver.add_atmost(literals, bound)
        loaded = process_time()
    gc.enable()
    answer = replace(
        so_far,
        build=so_far.build + built - started,
        load=so_far.load + loaded - built,
        clauses=so_far.clauses + len(compiled.clauses) + len(compiled.writer.cardinalities),
        variables=so_far.variables + compiled.variables,
        literals=so_far.literals
        + sum(map(len, compiled.clauses))
        + sum(len(literals) for literals, _ in compiled.writer.cardinalities),
    )
    del compiled
    return answer, SatEngine(model, Clock(600), question.choices, question.solver)


def _verdict(engine: SatEngine, puzzle: Puzzle, clock: Clock) -> tuple[str, float, float]:
    """The letter of a verdict, the time to a first solution, the time from there.

    The letter is ? if the time ran out, and ! if a solution fails the plain reading.
    """
    started = found = process_time()
    try:
        solution = engine.solve(puzzle.givens, clock)
        found = process_time()
        if solution is None:
            return "n", found - started, 0.0
        if _is_none(puzzle, solution):
            return "!", found - started, 0.0
        again = process_time()
        other = engine.forbid(solution)
        second = engine.solve(puzzle.givens, clock, demands=[other])
        engine.retire(other)
        ended = process_time()
    except OutOfTime:
        return "?", found - started, process_time() - found
    letter = "u" if second is None else "!" if _is_none(puzzle, second) else "m"
    return letter, found - started, ended - again


def _is_none(puzzle: Puzzle, solution: Solution) -> bool:
    """Whether it is not a solution, or does not even have one digit per cell."""
    return len(solution) != len(puzzle.board.shown) or any(puzzle.violations(solution))


def measure_apart(question: Question) -> Answer:
    """Measure in a fresh process. Answers that differ from the known ones are a problem, not a figure."""
    asked = json.dumps(asdict(question))
    finished = process("-W", "ignore", "-m", "benchmarks.cell", asked)
    if finished.returncode:
        said = finished.stderr.strip().splitlines() or [f"stopped with {finished.returncode}"]
        return Answer(problem=said[-1])
    found = json.loads(finished.stdout.splitlines()[-1])
    answer = Answer(**{**found, "each": tuple(found["each"])})
    return replace(answer, problem=wrong(question, answer))


def wrong(question: Question, answer: Answer) -> str:
    """The fault in the verdicts, or empty."""
    known = known_verdicts(question.corpus)[question.part]
    if "?" in answer.verdicts:
        return f"{answer.verdicts.count('?')} of {len(known)} undecided in {question.budget:g} s"
    differ = [
        n for n, pair in enumerate(zip(known, answer.verdicts, strict=True)) if len({*pair}) > 1
    ]
    if differ:
        return f"WRONG on {len(differ)} of {len(known)} puzzles, number {differ[0] + 1} first"
    return ""


if __name__ == "__main__":
    print(json.dumps(asdict(measure(Question(**json.loads(sys.argv[1]))))))
