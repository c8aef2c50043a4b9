"""Members about groups of a graph, in every encoding and in CP-SAT, against their plain meaning.

All assignments of small graphs are tried: asserted, negated, both at once under a count, and free when
the switch is off. ``igraph`` is the outside witness of the plain meaning.
"""

from __future__ import annotations

import random
from itertools import product

import igraph
import pytest
from ortools.sat.python import cp_model
from pysat.solvers import Solver

from gridassay.encodings.cnf import compile as _registers  # noqa: F401
from gridassay.encodings.cnf.registry import every_encoder
from gridassay.encodings.cnf.writer import Writer
from gridassay.encodings.constraints import Constraint, HowMany, Letter, Values, Variable
from gridassay.encodings.cp.compile import Builder
from gridassay.encodings.graphs import Graph, Node, Way
from gridassay.encodings.groups import (
    Connected,
    GroupCount,
    GroupSize,
    GroupSizes,
    Joined,
    Separated,
)
from gridassay.encodings.on_graphs import DifferWithin, Grouped, GroupTotal, Nearer, Run, SameTotal
from gridassay.verify.engines.cutting import Noted

KINDS = (
    "Connected",
    "Joined",
    "Separated",
    "GroupSize",
    "GroupSizes",
    "GroupCount",
    "DifferWithin",
    "GroupTotal",
)
NAMES = sorted(every_encoder()["Connected"])
NUMBER = Letter("number")


def board(rows: int, columns: int, values: tuple[int, ...] = (1,)) -> Graph:
    """Cells of a small board, in by the value of a variable; ways between neighbours."""
    cells = list(product(range(rows), range(columns)))
    nodes = tuple(Node(Letter(f"{cell}"), frozenset(values)) for cell in cells)
    ways = [
        Way(one, other)
        for one, (r, c) in enumerate(cells)
        for other, (s, d) in enumerate(cells)
        if one < other and abs(r - s) + abs(c - d) == 1
    ]
    return Graph(nodes, tuple(ways))


def walls(rows: int, columns: int) -> Graph:
    """Cells that are always in; ways between neighbours that are open or closed."""
    plain = board(rows, columns)
    ways = (Way(a, b, Letter(f"way {a} {b}")) for a, b, _ in plain.ways)
    return Graph((None,) * len(plain.nodes), tuple(ways))


def mixed() -> Graph:
    """Three nodes that come and go, one that stays; some ways can be closed."""
    a, b, c = (Node(Letter(name), frozenset({1, 2})) for name in "abc")
    door, gate = Letter("door"), Letter("gate")
    ways = (Way(0, 1), Way(1, 2, door), Way(2, 3), Way(3, 0, gate))
    return Graph((a, b, c, None), ways)


def domains(constraint: Grouped | Nearer | SameTotal) -> dict[Variable, tuple[int, ...]]:
    found: dict[Variable, tuple[int, ...]] = {}
    for variable in constraint.scope():
        wide = isinstance(variable, Letter) and variable.name in "abc"
        found[variable] = (0, 1, 2) if wide else (0, 1)
    if NUMBER in found:
        found[NUMBER] = (0, 1, 2, 3)
    return found


