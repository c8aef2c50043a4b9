"""Every member of the constraint language, in every encoding, against its plain meaning.

For small scopes all assignments are tried: what the clauses accept, what CP-SAT accepts and what
``holds`` says must be the same set, asserted, negated, and free when the switch is off.
"""

from __future__ import annotations

from itertools import product
from typing import get_args

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from ortools.sat.python import cp_model
from pysat.solvers import Solver

from gridassay.encodings.automata import Dfa
from gridassay.encodings.cnf import compile as _registers  # noqa: F401
from gridassay.encodings.cnf.at_most_one import AT_MOST_ONE
from gridassay.encodings.cnf.registry import every_encoder
from gridassay.encodings.cnf.writer import Writer
from gridassay.encodings.constraints import (
    AllDifferent,
    AllOf,
    AnyOf,
    Automaton,
    Compare,
    Constraint,
    Count,
    HowMany,
    In,
    Letter,
    Permutation,
    Sum,
    Table,
    Variable,
)
from gridassay.encodings.cp.compile import Builder
from gridassay.encodings.on_graphs import Grouped

X, Y, Z, W = (Letter(name) for name in "xyzw")
DOMAINS: dict[Variable, tuple[int, ...]] = {
    X: (1, 2, 3),
    Y: (1, 2, 3),
    Z: (0, 2, 3, 5),
    W: (-1, 1, 2),
}
ASSIGNMENTS = [dict(zip(DOMAINS, row, strict=True)) for row in product(*DOMAINS.values())]

variables = st.sampled_from(list(DOMAINS))
several = st.lists(variables, min_size=1, max_size=4, unique=True).map(tuple)
numbers = st.integers(-2, 6)
sets = st.frozensets(numbers, max_size=5)
relations = st.sampled_from(["==", "!=", "<=", ">="])


@st.composite
def sums(draw: st.DrawFn) -> Sum:
    chosen = draw(several)
    size = len(chosen)
    coefficients = draw(
        st.just((1,) * size) | st.tuples(*[st.sampled_from([-2, -1, 1, 2, 3])] * size)
    )
    total = draw(st.integers(-6, 14))
    return Sum(chosen, draw(relations), total, coefficients, draw(st.booleans()))


@st.composite
def tables(draw: st.DrawFn) -> Table:
    chosen = draw(several)
    row = st.tuples(*[numbers] * len(chosen))
    inside = st.tuples(*[st.sampled_from(DOMAINS[variable]) for variable in chosen])
    return Table(chosen, draw(st.frozensets(row | inside, max_size=20)), draw(st.booleans()))


@st.composite
def automata(draw: st.DrawFn) -> Automaton:
    states = st.integers(0, 3)
    step = draw(st.dictionaries(st.tuples(states, st.integers(-1, 5)), states, max_size=16))
    dfa = Dfa(0, draw(st.frozensets(states)), step)
    return Automaton(draw(several), dfa, draw(st.booleans()))


@st.composite
def permutations(draw: st.DrawFn) -> Permutation:
    chosen = draw(several)
    size = len(chosen)
    return Permutation(chosen, draw(st.frozensets(numbers, min_size=size, max_size=size)))


simple = st.one_of(
    st.builds(In, variables, sets, st.booleans()),
    st.builds(Compare, variables, st.sampled_from(["==", "!=", "<="]), variables, numbers),
    st.builds(AllDifferent, several),
    permutations(),
    sums(),
    tables(),
    automata(),
    st.builds(Count, several, sets, st.frozensets(st.integers(0, 4))),
)
constraints: st.SearchStrategy[Constraint] = st.recursive(
    simple,
    lambda inner: st.one_of(
        st.builds(AnyOf, st.lists(inner, max_size=3).map(tuple)),
        st.builds(AllOf, st.lists(inner, max_size=3).map(tuple)),
        st.builds(
            HowMany, st.lists(inner, max_size=3).map(tuple), st.frozensets(st.integers(0, 3))
        ),
    ),
    max_leaves=4,
)

Accepted = list[bool]


def meant(constraint: Constraint) -> Accepted:
    return [constraint.holds(values) for values in ASSIGNMENTS]


def by_clauses(constraint: Constraint, choices: dict[str, str], on: bool) -> Accepted:
    writer = Writer(DOMAINS, choices)
    for variable in DOMAINS:
        literals = writer.literals(variable)
        writer.add(*literals)
        writer.not_both(literals)
    switch = writer.fresh()
    with writer.under(-switch):
        writer.require(constraint)
    with Solver("minicard" if writer.cardinalities else "cadical153") as solver:
        solver.append_formula(writer.clauses)
        for literals, bound in writer.cardinalities:
            solver.add_atmost(literals, bound)
        return [
            solver.solve(
                assumptions=[
                    switch if on else -switch,
                    *(writer.literal(variable, value) for variable, value in values.items()),
                ]
            )
            for values in ASSIGNMENTS
        ]


