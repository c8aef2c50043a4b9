"""Tables as clauses: support, forbidding, selectors.

=========  ==================================================================================
support    two variables: each value of one needs a listed value of the other (Kasif 1990;
           Gent 2002: propagation keeps arcs consistent, with no helper)
forbid     one clause for each row that may not be
selectors  one helper per row: it forces its values, and each value needs a row
diagram    a path through the trie of the rows, equal endings shared (``paths.py``)
=========  ==================================================================================
"""

from __future__ import annotations

from functools import lru_cache
from itertools import product
from math import prod

from gridassay.encodings.cnf.paths import require_path
from gridassay.encodings.cnf.registry import encoding
from gridassay.encodings.cnf.writer import DEFAULTS, FALSE, Writer
from gridassay.encodings.constraints import Table

Row = tuple[int, ...]


def _possible(writer: Writer, constraint: Table) -> frozenset[Row]:
    """The allowed rows, within the domains."""
    domains = [writer.domains[variable] for variable in constraint.variables]
    if constraint.listed:
        sets = [set(domain) for domain in domains]
        return frozenset(
            row
            for row in constraint.rows
            if all(value in domain for value, domain in zip(row, sets, strict=True))
        )
    return frozenset(row for row in product(*domains) if row not in constraint.rows)


@encoding(Table, "support")
def table_by_support(writer: Writer, constraint: Table) -> None:
    """For two variables, each value of one needs a value of the other; otherwise selectors."""
    if len(constraint.variables) != 2:
        table_by_selectors(writer, constraint)
        return
    left, right = constraint.variables
    lefts, rights = writer.literals(left), writer.literals(right)
    domains = tuple(writer.domains[left]), tuple(writer.domains[right])
    for one, others in _supports(constraint.rows, constraint.listed, *domains):
        writer.add(-lefts[one], *[rights[other] for other in others])
    for one, others in _supports(
        _transposed_rows(constraint.rows), constraint.listed, *domains[::-1]
    ):
        writer.add(-rights[one], *[lefts[other] for other in others])


@lru_cache(maxsize=256)
def _transposed_rows(rows: frozenset[Row]) -> frozenset[Row]:
    return frozenset((b, a) for a, b in rows)


@lru_cache(maxsize=256)
def _supports(
    rows: frozenset[Row], listed: bool, left: tuple[int, ...], right: tuple[int, ...]
) -> list[tuple[int, list[int]]]:
    """The places of values of one variable that need one of a few values of the other, with those values.

    Kept because a puzzle states one table of many pairs of cells.
    """
    supports = []
    for place, value in enumerate(left):
        partners = [other for other, b in enumerate(right) if ((value, b) in rows) is listed]
        if len(partners) < len(right):
            supports.append((place, partners))
    return supports


@encoding(Table, "forbid")
def table_by_forbidding(writer: Writer, constraint: Table) -> None:
    """A clause against each forbidden row."""
    domains = [writer.domains[variable] for variable in constraint.variables]
    if constraint.listed:
        forbidden = [row for row in product(*domains) if row not in constraint.rows]
    else:
        forbidden = sorted(constraint.rows)
    for row in forbidden:
        literals = [
            writer.literal(variable, value)
            for variable, value in zip(constraint.variables, row, strict=True)
        ]
        if FALSE not in literals:
            writer.add(*[-literal for literal in literals])


@encoding(Table, "selectors")
def table_by_selectors(writer: Writer, constraint: Table) -> None:
    """One of the rows is chosen; a chosen row forces its values.

    If a variable has another value in every row, its values are the choice.
    """
    rows = sorted(_possible(writer, constraint))
    for place in range(len(constraint.variables)):
        if len({row[place] for row in rows}) == len(rows):
            _by_key(writer, constraint, rows, place)
            return
    selectors = [writer.fresh() for _ in rows]
    writer.add(*selectors)
    for place, variable in enumerate(constraint.variables):
        supports: dict[int, list[int]] = {value: [] for value in writer.domains[variable]}
        for selector, row in zip(selectors, rows, strict=True):
            literal = writer.literal(variable, row[place])
            writer.define(-selector, literal)
            supports[row[place]].append(selector)
        for value, chosen in supports.items():
            if len(chosen) < len(rows):
                writer.add(-writer.literal(variable, value), *chosen)


def _by_key(writer: Writer, constraint: Table, rows: list[Row], key: int) -> None:
    """Rows that differ in the value of one variable, so that it identifies them."""
    chosen = {row[key]: row for row in rows}
    for value in writer.domains[constraint.variables[key]]:
        literal = writer.literal(constraint.variables[key], value)
        if value not in chosen:
            writer.add(-literal)
            continue
        for place, variable in enumerate(constraint.variables):
            if place != key:
                writer.add(-literal, writer.literal(variable, chosen[value][place]))
    for place, variable in enumerate(constraint.variables):
        if place != key:
            for value in writer.domains[variable]:
                keys = [row[key] for row in rows if row[place] == value]
                if len(keys) < len(rows):
                    needed = [writer.literal(constraint.variables[key], one) for one in keys]
                    writer.add(-writer.literal(variable, value), *needed)


@encoding(Table, "diagram")
def table_by_diagram(writer: Writer, constraint: Table) -> None:
    """A path through the rows' values, endings that agree sharing their states."""
    layers = [
        [(value, writer.literal(variable, value)) for value in writer.domains[variable]]
        for variable in constraint.variables
    ]
    trie = _share(_possible(writer, constraint))
    require_path(
        writer,
        layers,
        trie[0],
        lambda layer, state, value: trie[1][state].get(value),
        lambda state: True,
    )


def _share(rows: frozenset[Row]) -> tuple[int, list[dict[int, int]]]:
    """The rows as a minimal acyclic automaton: its start and the moves of each state."""
    numbers: dict[tuple[tuple[int, int], ...], int] = {}
    moves: list[dict[int, int]] = []

    def state(endings: list[Row], depth: int) -> int:
        branches: dict[int, list[Row]] = {}
        for row in endings:
            if depth < len(row):
                branches.setdefault(row[depth], []).append(row)
        key = tuple((value, state(rest, depth + 1)) for value, rest in sorted(branches.items()))
        if key not in numbers:
            numbers[key] = len(moves)
            moves.append(dict(key))
        return numbers[key]

    return state(sorted(rows), 0), moves


def _conflicts_apart(constraint: Table) -> bool:
    """Whether each value of two variables rules out at most one value of the other.

    Then one binary clause per row propagates all that support clauses do, in a fifth of the literals;
    with more conflicts per value, support was 7 and 70 times as fast on 9×9 grids whose neighbours
    never differ by 1, or never total 5 or 10 (median verdict over random givens).
    """
    if constraint.listed:
        return False
    return all(len(set(side)) == len(side) for side in zip(*constraint.rows, strict=True))


def _default(constraint: Table, writer: Writer) -> str:
    if len(constraint.variables) == 2:
        return "forbid" if _conflicts_apart(constraint) else "support"
    size = prod(len(writer.domains[variable]) for variable in constraint.variables)
    forbidden = size - len(constraint.rows) if constraint.listed else len(constraint.rows)
    if forbidden <= 50:
        return "forbid"
    return "selectors" if size - forbidden <= 40 else "diagram"


DEFAULTS["Table"] = _default
