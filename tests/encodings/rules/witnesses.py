"""The three witnesses of a rule brought together: its plain reading, its clauses, its CP-SAT model.

``witnesses(puzzle)`` tries every assignment of a small board's cells and unknowns and requires that
the plain reading, the CNF engine and the CP engine accept the same ones: with the rule on, with the
rule off (everything is accepted, and helpers multiply nothing), and with the rule stated false.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from itertools import product

from ortools.sat.python import cp_model

from gridassay.encodings.constraints import AllOf
from gridassay.encodings.cp.compile import Builder
from gridassay.encodings.documents import read_document
from gridassay.encodings.model import Model, Premise
from gridassay.encodings.puzzle import Fact, Part, Puzzle, Solution
from gridassay.verify.budget import Clock
from gridassay.verify.engines.questions import Engine
from gridassay.verify.engines.sat import SatEngine

CLOCK = Clock(float("inf"))

_TOO_OFTEN = 10


def bare(rows: int, columns: int, digits: int, rule: str, extra: str = "") -> Puzzle:
    """A bare canvas with digits 1 to ``digits`` and the rules written in TOML."""
    numbers = list(range(1, digits + 1))
    head = f'rows = {rows}\ncolumns = {columns}\nhouses = "none"\ndigits = {numbers}\n'
    return read_document(f"{head}{extra}\n{rule}", "test.toml")


def everything(puzzle: Puzzle) -> Iterator[Solution]:
    """Every assignment of the shown variables."""
    domains = puzzle.board.domains
    return product(*(domains[variable] for variable in puzzle.board.shown))


def read_plainly(puzzle: Puzzle) -> set[Solution]:
    """The assignments that the plain reading accepts."""
    return {row for row in everything(puzzle) if next(puzzle.violations(row), None) is None}


def solutions(engine: Engine, on: list[str] | None = None, most: int = 10**9) -> list[Solution]:
    """Every solution, each forbidden in turn; a solution met twice would be counted twice."""
    found: list[Solution] = []
    demands = []
    while len(found) < most:
        solution = engine.solve((), CLOCK, on=on, demands=demands)
        if solution is None:
            break
        found.append(solution)
        demands.append(engine.forbid(solution))
    return found


def by_sat(model: Model, rows: list[Solution]) -> set[Solution]:
    """The assignments that the clauses accept with every premise on."""
    engine = SatEngine(model, CLOCK)
    return {row for row in rows if _fits(engine, model, row, None)}


def _fits(engine: Engine, model: Model, row: Solution, on: list[str] | None) -> bool:
    facts = [Fact(variable, value) for variable, value in zip(model.shown, row, strict=True)]
    return engine.solve(facts, CLOCK, on=on) is not None


def by_cp(model: Model, rows: list[Solution]) -> set[Solution]:
    """The assignments among these that the CP-SAT model accepts with every premise on.

    All solutions are listed in one run. If values of helper variables multiply them too often, each
    assignment is asked about instead.
    """
    build = Builder(model.domains)
    for definition in model.definitions:
        build.require(definition)
    for premise in model.premises:
        for part in premise.parts:
            build.require(part.constraint)
    shown = [build.variables[variable] for variable in model.shown]
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.enumerate_all_solutions = True
    collected = _Collector(shown, most=_TOO_OFTEN * len(rows))
    if solver.solve(build.model, collected) in (cp_model.OPTIMAL, cp_model.INFEASIBLE):
        return collected.rows.intersection(rows)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.cp_model_presolve = False
    return {row for row in rows if _accepts(solver, build.model, shown, row)}


def _accepts(
    solver: cp_model.CpSolver,
    model: cp_model.CpModel,
    shown: list[cp_model.IntVar],
    row: Solution,
) -> bool:
    """Whether the model, its shown variables held to the row, can be solved."""
    for variable, number in zip(shown, row, strict=True):
        domain = model.proto.variables[variable.index].domain
        domain.clear()
        domain.extend([number, number])
    status = solver.solve(model)
    assert status in (cp_model.OPTIMAL, cp_model.FEASIBLE, cp_model.INFEASIBLE)
    return status != cp_model.INFEASIBLE


class _Collector(cp_model.CpSolverSolutionCallback):
    def __init__(self, shown: list[cp_model.IntVar], most: int) -> None:
        super().__init__()
        self.shown = shown
        self.most = most
        self.rows: set[Solution] = set()

    def on_solution_callback(self) -> None:
        self.rows.add(tuple(self.value(variable) for variable in self.shown))
        self.most -= 1
        if self.most < 0:
            self.stop_search()


def stated_false(model: Model) -> Model:
    """The model whose only premise is that its rules, taken together, are false."""
    whole = AllOf(tuple(part.constraint for p in model.premises for part in p.parts))
    negation = Premise("negation", "rule", (Part("negation", whole.negated()),))
    return replace(model, premises=(negation,), mentions={})


def witnesses(puzzle: Puzzle, *, rows: list[Solution] | None = None) -> int:
    """Require that all witnesses agree on every assignment; gives the number accepted.

    With ``rows`` only these are tried, and CP-SAT is left out: for boards too large for all.
    """
    model = puzzle.model
    whole = rows is None
    rows = list(everything(puzzle)) if rows is None else rows
    plain = {row for row in rows if next(puzzle.violations(row), None) is None}
    assert by_sat(model, rows) == plain
    refused = set(rows) - plain
    assert by_sat(stated_false(model), rows) == refused
    _off(model, rows, whole=whole)
    if whole:
        assert by_cp(model, rows) == plain
        assert by_cp(stated_false(model), rows) == refused
    return len(plain)


def _off(model: Model, rows: list[Solution], *, whole: bool) -> None:
    """With every premise off all is accepted, letters that nothing mentions at their least."""
    engine = SatEngine(model, CLOCK)
    idle = {model.shown.index(letter): model.domains[letter][0] for letter in model.mentions}
    free = [row for row in rows if all(row[place] == least for place, least in idle.items())]
    assert all(_fits(engine, model, row, []) for row in free[:: max(1, len(free) // 200)])
    if whole and len(free) <= 300:
        found = solutions(engine, [])
        assert len(found) == len(set(found)) == len(free)