def by_cp(constraint: Constraint, on: bool | None) -> Accepted:
    """``on`` None states it plainly; else it stands under a literal that is on or off."""
    build = Builder(DOMAINS)
    switch = None if on is None else build.model.new_bool_var("switch")
    build.require(constraint, switch)
    if switch is not None:
        build.model.add(switch == int(bool(on)))
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.enumerate_all_solutions = True
    rows = _Rows([build.variables[variable] for variable in DOMAINS])
    assert solver.solve(build.model, rows) in (cp_model.OPTIMAL, cp_model.INFEASIBLE)
    return [tuple(values.values()) in rows.found for values in ASSIGNMENTS]


class _Rows(cp_model.CpSolverSolutionCallback):
    """Collects what is shown; helper variables may repeat a row."""

    def __init__(self, shown: list[cp_model.IntVar]) -> None:
        super().__init__()
        self._shown = shown
        self.found: set[tuple[int, ...]] = set()

    def on_solution_callback(self) -> None:
        self.found.add(tuple(map(self.value, self._shown)))


@settings(max_examples=200, deadline=None)
@given(constraints)
def test_default_clauses_mean_what_the_constraint_means(constraint: Constraint) -> None:
    expected = meant(constraint)
    assert by_clauses(constraint, {}, on=True) == expected
    assert by_clauses(constraint, {}, on=False) == [True] * len(ASSIGNMENTS)


@settings(max_examples=150, deadline=None)
@given(constraints)
def test_negation_is_the_complement(constraint: Constraint) -> None:
    negated = constraint.negated()
    expected = [not accepted for accepted in meant(constraint)]
    assert meant(negated) == expected
    assert by_clauses(negated, {}, on=True) == expected


GROUPED = {"Nearer", "SameTotal", *(kind.__name__ for kind in get_args(Grouped))}
"""Members about groups of a graph are tried in ``test_groups.py``."""
CHOICES = [
    (kind, name)
    for kind, encoders in every_encoder().items()
    for name in encoders
    if kind not in GROUPED
]


@pytest.mark.parametrize(("kind", "name"), CHOICES)
def test_every_encoding_of_a_constraint(kind: str, name: str) -> None:
    @settings(max_examples=35, deadline=None)
    @given(constraints.filter(lambda c: kind in repr(c)))
    def agree(constraint: Constraint) -> None:
        assert by_clauses(constraint, {kind: name}, on=True) == meant(constraint)
        assert all(by_clauses(constraint, {kind: name}, on=False))

    agree()


@pytest.mark.parametrize("name", AT_MOST_ONE)
@pytest.mark.parametrize("size", [2, 3, 4, 5, 6, 7, 9, 10])
@pytest.mark.parametrize("guarded", [True, False])
def test_at_most_one(name: str, size: int, guarded: bool) -> None:
    writer = Writer({Letter(str(place)): (0, 1) for place in range(size)})
    literals = [writer.literal(Letter(str(place)), 1) for place in range(size)]
    switch = writer.fresh()
    with writer.under(*((-switch,) if guarded else ())):
        AT_MOST_ONE[name](writer, literals)
    with Solver("minicard") as solver:
        solver.append_formula(writer.clauses)
        for counted, bound in writer.cardinalities:
            solver.add_atmost(counted, bound)
        for row in product((False, True), repeat=size):
            signed = [x if true else -x for x, true in zip(literals, row, strict=True)]
            assert solver.solve(assumptions=[switch, *signed]) is (sum(row) <= 1)
            if guarded:
                assert solver.solve(assumptions=[-switch, *signed])


@settings(max_examples=80, deadline=None)
@given(constraints)
def test_cp_sat_means_the_same(constraint: Constraint) -> None:
    expected = meant(constraint)
    assert by_cp(constraint, None) == expected
    assert by_cp(constraint, True) == expected


@settings(max_examples=25, deadline=None)
@given(constraints)
def test_cp_sat_lets_go_when_off(constraint: Constraint) -> None:
    assert all(by_cp(constraint, False))


@settings(max_examples=60, deadline=None)
@given(constraints)
def test_cp_sat_negated(constraint: Constraint) -> None:
    assert by_cp(constraint.negated(), None) == [not accepted for accepted in meant(constraint)]