DIGITS = tuple(Letter(f"digit {n}") for n in range(4))
CONSTRAINTS: list[Grouped] = [
    Connected(board(2, 3)),
    Connected(board(2, 3), empty=True),
    Connected(board(3, 3)),
    Connected(board(2, 3), outside=frozenset({0, 5})),
    Connected(board(1, 4), outside=frozenset()),
    Connected(mixed()),
    Connected(mixed(), outside=frozenset({1})),
    Joined(board(2, 3), 0, 5),
    Joined(mixed(), 0, 2),
    Joined(walls(2, 3), 0, 2),
    Separated(walls(2, 3)),
    Separated(mixed()),
    GroupSize(board(2, 3), 1, frozenset({1, 3})),
    GroupSize(board(2, 3), 1, NUMBER),
    GroupSize(mixed(), 2, frozenset({4})),
    GroupSize(walls(2, 2), 0, NUMBER),
    GroupSizes(board(2, 3), (1, 2)),
    GroupSizes(board(2, 3), ()),
    GroupSizes(mixed(), (2, 1)),
    GroupSizes(walls(2, 3), (3, 3)),
    GroupSizes(board(1, 3), (7,)),
    GroupCount(board(2, 3), frozenset({0, 2})),
    GroupCount(board(1, 5), NUMBER),
    GroupCount(walls(2, 2), frozenset({2, 3})),
    DifferWithin(walls(2, 2), DIGITS, 1),
    DifferWithin(mixed(), DIGITS, 0),
    GroupTotal(walls(1, 4), DIGITS, frozenset({2}), 1),
    GroupTotal(walls(2, 2), DIGITS, frozenset({1, 3})),
    GroupTotal(walls(1, 4), DIGITS, NUMBER, 2),
    GroupTotal(walls(1, 4), DIGITS, NUMBER, rising=False),
    GroupTotal(mixed(), DIGITS, frozenset({1, 2}), 2),
    GroupTotal(mixed(), DIGITS, frozenset({1}), rising=False),
    GroupTotal(board(1, 4), DIGITS, frozenset(), 0),
    GroupTotal(board(1, 4), DIGITS, frozenset({0, 7})),
]
FAR: list[Nearer] = [
    Nearer(board(2, 3), 0, 2, 5),
    Nearer(board(2, 3), 1, 3, 3),
    Nearer(walls(2, 3), 0, 4, 2),
    Nearer(mixed(), 3, 0, 2),
    Nearer(board(1, 2), 1, 1, 0),
]


def as_igraph(graph: Graph, values: Values) -> tuple[list[int], igraph.Graph]:
    inside = [
        number
        for number, node in enumerate(graph.nodes)
        if node is None or values[node.variable] in node.values
    ]
    ways = [
        (first, second)
        for first, second, variable in graph.ways
        if first in inside and second in inside and (variable is None or values[variable] == 1)
    ]
    return inside, igraph.Graph(len(graph.nodes), ways)


def by_igraph(graph: Graph, values: Values) -> list[set[int]]:
    inside, found = as_igraph(graph, values)
    return [set(group) for group in found.connected_components() if group[0] in inside]


def apart(c: Grouped, values: Values) -> bool:
    """The meaning of a member, worked out from igraph's groups."""
    groups = by_igraph(c.graph, values)
    if isinstance(c, Connected):
        if c.outside is not None:
            return all(group & c.outside for group in groups)
        return len(groups) == 1 or (c.empty and not groups)
    if isinstance(c, Joined):
        return any({c.first, c.second} <= group for group in groups)
    if isinstance(c, Separated):
        return not any(
            values[way.variable] != 1 and any({way.first, way.second} <= g for g in groups)
            for way in c.graph.ways
            if way.variable is not None
        )
    if isinstance(c, GroupSize):
        sizes = c.sizes if isinstance(c.sizes, frozenset) else {values[c.sizes]}
        return any(c.node in group and len(group) in sizes for group in groups)
    if isinstance(c, GroupSizes):
        return sorted(map(len, groups)) == sorted(c.sizes)
    if isinstance(c, DifferWithin):
        return all(
            sum(values[c.variables[node]] == c.value for node in group) < 2 for group in groups
        )
    if isinstance(c, GroupTotal):
        totals = c.totals if isinstance(c.totals, frozenset) else {values[c.totals]}
        spoken = [group for group in groups if c.node is None or c.node in group]
        held = [sum(values[c.variables[node]] for node in group) for group in spoken]
        return (c.node is None or bool(held)) and totals.issuperset(held)
    counts = c.counts if isinstance(c.counts, frozenset) else {values[c.counts]}
    return len(groups) in counts


