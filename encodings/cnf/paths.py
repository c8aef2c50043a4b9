"""A path through a layered diagram: the one encoding behind automata, counters and many sums.

A word of symbols, one per layer, drives a deterministic step function from a start state; the word is
allowed when it ends in an accepting state. The diagram of reachable states is unrolled layer by
layer, states from which nothing can be accepted are dropped and states from which everything is
accepted become *true*, so that a bound, say, stops growing states once it cannot be broken.

Written for each layer: a state and a symbol force the next state; a state needs a predecessor; a
symbol needs a state that can take it. Where all words lead from one state to another and nothing else
does, the two share a literal, so that the inside of a run costs a clause for each cell. Unit
propagation on these keeps the arcs consistent for most
constraints in use (Quimper and Walsh, "Decomposing global grammar constraints", 2007; Abío, Gange,
Mayer-Eichberger and Stuckey, "On CNF encodings of decision diagrams", 2016).
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Mapping, Sequence
from typing import TypeVar

from gridassay.encodings.cnf.writer import TRUE, Clause, Writer
from gridassay.encodings.pace import pace, room

State = TypeVar("State", bound=Hashable)

MOST_MOVES = 4_000_000
"""Moves of a diagram, which is written out before its clauses are."""
Options = Sequence[tuple[int, int]]
"""The symbols of a layer, each with the literal that is true when it is read; exactly one is."""

Moves = list[tuple[int, State | None]]
"""The state after each symbol, None if the word is lost."""


def require_path(
    writer: Writer,
    layers: Sequence[Options],
    start: State,
    step: Callable[[int, State, int], State | None],
    accepts: Callable[[State], bool],
    *,
    steady: bool = False,
    needs: Mapping[State, int] | None = None,
) -> None:
    """Write, under the guard, that the symbols read lead from ``start`` to an accepting state.

    ``step(layer, state, symbol)`` is the next state, or None if the word is lost; with ``steady``
    it is the same in each layer, and so are the symbols. ``needs``, if it is given, has the fewest
    symbols after which each state from which words are accepted may accept one.
    """
    edges = _unroll(layers, start, step, steady, needs)
    alive = _alive(edges, accepts)
    if alive[0].get(start) is not None:
        if not alive[0][start]:
            writer.add()
        return
    nodes: dict[State, int] = {start: TRUE}
    settled = False
    for depth, options in enumerate(layers):
        literals, fates = dict(options), alive[depth + 1]
        if not settled:
            _write_takers(writer, literals, edges[depth], nodes, fates)
        nodes = _write_moves(writer, literals, edges[depth], nodes, fates)
        settled = settled or True in fates.values()


def _unroll(
    layers: Sequence[Options],
    start: State,
    step: Callable[[int, State, int], State | None],
    steady: bool,
    needs: Mapping[State, int] | None,
) -> list[dict[State, Moves[State]]]:
    edges: list[dict[State, Moves[State]]] = []
    known: dict[State, Moves[State]] = {}
    states = {start: None}
    moves = 0
    for depth, options in enumerate(layers):
        pace()
        moves += len(states) * len(options)
        room(moves, MOST_MOVES, "moves of one diagram")
        symbols = [symbol for symbol, _ in options]
        if not steady:
            known = {}
        layer: dict[State, Moves[State]] = {}
        following: dict[State, None] = {}
        for state in states:
            row = known.get(state)
            if row is None:
                row = known[state] = [(symbol, step(depth, state, symbol)) for symbol in symbols]
            layer[state] = row
            for _, after in row:
                if after is not None:
                    following[after] = None
        edges.append(layer)
        left = len(layers) - depth - 1
        states = following
        if needs is not None:
            states = {state: None for state in following if needs.get(state, left + 1) <= left}
    edges.append({state: [] for state in states})
    return edges


Fates = dict[State | None, bool | None]
"""Whether all words from a state are accepted (True) or none is (False)."""


def _alive(
    edges: Sequence[dict[State, Moves[State]]], accepts: Callable[[State], bool]
) -> list[Fates[State]]:
    following: Fates[State] = {state: accepts(state) for state in edges[-1]}
    fates = [following]
    for layer in reversed(edges[:-1]):
        pace()
        fate: Fates[State] = {}
        for state, moves in layer.items():
            ends = [following.get(after, False) for _, after in moves]
            fate[state] = ends[0] if ends.count(ends[0]) == len(ends) else None
        fates.append(fate)
        following = fate
    return fates[::-1]


def _write_takers(
    writer: Writer,
    literals: dict[int, int],
    edges: dict[State, Moves[State]],
    nodes: dict[State, int],
    fates: Fates[State],
) -> None:
    """Each symbol needs an open state that can take it.

    Only while no word can be settled yet: after that no state need be open at all.
    """
    able: dict[int, list[int]] = {symbol: [] for symbol in literals}
    for state, node in nodes.items():
        for symbol, after in edges[state]:
            if fates.get(after, False) is not False:
                able[symbol].append(node)
    for symbol, takers in able.items():
        if takers and len(takers) < len(nodes):
            writer.add(-literals[symbol], *takers)


def _write_moves(
    writer: Writer,
    literals: dict[int, int],
    edges: dict[State, Moves[State]],
    nodes: dict[State, int],
    fates: Fates[State],
) -> dict[State, int]:
    """A state and a symbol force the next state; return the literals of the next open states."""
    clauses: list[Clause] = []
    parents: dict[State, list[int]] = {}
    onward: list[tuple[int, list[tuple[int, State]], bool]] = []
    for state, node in nodes.items():
        moves = edges[state]
        possible, lost = [], []
        for symbol, after in moves:
            fate = fates.get(after, False)
            if fate is False:
                lost.append(symbol)
            elif fate is None and after is not None:
                possible.append((symbol, after))
                before = parents.get(after)
                if before is None:
                    parents[after] = [node]
                elif before[-1] != node:
                    before.append(node)
        clauses += [(-node, -literals[symbol]) for symbol in lost]
        settled = len(possible) + len(lost) < len(moves)
        onward.append((node, possible, settled))
    following: dict[State, int] = {}
    for node, possible, settled in onward:
        for symbol, after in possible:
            target = following.get(after)
            if target is None:
                alone = not settled and len(parents[after]) == 1
                if alone and (len(possible) == 1 or len({to for _, to in possible}) == 1):
                    following[after] = node
                    break
                target = following[after] = writer.fresh()
            clauses.append((-node, -literals[symbol], target))
    for after, before in parents.items():
        if TRUE not in before and following[after] not in before:
            clauses.append((-following[after], *before))
    if TRUE in nodes.values():
        # The first state is open exactly while the guard binds.
        for clause in clauses:
            (writer.add if clause[0] == -TRUE else writer.define)(*clause)
    else:
        writer.define_all(clauses)
    return following
