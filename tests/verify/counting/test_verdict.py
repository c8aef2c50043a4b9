"""Verdicts against the outside world: published grids and counts, clingo, Z3, and both engines."""

from __future__ import annotations

import random
from itertools import pairwise
from typing import Literal

import clingo
import pytest
import z3

from gridassay.encodings.cnf.at_most_one import AT_MOST_ONE
from gridassay.encodings.grid import Canvas, Grid, canvas_of, classic
from gridassay.encodings.puzzle import Fact, Puzzle
from gridassay.verify import Clock, Disagreement, Verdict, check, read
from gridassay.verify.counting.solution_count import solution_count
from gridassay.verify.counting.verdict import _reconcile
from gridassay.verify.engines import engine_for
from gridassay.verify.engines.cp import CpEngine
from gridassay.verify.engines.sat import SatEngine

from ... import published
from ...hard import PIGEONS

CLOCK = Clock(float("inf"))
IRREGULAR = canvas_of([Grid(4, regions="AABBACBBACDDCCDD")])
LATIN = classic(5)
TWO_GRIDS = canvas_of([Grid(4, box=(2, 2)), Grid(4, at=classic(6).cells[14], box=(2, 2), name="B")])


def random_puzzles(canvas: Canvas, number: int, seed: int) -> list[Puzzle]:
    """Puzzles at every density, some with a digit changed: unique, several and none all occur."""
    rng = random.Random(seed)
    engine = engine_for(Puzzle(canvas), CLOCK)
    made = []
    while len(made) < number:
        start = Fact(rng.choice(canvas.cells), rng.choice(canvas.digits))
        again = Fact(rng.choice(canvas.cells), rng.choice(canvas.digits))
        solution = engine.solve([start, again], CLOCK)
        if solution is None:
            continue
        facts = [Fact(c, d) for c, d in zip(canvas.cells, solution, strict=True)]
        givens = rng.sample(facts, rng.randint(2, len(facts) - 1))
        if rng.random() < 0.3:
            given = givens.pop()
            givens.append(Fact(given.variable, rng.choice(canvas.digits)))
        made.append(Puzzle(canvas, tuple(givens)))
    return made


CORPUS = [
    *random_puzzles(classic(4), 20, 1),
    *random_puzzles(IRREGULAR, 20, 2),
    *random_puzzles(LATIN, 20, 3),
    *random_puzzles(TWO_GRIDS, 20, 4),
    *random_puzzles(classic(6), 20, 5),
    *random_puzzles(classic(9), 10, 6),
    *(read(line) for line in published.SEVENTEEN[:3]),
]


@pytest.mark.parametrize(
    ("line", "solution"),
    [
        (published.ENCYCLOPAEDIA, published.ENCYCLOPAEDIA_SOLUTION),
        (published.LIBRARY, published.LIBRARY_SOLUTION),
        (published.killer(), published.KILLER_SOLUTION),
    ],
)
@pytest.mark.parametrize("engine", ["sat", "cp"])
def test_published_examples_have_the_printed_solution(
    line: str, solution: str, engine: Literal["sat", "cp"]
) -> None:
    verdict = check(read(line), engine=engine)
    assert verdict.status == "unique"
    assert verdict.puzzle.line(verdict.solutions[0]) == solution


@pytest.mark.parametrize("line", published.SEVENTEEN)
def test_published_seventeens_are_unique_and_no_sixteen_is(line: str) -> None:
    # McGuire, Tugemann and Civario 2014: no 16-given grid has one solution.
    puzzle = read(line)
    assert len(puzzle.givens) == 17
    assert check(puzzle).status == "unique"
    for given in puzzle.givens:
        rest = tuple(other for other in puzzle.givens if other != given)
        assert check(Puzzle(puzzle.canvas, rest)).status == "multiple"