def by_clauses(
    constraint: Constraint, over: dict[Variable, tuple[int, ...]], choices: dict[str, str], on: bool
) -> list[bool]:
    writer = Writer(over, choices)
    writer.noted = []
    for variable in over:
        literals = writer.literals(variable)
        writer.add(*literals)
        writer.not_both(literals)
    switch = writer.fresh()
    with writer.under(-switch):
        writer.require(constraint)
    noted, accepted = Noted(writer), []
    with Solver("cadical153") as solver:
        solver.append_formula(writer.clauses)
        for row in product(*over.values()):
            held = [writer.literal(v, n) for v, n in zip(over, row, strict=True)]
            assumed = [switch if on else -switch, *held]
            while (fits := solver.solve(assumptions=assumed)) and (
                cuts := noted.cuts(solver.get_model())
            ):
                solver.append_formula(cuts)
            accepted.append(bool(fits))
    return accepted


@pytest.mark.parametrize("constraint", CONSTRAINTS, ids=repr)
def test_the_meaning_is_that_of_igraph(constraint: Grouped) -> None:
    over = domains(constraint)
    for row in product(*over.values()):
        values = dict(zip(over, row, strict=True))
        assert constraint.holds(values) is apart(constraint, values)
        assert constraint.negated().holds(values) is not apart(constraint, values)


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("constraint", CONSTRAINTS, ids=repr)
def test_every_encoding(constraint: Grouped, name: str) -> None:
    over = domains(constraint)
    choices = dict.fromkeys(KINDS, name)
    meant = [constraint.holds(dict(zip(over, row, strict=True))) for row in product(*over.values())]
    negated = constraint.negated()
    assert by_clauses(constraint, over, choices, on=True) == meant
    assert by_clauses(negated, over, choices, on=True) == [not fits for fits in meant]
    assert all(by_clauses(constraint, over, choices, on=False))
    assert all(by_clauses(negated, over, choices, on=False))


@pytest.mark.parametrize("name", NAMES)
def test_both_polarities_under_a_count(name: str) -> None:
    graph = board(2, 3)
    members = (
        Connected(graph),
        Joined(graph, 0, 2),
        GroupSize(graph, 4, frozenset({2, 4})),
        GroupCount(graph, frozenset({2})),
        GroupSizes(graph, (1, 2)).negated(),
    )
    counted = HowMany(members, frozenset({0, 2, 3}))
    over = domains(members[0])
    rows = [dict(zip(over, row, strict=True)) for row in product(*over.values())]
    choices = dict.fromkeys(KINDS, name)
    meant = [counted.holds(values) for values in rows]
    assert 0 < sum(meant) < len(meant)
    assert by_clauses(counted, over, choices, on=True) == meant


@pytest.mark.parametrize("constraint", CONSTRAINTS, ids=repr)
def test_every_cut_holds_in_all_that_keep_the_member(constraint: Grouped) -> None:
    over = domains(constraint)
    rows = [dict(zip(over, row, strict=True)) for row in product(*over.values())]
    for stated in (constraint, constraint.negated()):
        if not stated.has_cuts:
            continue
        keeping = [values for values in rows if stated.holds(values)]
        for values in rows:
            cuts = stated.cuts(values)
            assert bool(cuts) is not stated.holds(values)
            for cut in cuts:
                assert not any((values[v] in those) is inside for v, those, inside in cut)
                for other in keeping:
                    assert any((other[v] in those) is inside for v, those, inside in cut)


def by_cp(constraint: Constraint, over: dict[Variable, tuple[int, ...]], on: bool) -> list[bool]:
    build = Builder(over)
    switch = build.model.new_bool_var("switch")
    build.require(constraint, switch)
    build.model.add(switch == int(on))
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.cp_model_presolve = False
    accepted = []
    for row in product(*over.values()):
        for variable, number in zip(over, row, strict=True):
            domain = build.model.proto.variables[build.variables[variable].index].domain
            domain.clear()
            domain.extend([number, number])
        accepted.append(solver.solve(build.model) in (cp_model.OPTIMAL, cp_model.FEASIBLE))
    return accepted


