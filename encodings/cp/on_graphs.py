"""Members about the numbers on a graph in CP-SAT, using the tags of ``groups.py``."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations

from ortools.sat.python import cp_model

from gridassay.encodings.cp.builder import STATE, Bool, Builder
from gridassay.encodings.cp.groups import members, tags_of, ways_of
from gridassay.encodings.graphs import Graph
from gridassay.encodings.on_graphs import DifferWithin, GroupTotal, Nearer, Run, SameTotal
from gridassay.encodings.variables import Variable


def _differ_within(build: Builder, c: DifferWithin, on: Bool | None) -> None:
    tags, model, bound = tags_of(build, c.graph), build.model, [] if on is None else [on]
    having = [build.equals(variable, c.value) for variable in c.variables]
    twice = []
    for one, other in combinations(range(len(having)), 2):
        both = model.new_bool_var("")
        met = [tags.same(one, other), having[one], having[other]]
        model.add_bool_and(met).only_enforce_if(both)
        model.add_bool_or([~literal for literal in met]).only_enforce_if(~both)
        twice.append(both)
    if c.stated:
        model.add_bool_and([~both for both in twice]).only_enforce_if(bound)
    else:
        model.add_bool_or(twice).only_enforce_if(bound)


def _total_of_true(
    build: Builder, variables: Sequence[Variable], group: Sequence[Bool]
) -> cp_model.LinearExprT:
    """The total of the nodes whose literal is true."""
    shares = []
    for literal, variable in zip(group, variables, strict=True):
        domain = build.domains[variable]
        values = cp_model.Domain.from_values(sorted({0, *domain}))
        share = build.model.new_int_var_from_domain(values, "")
        build.model.add(share == build.variables[variable]).only_enforce_if(literal)
        build.model.add(share == 0).only_enforce_if(~literal)
        shares.append(share)
    return cp_model.LinearExpr.sum(shares)


def _state_total(
    build: Builder, c: GroupTotal, reached: cp_model.LinearExprT, fits: bool, on: Sequence[Bool]
) -> None:
    """While all of ``on`` is true the total is one that is meant, or (not fitting) another."""
    if not isinstance(c.totals, frozenset):
        wanted = build.variables[c.totals]
        said = build.model.add(reached == wanted) if fits else build.model.add(reached != wanted)
        said.only_enforce_if(list(on))
        return
    domain = cp_model.Domain.from_values(sorted(c.totals))
    if not fits:
        domain = domain.complement()
    build.model.add_linear_expression_in_domain(reached, domain).only_enforce_if(list(on))


def _group_total(build: Builder, c: GroupTotal, on: Bool | None) -> None:
    tags, bound = tags_of(build, c.graph), [] if on is None else [on]
    nodes = range(len(tags.inside))
    if c.node is not None:
        reached = _total_of_true(build, c.variables, [tags.same(c.node, other) for other in nodes])
        if c.stated:
            build.model.add_bool_and([tags.inside[c.node]]).only_enforce_if(bound)
            _state_total(build, c, reached, True, bound)
        else:
            _state_total(build, c, reached, False, [*bound, tags.inside[c.node]])
        return
    others = []
    for first in nodes:
        reached = _total_of_true(build, c.variables, [tags.has(node, first) for node in nodes])
        if c.stated:
            _state_total(build, c, reached, True, [*bound, tags.leads[first]])
        else:
            other = build.model.new_bool_var("")
            build.model.add_implication(other, tags.leads[first])
            _state_total(build, c, reached, False, [other])
            others.append(other)
    if not c.stated:
        build.model.add_bool_or(others).only_enforce_if(bound)


def _steps(build: Builder, graph: Graph, root: int) -> list[cp_model.IntVar]:
    """In how many steps the root reaches each node; as many as there are nodes if it does not."""
    key = "steps", graph, root
    if key not in build.kept:
        model, inside = build.model, members(build, graph)
        far = len(inside)
        steps = [model.new_int_var(0, far, "") for _ in inside]
        options: list[list[Bool]] = [[] for _ in inside]
        for one, other, joins in ways_of(build, graph):
            for here, there in ((one, other), (other, one)):
                model.add(steps[there] <= steps[here] + 1).only_enforce_if(joins)
                last = model.new_bool_var("")
                for literal in joins:
                    model.add_implication(last, literal)
                model.add(steps[there] == steps[here] + 1).only_enforce_if(last)
                options[there].append(last)
        for node, is_in in enumerate(inside):
            model.add(steps[node] == far).only_enforce_if(~is_in)
            if node == root:
                model.add(steps[node] == 0).only_enforce_if(is_in)
                continue
            away = model.new_bool_var("")
            model.add(steps[node] == far).only_enforce_if(away)
            model.add_bool_or([away, *options[node]]).only_enforce_if(is_in)
        build.kept[key] = steps
    found: list[cp_model.IntVar] = build.kept[key]
    return found


def _nearer(build: Builder, c: Nearer, on: Bool | None) -> None:
    steps = _steps(build, c.graph, c.root)
    near, far = steps[c.first], steps[c.second]
    build.enforce(build.model.add(near < far) if c.stated else build.model.add(near >= far), on)


def _run(build: Builder, run: Run) -> cp_model.LinearExprT:
    tags = tags_of(build, run.graph)
    group = [tags.same(run.node, other) for other in range(len(tags.inside))]
    return _total_of_true(build, run.variables, group)


def _same_total(build: Builder, c: SameTotal, on: Bool | None) -> None:
    first, second = _run(build, c.first), _run(build, c.second)
    build.enforce(build.model.add(first == second if c.stated else first != second), on)


STATE |= {
    DifferWithin: _differ_within,
    GroupTotal: _group_total,
    Nearer: _nearer,
    SameTotal: _same_total,
}
