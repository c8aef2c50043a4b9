"""A path through a layered diagram: the one encoding behind automata, counters and many sums.

A word of symbols, one per layer, drives a deterministic step function from a start state; the word is
allowed when it ends in an accepting state. The diagram of reachable states is unrolled layer by
layer, states from which nothing can be accepted are dropped and states from which everything is
accepted become *true*, so that a bound, say, stops growing states once it cannot be broken.

Written for each layer: a state and a symbol force the next state; a state needs a predecessor; a
symbol needs a state that can take it. Unit propagation on these keeps the arcs consistent for most
constraints in use (Quimper and Walsh, "Decomposing global grammar constraints", 2007; Abío, Gange,
Mayer-Eichberger and Stuckey, "On CNF encodings of decision diagrams", 2016).
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Sequence
from typing import TypeVar

from gridassay.encodings.cnf.writer import FALSE, TRUE, Writer
from gridassay.encodings.pace import pace, room

State = TypeVar("State", bound=Hashable)

MOST_MOVES = 4_000_000
"""Moves of a diagram, which is written out before its clauses are."""
Options = Sequence[tuple[int, int]]
"""The symbols of a layer, each with the literal that is true when it is read."""


def require_path(
    writer: Writer,
    layers: Sequence[Options],
    start: State,
    step: Callable[[int, State, int], State | None],
    accepts: Callable[[State], bool],
    *,
    steady: bool = False,
) -> None:
    """Write, under the guard, that the symbols read lead from ``start`` to an accepting state.

    ``step(layer, state, symbol)`` is the next state, or None if the word is lost; with ``steady``
    it is the same in each layer, and so are the symbols.
    """
    edges = _unroll(layers, start, step, steady)
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
) -> list[dict[State, dict[int, State | None]]]:
    edges: list[dict[State, dict[int, State | None]]] = []
    known: dict[State, dict[int, State | None]] = {}
    states = {start: None}
    moves = 0
    for depth, options in enumerate(layers):
        pace()
        moves += len(states) * len(options)
        room(moves, MOST_MOVES, "moves of one diagram")
        symbols = [symbol for symbol, _ in options]
        if not steady:
            known = {}
        for state in states:
            if state not in known:
                known[state] = {symbol: step(depth, state, symbol) for symbol in symbols}
        layer = {state: known[state] for state in states}
        edges.append(layer)
        states = {
            after: None for moves in layer.values() for after in moves.values() if after is not None
        }
    edges.append({state: {} for state in states})
    return edges


def _alive(
    edges: Sequence[dict[State, dict[int, State | None]]], accepts: Callable[[State], bool]
) -> list[dict[State, bool | None]]:
    """For each layer and state: True when all words are accepted, False when none is, else None."""
    fates: list[dict[State, bool | None]] = [{state: accepts(state) for state in edges[-1]}]
    for layer in reversed(edges[:-1]):
        pace()
        following, fate = fates[-1], {}
        for state, moves in layer.items():
            ends = {False if after is None else following[after] for after in moves.values()}
            fate[state] = ends.pop() if len(ends) == 1 else None
        fates.append(fate)
    return fates[::-1]


def _write_takers(
    writer: Writer,
    literals: dict[int, int],
    edges: dict[State, dict[int, State | None]],
    nodes: dict[State, int],
    fates: dict[State, bool | None],
) -> None:
    """Each symbol needs an open state that can take it.

    Only while no word can be settled yet: after that no state need be open at all.
    """
    for symbol, literal in literals.items():
        able = []
        for state, node in nodes.items():
            after = edges[state][symbol]
            if after is not None and fates[after] is not False:
                able.append(node)
        if able and len(able) < len(nodes):
            writer.add(-literal, *able)


def _write_moves(
    writer: Writer,
    literals: dict[int, int],
    edges: dict[State, dict[int, State | None]],
    nodes: dict[State, int],
    fates: dict[State, bool | None],
) -> dict[State, int]:
    """A state and a symbol force the next state; return the literals of the next open states."""
    following: dict[State, int] = {}
    parents: dict[State, list[int]] = {}
    for state, node in nodes.items():
        for symbol, after in edges[state].items():
            fate = False if after is None else fates[after]
            if fate is True:
                continue
            target = FALSE
            if fate is None and after is not None:
                if after not in following:
                    following[after] = writer.fresh()
                    parents[after] = []
                target = following[after]
                if node not in parents[after]:
                    parents[after].append(node)
            if node == TRUE:
                # The first state is open exactly while the guard binds.
                writer.add(-literals[symbol], target)
            else:
                writer.define(-node, -literals[symbol], target)
    for after, before in parents.items():
        if TRUE not in before:
            writer.define(-following[after], *before)
    return following
