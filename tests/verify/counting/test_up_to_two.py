"""The verdict asks with more force the longer it takes, and is the same whoever answers.

Verdicts of the corpora are those recorded in benchmarks/corpora/index.json, on which SAT and CP-SAT
agree; that a 17-given grid has one solution is published (Royle's collection).
"""

from __future__ import annotations

import multiprocessing
import os
import time
from contextlib import closing

import pytest

from benchmarks.corpora import known_verdicts, puzzles
from gridassay.encodings.documents import read_document
from gridassay.encodings.grid import Cell
from gridassay.encodings.puzzle import Fact, Puzzle, Solution
from gridassay.verify import check
from gridassay.verify.budget import Clock, TooHard
from gridassay.verify.counting import up_to_two
from gridassay.verify.counting.up_to_two import count_to_two
from gridassay.verify.engines import forget_engines, sat_engine_for
from gridassay.verify.engines.one_shot import OutrightEngine
from gridassay.verify.engines.second_engine import AnswerFound, SecondEngine
from gridassay.verify.faults import Disagreement

CLOCK = Clock(float("inf"))
NONE = 'size = 4\ngivens = """\n1...\n.1..\n....\n....\n"""'


def outright(puzzle: Puzzle) -> list[Solution]:
    found: list[Solution] = []
    with closing(OutrightEngine(puzzle.model, puzzle.givens, CLOCK)) as engine:
        while len(found) < 2 and (another := engine.solve(CLOCK)):
            found.append(another)
            engine.rule_out(another)
    return found


@pytest.mark.parametrize(
    ("corpus", "number"),
    [("damaged9", 60), ("seventeen", 8), ("cages9", 4), ("triples9", 2), ("large16", 2)],
)
def test_facts_give_the_recorded_verdicts(corpus: str, number: int) -> None:
    found = [outright(puzzle) for puzzle in puzzles(corpus, limit=number)]
    assert "".join("num"[len(some)] for some in found) == known_verdicts(corpus)[:number]
    for puzzle, some in zip(puzzles(corpus, limit=number), found, strict=True):
        assert len(set(some)) == len(some)
        assert [list(puzzle.violations(solution)) for solution in some] == [[]] * len(some)


def test_a_fact_that_cannot_be_leaves_nothing() -> None:
    puzzle = read_document("size = 4")
    with closing(OutrightEngine(puzzle.model, [Fact(Cell(1, 1), 7)], CLOCK)) as engine:
        assert engine.solve(CLOCK) is None


def test_only_the_premises_named_bind() -> None:
    # 16 cells of four digits with no house at all: 1 in each of two cells of a row is a solution.
    puzzle = read_document(NONE)
    assert outright(puzzle) == []
    with closing(OutrightEngine(puzzle.model, puzzle.givens, CLOCK, on=["row 1"])) as engine:
        solution = engine.solve(CLOCK)
    assert solution is not None
    assert solution[0] == solution[5] == 1
    assert sorted(solution[:4]) == [1, 2, 3, 4]


@pytest.mark.parametrize("place", range(12))
def test_what_the_shared_solver_leaves_is_finished(
    place: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    (puzzle,) = puzzles("damaged9", place, 1)
    sat_engine_for(puzzle, CLOCK)  # loaded, so that it is asked first
    asked: list[Puzzle] = []

    def gives_up(
        puzzle: Puzzle, engine: object, clock: Clock, found: list[Solution], *_: int
    ) -> None:
        asked.append(puzzle)
        found += outright(puzzle)[:1]
        raise TooHard

    monkeypatch.setattr(up_to_two, "ask_engine", gives_up)
    assert check(puzzle).status[0] == known_verdicts("damaged9")[place]
    assert asked == [puzzle]


def test_an_effort_that_is_spent_ends_a_question() -> None:
    (puzzle,) = puzzles("triples9", 0, 1)
    with pytest.raises(TooHard):
        sat_engine_for(puzzle, CLOCK).solve([], CLOCK, effort=0)


def told(puzzle: Puzzle) -> tuple[Solution, ...]:
    with closing(SecondEngine(puzzle, CLOCK, 0.0)) as other:
        while True:
            try:
                other.look()
            except AnswerFound as answered:
                return answered.solutions
            time.sleep(0.01)


def test_the_second_engine_tells_all_solutions_or_two() -> None:
    (unique,) = puzzles("seventeen", 0, 1)
    assert told(unique) == tuple(outright(unique))
    assert told(read_document(NONE)) == ()
    assert len(set(told(read_document("size = 4")))) == 2


def test_the_second_engine_ends_when_it_is_not_wanted() -> None:
    (puzzle,) = puzzles("seventeen", 0, 1)
    with closing(SecondEngine(puzzle, CLOCK, 0.0)) as other:
        other.look()
        process = other._process
    assert process is not None
    assert process.returncode is not None
    with pytest.raises(ProcessLookupError):
        os.kill(process.pid, 0)


def test_a_worker_has_no_second_engine() -> None:
    with multiprocessing.get_context("spawn").Pool(1) as pool:
        assert pool.apply(started_in_a_worker) is False


def started_in_a_worker() -> bool:
    (puzzle,) = puzzles("seventeen", 0, 1)
    with closing(SecondEngine(puzzle, CLOCK, 0.0)) as other:
        other.look()
        return other._process is not None


def test_engines_that_contradict_each_other_are_a_fault(monkeypatch: pytest.MonkeyPatch) -> None:
    (puzzle,) = puzzles("seventeen", 0, 1)
    forget_engines()

    def contradicted(self: OutrightEngine, clock: Clock, between: object = None) -> Solution:
        if found:
            raise AnswerFound(())
        return solution

    (solution,) = outright(puzzle)
    found: list[Solution] = []
    monkeypatch.setattr(OutrightEngine, "solve", contradicted)
    with pytest.raises(Disagreement, match="cp says that there is nothing"):
        count_to_two(puzzle, CLOCK, found, beside=False)


def test_the_first_engine_shows_the_same_two_solutions_each_time() -> None:
    several = [p for p in puzzles("damaged9", limit=20) if check(p).status == "multiple"]
    shown = []
    for _ in range(2):
        forget_engines()
        shown.append([check(puzzle, engine="sat").solutions for puzzle in several * 2])
    assert shown[0] == shown[1]