@pytest.mark.parametrize(
    ("canvas", "givens", "count", "engine"),
    [
        # 288 4×4 sudoku grids: exhaustive, published in Felgenhauer and Jarvis 2006 among others.
        (classic(4), "", 288, "sat"),
        (classic(4), "", 288, "cp"),
        # Latin squares of order 4 and 5: OEIS A002860, 576 and 161,280 = 5! · 1344.
        (canvas_of([Grid(4)]), "", 576, "sat"),
        (LATIN, "12345", 1344, "sat"),
    ],
)
def test_published_counts(
    canvas: Canvas, givens: str, count: int, engine: Literal["sat", "cp"]
) -> None:
    facts = [Fact(c, int(d)) for c, d in zip(canvas.cells, givens, strict=False)]
    asked = engine_for(Puzzle(canvas), CLOCK, engine)
    assert solution_count(asked, facts, CLOCK, limit=2000).count == count


def test_engines_agree_with_each_other_and_with_clingo() -> None:
    statuses = set()
    for puzzle in CORPUS:
        verdict = check(puzzle, engine="both")
        assert verdict.status == clingo_status(puzzle)
        statuses.add(verdict.status)
    assert statuses == {"unique", "multiple", "none"}


def test_agreement_with_z3() -> None:
    for puzzle in CORPUS[:60]:
        assert check(puzzle).status == z3_status(puzzle)


@pytest.mark.parametrize("name", AT_MOST_ONE)
def test_every_at_most_one_encoding_gives_the_same_verdicts(name: str) -> None:
    solver = "minicard" if name == "native" else "cadical153"
    engines: dict[Canvas, SatEngine] = {}
    for puzzle in CORPUS:
        if puzzle.canvas not in engines:
            engines[puzzle.canvas] = SatEngine(
                puzzle.model, CLOCK, {"AtMostOne": name}, solver=solver
            )
        assert status_by(engines[puzzle.canvas], puzzle) == check(puzzle).status


def status_by(engine: SatEngine | CpEngine, puzzle: Puzzle) -> str:
    first = engine.solve(puzzle.givens, CLOCK)
    if first is None:
        return "none"
    other = engine.forbid(first)
    second = engine.solve(puzzle.givens, CLOCK, demands=[other])
    engine.retire(other)
    return "multiple" if second else "unique"


def clingo_status(puzzle: Puzzle) -> str:
    """An independent program: choose a digit per cell, no digit twice in a house."""
    program = ["1 { at(C, D) : digit(D) } 1 :- cell(C)."]
    program += [f"cell({place})." for place in range(len(puzzle.canvas.cells))]
    program += [f"digit({digit})." for digit in puzzle.canvas.digits]
    index = puzzle.canvas.index
    for _, cells, _ in puzzle.canvas.houses:
        for place, one in enumerate(cells):
            for other in cells[place + 1 :]:
                program.append(f":- at({index[one]}, D), at({index[other]}, D).")
    for given in puzzle.givens:
        program.append(f":- not at({index[given.variable]}, {given.value}).")  # type: ignore[index]
    control = clingo.Control(["2"], message_limit=0)
    control.add("base", [], "\n".join(program))
    control.ground([("base", [])])
    models = sum(1 for _ in control.solve(yield_=True))
    return ("none", "unique", "multiple")[models]


def z3_status(puzzle: Puzzle) -> str:
    """An independent model over integers."""
    solver = z3.Solver()
    numbers = {cell: z3.Int(str(cell)) for cell in puzzle.canvas.cells}
    for number in numbers.values():
        solver.add(z3.Or([number == digit for digit in puzzle.canvas.digits]))
    for _, cells, _ in puzzle.canvas.houses:
        solver.add(z3.Distinct([numbers[cell] for cell in cells]))
    for given in puzzle.givens:
        solver.add(numbers[given.variable] == given.value)  # type: ignore[index]
    found = 0
    while found < 2 and solver.check() == z3.sat:
        model = solver.model()
        solver.add(z3.Or([number != model[number] for number in numbers.values()]))
        found += 1
    return ("none", "unique", "multiple")[found]


def test_many_verdicts_on_one_engine_outlive_its_renewal() -> None:
    puzzles = random_puzzles(classic(4), 30, 8)
    expected = [check(puzzle).status for puzzle in puzzles]
    for _ in range(80):
        assert [check(puzzle).status for puzzle in puzzles] == expected


def test_undecided_when_the_budget_runs_out() -> None:
    # Thirteen pigeons, twelve holes: exponentially hard for resolution (Haken 1985).
    verdict = check(read(PIGEONS), budget=0.3)
    assert verdict.status == "undecided"
    assert verdict.solutions == ()


