"""Statements without an order of writing: constraints as trees that a graph can hold.

Two puzzles are kin when one model can be mapped onto the other: cells to cells, digits to digits,
constraints to constraints. The meaning of a constraint is a *term*: a colour (a text that holds
everything except which variables and digits are meant) and its members in no order:
variables, named digits, further terms. Variables whose places in the constraint differ hang on terms
of their own, so that "first" and "last" are told apart exactly where the constraint does so.

A term is *numeric* if it reads digits as numbers (sums, orders, tables); digits can be renamed
freely only if no term is. The one other renaming known here is the reflection of all digits,
lowest for highest, for which ``reflect`` says what a constraint becomes.

Some kin are missed on purpose: renamings that happen to keep a numeric constraint, such as 1 and 4
swapped under a rule about remainders; and tables with a symmetry other than swapped or reversed
places. Nothing is merged wrongly because of that: such kin are only not seen.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Callable, Iterable, Sequence
from functools import lru_cache
from hashlib import sha256
from typing import NamedTuple

from gridassay.encodings.automata import Dfa, TooManyStatesError, explore
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
    Permutation,
    Sum,
    Table,
    Unknown,
    Variable,
)
from gridassay.encodings.graphs import Graph
from gridassay.encodings.grid import Cell
from gridassay.encodings.groups import (
    Connected,
    GroupCount,
    GroupSize,
    GroupSizes,
    Joined,
    Separated,
)
from gridassay.encodings.on_graphs import DifferWithin, Grouped, GroupTotal, Nearer, Run, SameTotal
from gridassay.encodings.variables import Layered


class Digit(NamedTuple):
    """A digit that a constraint names."""

    value: int


class Term(NamedTuple):
    """A constraint as a term: its colour, its members in no order, and whether it is numeric."""

    colour: str
    members: tuple[Member, ...]
    numeric: bool = False


Member = Cell | Unknown | Digit | Term


def term(colour: str, members: Iterable[Member], *, numeric: bool = False) -> Term:
    """A term with its members sorted, so that equal statements are equal terms."""
    ordered = tuple(sorted(members, key=_place))
    deeper = any(isinstance(member, Term) and member.numeric for member in ordered)
    return Term(colour, ordered, numeric or deeper)


def _place(member: Member) -> tuple[int, str]:
    if isinstance(member, Cell):
        return 0, f"{member.row:03}{member.column:03}"
    if isinstance(member, Unknown):
        return 1, str(member)
    return (2, f"{member.value:03}") if isinstance(member, Digit) else (3, repr(member))


def map_term(whole: Term, image: Callable[[Member], Member]) -> Term:
    """The term with every variable and digit replaced by its image."""
    members = (
        map_term(member, image) if isinstance(member, Term) else image(member)
        for member in whole.members
    )
    return term(whole.colour, members, numeric=whole.numeric)


def term_of(constraint: Constraint, digits: frozenset[int]) -> Term:
    """The term of a constraint over cells that hold ``digits``, and unknowns."""
    scope = set(constraint.scope())
    bare = all(isinstance(variable, Cell) for variable in scope)
    said = _statement(constraint, digits, bare)
    # What is said of layers alone says nothing of digits.
    alone = bare or all(isinstance(variable, Layered) for variable in scope)
    return said if alone else said._replace(numeric=True)


def _statement(constraint: Constraint, digits: frozenset[int], bare: bool) -> Term:
    match constraint:
        case In():
            inside, values = constraint.inside, constraint.values
            if not bare:
                return term(f"in {inside} {sorted(values)}", [constraint.variable])
            named = values & digits if inside else digits - values
            return term("in", [constraint.variable, *map(Digit, named)])
        case Compare():
            return _comparison(constraint)
        case AllDifferent():
            if bare and len(constraint.variables) == len(digits):
                return term("each digit once", constraint.variables)
            return term("all different", constraint.variables)
        case Permutation():
            if bare and constraint.values == digits:
                return term("each digit once", constraint.variables)
            return _naming("these once", constraint.variables, constraint.values, digits, bare)
        case Sum():
            return _total(constraint)
        case Table():
            content = _digest((sorted(constraint.rows), constraint.listed))
            groups = _interchangeable(constraint.rows, len(constraint.variables))
            places = _by_place(constraint.variables, groups, lambda: _reversible(constraint.rows))
            return term(f"table {content}", places, numeric=True)
        case Automaton():
            content, same = _language(constraint.dfa, digits)
            groups = tuple(range(len(constraint.variables)))
            places = _by_place(constraint.variables, groups, lambda: same)
            return term(f"automaton {constraint.accepted} {content}", places, numeric=True)
        case Count():
            colour = f"count {sorted(constraint.counts)}"
            return _naming(colour, constraint.variables, constraint.values, digits, bare)
        case AnyOf() | AllOf():
            members = {term_of(member, digits) for member in constraint.members}
            if len(members) == 1:
                return members.pop()
            return term("any of" if isinstance(constraint, AnyOf) else "all of", members)
        case HowMany():
            times = Counter(term_of(member, digits) for member in constraint.members)
            counted = (term(f"times {number}", [member]) for member, number in times.items())
            return term(f"how many {sorted(constraint.counts)}", counted)
        case SameTotal():
            runs = (_run(constraint.first), _run(constraint.second))
            return term(f"same total {constraint.stated}", runs, numeric=True)
        case _:
            return _graph_term(constraint)


def _run(run: Run) -> Term:
    """A graph with what counts at its nodes, and the node that is meant."""
    nodes = _nodes(run.graph)
    told = [*_ways(run.graph, nodes), *_holding(nodes, run.variables)]
    return term("run", [*nodes, *told, term("marked", [nodes[run.node]])], numeric=True)


def _ways(graph: Graph, nodes: Sequence[Term]) -> list[Term]:
    return [
        term("way", [nodes[first], nodes[second], *([] if variable is None else [variable])])
        for first, second, variable in graph.ways
    ]


def _graph_term(constraint: Grouped | Nearer) -> Term:
    """The nodes and ways of a graph, with the statements about some of them."""
    graph, nodes = constraint.graph, _nodes(constraint.graph)
    ways = _ways(graph, nodes)
    number: frozenset[int] | Variable | None = None
    marked: list[int] = []
    colour = f"{type(constraint).__name__} {constraint.stated}"
    told: list[Term] = []
    match constraint:
        case Connected():
            colour += f" {constraint.empty} {constraint.outside is not None}"
            marked = sorted(constraint.outside or ())
        case Joined():
            marked = [constraint.first, constraint.second]
        case GroupSize():
            marked, number = [constraint.node], constraint.sizes
        case GroupSizes():
            colour += f" {sorted(constraint.sizes)}"
        case GroupCount():
            number = constraint.counts
        case Separated():
            pass
        case DifferWithin():
            colour += f" {constraint.value}"
            told = _holding(nodes, constraint.variables)
        case GroupTotal():
            marked = [] if constraint.node is None else [constraint.node]
            number, told = constraint.totals, _holding(nodes, constraint.variables)
        case Nearer():
            ends = {"root": constraint.root, "near": constraint.first, "far": constraint.second}
            told = [term(name, [nodes[node]]) for name, node in ends.items()]
    if isinstance(number, frozenset):
        colour += f" {sorted(number)}"
    spoken = [] if number is None or isinstance(number, frozenset) else [term("number", [number])]
    told += [term("marked", [nodes[n]]) for n in marked]
    numeric = isinstance(constraint, DifferWithin | GroupTotal)
    return term(colour, [*nodes, *ways, *told, *spoken], numeric=numeric)


def _holding(nodes: Sequence[Term], variables: Sequence[Variable]) -> list[Term]:
    return [term("holds", pair) for pair in zip(nodes, variables, strict=True)]


def _nodes(graph: Graph) -> list[Term]:
    """The nodes, those that are always in told from each other by the ways that lead to them."""
    return [
        term("node", [way for _, way in around if way is not None])
        if node is None
        else term(f"node {sorted(node.values)}", [node.variable])
        for node, around in zip(graph.nodes, graph.around, strict=True)
    ]


def _comparison(constraint: Compare) -> Term:
    left, right, offset = constraint.left, constraint.right, constraint.offset
    if constraint.relation != "<=":
        if offset == 0:
            return term(constraint.relation, [left, right])
        if offset < 0:
            left, right, offset = right, left, -offset
    ends = (term("left", [left]), term("right", [right]))
    return term(f"{constraint.relation} {offset}", ends, numeric=True)


def _naming(
    colour: str,
    variables: Sequence[Variable],
    values: frozenset[int],
    digits: frozenset[int],
    bare: bool,
) -> Term:
    """A constraint on cells that names digits; a variable listed twice is distinguished."""
    if len(set(variables)) < len(variables):
        weighted = _by_weight((variable, 1) for variable in variables)
        return term(f"{colour} {sorted(values)}", weighted, numeric=True)
    if not bare:
        return term(f"{colour} {sorted(values)}", variables, numeric=True)
    return term(colour, [*variables, *map(Digit, values & digits)])


def _by_weight(pairs: Iterable[tuple[Variable, int]]) -> Iterable[Term]:
    """The variables by weight; a variable met several times has several weights."""
    weights: dict[Variable, list[int]] = defaultdict(list)
    for variable, weight in pairs:
        weights[variable].append(weight)
    groups: dict[tuple[int, ...], list[Variable]] = defaultdict(list)
    for variable, found in weights.items():
        groups[tuple(sorted(found))].append(variable)
    return (term(f"weight {weight}", group) for weight, group in groups.items())


def _total(constraint: Sum) -> Term:
    """A sum with the sign that comes first, since both signs mean the same."""
    weights, total, relation = constraint.coefficients, constraint.total, constraint.relation
    negative = tuple(-weight for weight in weights)
    if relation == ">=":
        weights, total, relation = negative, -total, "<="
    elif relation != "<=" and (sorted(weights), total) < (sorted(negative), -total):
        weights, total = negative, -total
    parts = _by_weight(zip(constraint.variables, weights, strict=True))
    return term(f"sum {relation} {total} {constraint.distinct}", parts, numeric=True)


def _by_place(
    variables: Sequence[Variable], groups: Sequence[int], reversible: Callable[[], bool]
) -> list[Term]:
    """Variables by place: one term per group of places that can be swapped with one another."""
    if len(set(groups)) == len(variables):
        return in_order(variables, both_ways=reversible())
    members: dict[int, list[tuple[Variable, int]]] = defaultdict(list)
    for group, variable in zip(groups, variables, strict=True):
        members[group].append((variable, 1))
    return [term(f"place {group}", _by_weight(found)) for group, found in members.items()]


def in_order(variables: Sequence[Variable], *, both_ways: bool) -> list[Term]:
    """Variables in order; if it reads the same both ways, each place hangs on one of two halves."""
    if not both_ways:
        return [term(f"place {place}", [v]) for place, v in enumerate(variables)]
    half = len(variables) // 2
    sides = (variables[:half], variables[len(variables) - half :][::-1])
    halves = [term("half", in_order(side, both_ways=False)) for side in sides]
    return [*halves, *(term("middle", [v]) for v in variables[half : len(variables) - half])]


@lru_cache(maxsize=1024)
def _interchangeable(rows: frozenset[tuple[int, ...]], width: int) -> tuple[int, ...]:
    """For each place of a table the first place with which it can be swapped."""
    first = list(range(width))
    for place in range(width):
        for earlier in sorted(set(first[:place])):
            if all(_swap(row, earlier, place) in rows for row in rows):
                first[place] = earlier
                break
    return tuple(first)


def _swap(row: tuple[int, ...], one: int, other: int) -> tuple[int, ...]:
    return (*row[:one], row[other], *row[one + 1 : other], row[one], *row[other + 1 :])


@lru_cache(maxsize=1024)
def _reversible(rows: frozenset[tuple[int, ...]]) -> bool:
    return all(row[::-1] in rows for row in rows)


@lru_cache(maxsize=256)
def _language(dfa: Dfa, digits: frozenset[int]) -> tuple[str, bool]:
    """A digest of the words an automaton accepts, and whether they are the same backwards.

    The reverse is made deterministic by the subset construction; if that takes too many states
    the answer is no, which at worst misses kin.
    """
    least = dfa.minimal(digits)
    before: dict[tuple[int, int], list[int]] = defaultdict(list)
    for (state, symbol), after in least.step.items():
        before[after, symbol].append(state)

    def back(states: frozenset[int], symbol: int) -> frozenset[int] | None:
        return frozenset(s for state in states for s in before[state, symbol]) or None

    try:
        reverse = explore(
            least.accepting, digits, back, lambda states: least.start in states
        ).minimal(digits)
    except TooManyStatesError:
        reverse = None
    content = (least.start, sorted(least.accepting), sorted(least.step.items()))
    return _digest(content), reverse == least


def _digest(content: object) -> str:
    return sha256(repr(content).encode()).hexdigest()[:24]


def reflect(constraint: Constraint, turn: int) -> Constraint:
    """The constraint on cells that results when every digit d is replaced by ``turn`` − d."""

    def all_of(values: Iterable[int]) -> frozenset[int]:
        return frozenset(turn - value for value in values)

    match constraint:
        case In():
            return In(constraint.variable, all_of(constraint.values), constraint.inside)
        case Compare():
            return Compare(
                constraint.right, constraint.relation, constraint.left, constraint.offset
            )
        case AllDifferent():
            return constraint
        case Permutation():
            return Permutation(constraint.variables, all_of(constraint.values))
        case Sum():
            weights = constraint.coefficients
            return Sum(
                constraint.variables,
                constraint.relation,
                constraint.total - turn * sum(weights),
                tuple(-weight for weight in weights),
                constraint.distinct,
            )
        case Table():
            rows = frozenset(tuple(turn - value for value in row) for row in constraint.rows)
            return Table(constraint.variables, rows, constraint.listed)
        case Automaton():
            dfa = constraint.dfa
            step = {(state, turn - symbol): after for (state, symbol), after in dfa.step.items()}
            changed = Dfa(dfa.start, dfa.accepting, step)
            return Automaton(constraint.variables, changed, constraint.accepted)
        case Count():
            return Count(constraint.variables, all_of(constraint.values), constraint.counts)
        case AnyOf():
            return AnyOf(tuple(reflect(member, turn) for member in constraint.members))
        case AllOf():
            return AllOf(tuple(reflect(member, turn) for member in constraint.members))
        case HowMany():
            members = tuple(reflect(member, turn) for member in constraint.members)
            return HowMany(members, constraint.counts)
        case _:
            return constraint  # about no digit
