"""Shared by loops, paths and border loops: lines that are drawn or not, and how they meet."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import combinations
from typing import Annotated

from pydantic import BeforeValidator

from gridassay.encodings.constraints import AllOf, AnyOf, Constraint, In
from gridassay.encodings.graphs import Graph, Node, Way
from gridassay.encodings.grid import Cell
from gridassay.encodings.variables import Variable

ON, OFF = frozenset({1}), frozenset({0})


def _texts(given: object) -> object:
    if not isinstance(given, list | tuple) or not all(isinstance(one, str) for one in given):
        raise ValueError('this must be an array of strings, such as ["r1c1-r1c2"]')
    return tuple(given)


Texts = Annotated[tuple[str, ...], BeforeValidator(_texts)]


def so_many(variables: Sequence[Variable], counts: frozenset[int]) -> Constraint:
    """States that a given number of a few variables are 1, by clauses that rule out each wrong number."""
    clauses: list[Constraint] = []
    size = len(variables)
    for number in range(size + 1):
        if number in counts:
            continue
        for chosen in combinations(variables, number):
            others = [one for one in variables if one not in chosen]
            above = number + 1 in counts or any(n in counts for n in range(number + 1, size + 1))
            below = any(n in counts for n in range(number))
            clause: list[Constraint] = []
            if below:
                clause += [In(one, OFF) for one in chosen]
            if above:
                clause += [In(one, ON) for one in others]
            clauses.append(AnyOf(tuple(clause)))
    return AllOf(tuple(clauses))


def no_line(givens: Sequence[str]) -> str:
    """The sentence that explains the crosses on links that are given as not drawn, if there are any."""
    crossed = any(text.strip().startswith("not ") for text in givens)
    return " It does not run where there is a small cross." if crossed else ""


def joints(lines: Sequence[Variable], at: Mapping[Cell, Sequence[Variable]]) -> Graph:
    """A graph of lines, in which those are that are drawn; ways join lines that meet at a point."""
    number = {line: place for place, line in enumerate(lines)}
    ways = {
        (number[one], number[other])
        for meeting in at.values()
        for one, other in combinations(meeting, 2)
    }
    return Graph(
        tuple(Node(line, ON) for line in lines), tuple(Way(*pair) for pair in sorted(ways))
    )