@pytest.mark.parametrize("constraint", CONSTRAINTS, ids=repr)
def test_cp_sat(constraint: Grouped) -> None:
    over = domains(constraint)
    if len(list(product(*over.values()))) > 300:
        pytest.skip("the smaller boards say it")
    meant = [constraint.holds(dict(zip(over, row, strict=True))) for row in product(*over.values())]
    assert by_cp(constraint, over, on=True) == meant
    assert by_cp(constraint.negated(), over, on=True) == [not fits for fits in meant]
    assert all(by_cp(constraint, over, on=False))


@pytest.mark.parametrize("constraint", FAR, ids=repr)
def test_distances_are_those_of_igraph(constraint: Nearer) -> None:
    over = domains(constraint)
    meant = []
    for row in product(*over.values()):
        values = dict(zip(over, row, strict=True))
        _, found = as_igraph(constraint.graph, values)
        inside = {node for group in by_igraph(constraint.graph, values) for node in group}
        steps = found.distances(constraint.root)[0]
        near, far = (
            steps[node] if {node, constraint.root} <= inside else float("inf")
            for node in (constraint.first, constraint.second)
        )
        meant.append(near < far)
        assert constraint.holds(values) is (near < far)
        assert constraint.negated().holds(values) is not (near < far)
    refused = [not fits for fits in meant]
    for stated, wanted in ((constraint, meant), (constraint.negated(), refused)):
        assert by_clauses(stated, over, {}, on=True) == wanted
        assert all(by_clauses(stated, over, {}, on=False))
        assert by_cp(stated, over, on=True) == wanted
        assert all(by_cp(stated, over, on=False))


@pytest.mark.parametrize(
    "constraint",
    [
        SameTotal(Run(walls(1, 3), DIGITS[:3], 0), Run(walls(1, 3), DIGITS[1:], 2)),
        SameTotal(Run(board(1, 2), DIGITS[:2], 1), Run(walls(1, 3), DIGITS[1:], 0)),
    ],
    ids=repr,
)
def test_totals_of_two_groups(constraint: SameTotal) -> None:
    over = domains(constraint)
    meant = []
    for row in product(*over.values()):
        values = dict(zip(over, row, strict=True))
        totals = []
        for run in (constraint.first, constraint.second):
            groups = by_igraph(run.graph, values)
            own = next((group for group in groups if run.node in group), set())
            totals.append(sum(values[run.variables[node]] for node in own))
        meant.append(totals[0] == totals[1])
        assert constraint.holds(values) is meant[-1]
    refused = [not fits for fits in meant]
    for stated, wanted in ((constraint, meant), (constraint.negated(), refused)):
        assert by_clauses(stated, over, {}, on=True) == wanted
        assert all(by_clauses(stated, over, {}, on=False))
        assert by_cp(stated, over, on=True) == wanted


def test_connected_sets_of_small_boards() -> None:
    """Non-empty connected sets of cells of the n×n board: 1, 13, 218, 11506 (OEIS A059525)."""
    for side, count in ((1, 1), (2, 13), (3, 218)):
        connected = Connected(board(side, side))
        over = domains(connected)
        rows = (dict(zip(over, row, strict=True)) for row in product(*over.values()))
        assert sum(connected.holds(values) for values in rows) == count


def test_cuts_lead_to_connected_sets_of_larger_boards() -> None:
    """Random boards of 7×7: what the solver accepts with cuts is connected by igraph, too."""
    graph, chance = board(7, 7), random.Random(4)
    connected = Connected(graph)
    over = domains(connected)
    writer = Writer(over)
    writer.noted = []
    for variable in over:
        literals = writer.literals(variable)
        writer.add(*literals)
        writer.not_both(literals)
    writer.require(connected)
    noted = Noted(writer)
    with Solver("cadical153") as solver:
        solver.append_formula(writer.clauses)
        for _ in range(30):
            held = [
                writer.literal(variable, chance.randrange(2))
                for variable in chance.sample(list(over), 12)
            ]
            while (fits := solver.solve(assumptions=held)) and (
                cuts := noted.cuts(solver.get_model())
            ):
                solver.append_formula(cuts)
            if fits:
                true = set(solver.get_model())
                values = {v: int(writer.literal(v, 1) in true) for v in over}
                assert len(by_igraph(graph, values)) == 1