def test_a_second_solution_may_stay_open(monkeypatch: pytest.MonkeyPatch) -> None:
    puzzle = read(published.SEVENTEEN[0])
    engine = engine_for(puzzle, CLOCK)
    asked = iter([Clock(100), Clock(-1)])
    solve = engine.solve
    monkeypatch.setattr(
        engine,
        "solve",
        lambda givens, clock, on=None, demands=(), effort=None: (
            solve(givens, next(asked), demands=demands) if not demands else _out_of_time()
        ),
    )
    verdict = check(puzzle)
    assert verdict.status == "undecided"
    assert len(verdict.solutions) == 1


def _out_of_time() -> None:
    from gridassay.verify import OutOfTime

    raise OutOfTime


def test_building_counts_towards_the_budget() -> None:
    assert check(Puzzle(classic(34)), budget=0.005).status == "undecided"


@pytest.mark.parametrize(
    ("sat", "cp"),
    [
        ("unique", "none"),
        ("multiple", "unique"),
        ("none", "undecided with one"),
        ("unique", "undecided with two"),
    ],
)
def test_a_disagreement_is_loud(sat: str, cp: str) -> None:
    puzzle = read("." * 16)
    one, two = check(puzzle).solutions
    shown = {
        "none": Verdict(puzzle, "none", (), "x", 0),
        "unique": Verdict(puzzle, "unique", (one,), "x", 0),
        "multiple": Verdict(puzzle, "multiple", (one, two), "x", 0),
        "undecided with one": Verdict(puzzle, "undecided", (one,), "x", 0),
        "undecided with two": Verdict(puzzle, "undecided", (one, two), "x", 0),
    }
    with pytest.raises(Disagreement, match="disagree"):
        _reconcile(shown[sat], shown[cp], CLOCK)


def test_a_solution_that_breaks_a_house_is_never_shown(monkeypatch: pytest.MonkeyPatch) -> None:
    puzzle = read("1" + "." * 15)
    engine = engine_for(puzzle, CLOCK)
    monkeypatch.setattr(engine, "solve", lambda *_, **__: (1,) * 16)
    with pytest.raises(Disagreement, match="row 1"):
        check(puzzle)


def test_a_given_that_breaks_a_house_is_no_error() -> None:
    assert check(read("11.." + "." * 12)).status == "none"


def test_differs_names_the_cells() -> None:
    verdict = check(read("1234" + "." * 12))
    assert verdict.status == "multiple"
    one, two = (verdict.puzzle.line(solution) for solution in verdict.solutions)
    places = [place for place in range(16) if one[place] != two[place]]
    assert [str(cell) for cell in verdict.differs] == [
        f"r{place // 4 + 1}c{place % 4 + 1}" for place in places
    ]


@pytest.mark.parametrize(
    ("size", "share"), [(16, 0.5), pytest.param(25, 0.5, marks=pytest.mark.slow)]
)
def test_large_grids_get_their_verdict(size: int, share: float) -> None:
    puzzle = Puzzle(classic(size))
    rng = random.Random(size)
    solution = check(puzzle).solutions[0]
    facts = [Fact(c, d) for c, d in zip(puzzle.canvas.cells, solution, strict=True)]
    some = tuple(rng.sample(facts, int(share * len(facts))))
    assert check(Puzzle(puzzle.canvas, some)).status in ("unique", "multiple")
    assert check(Puzzle(puzzle.canvas, tuple(facts[:-2]))).status == "unique"
    spoilt = (*facts[2:], Fact(facts[0].variable, facts[1].value))
    assert check(Puzzle(puzzle.canvas, spoilt)).status == "none"


def test_overlapping_grids_share_their_cells() -> None:
    verdict = check(Puzzle(TWO_GRIDS))
    for name, cells, _ in TWO_GRIDS.houses:
        solution = dict(zip(TWO_GRIDS.cells, verdict.solutions[0], strict=True))
        assert sorted(solution[cell] for cell in cells) == [1, 2, 3, 4], name
    assert len(TWO_GRIDS.cells) == 28
    assert all(a <= b for a, b in pairwise(TWO_GRIDS.cells))
