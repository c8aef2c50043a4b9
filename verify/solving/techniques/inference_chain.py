"""Alternating inference chain: strong and weak links of every kind in turn, groups and loops too.

Cells with two candidates, houses with two places for a digit, and houses whose places fall into two
groups that each lie in another house, all in one chain.
"""

from __future__ import annotations

from collections.abc import Iterator

from gridassay.verify.solving.board.ideas import Idea
from gridassay.verify.solving.board.position import Position
from gridassay.verify.solving.techniques.chains import ChainGraph, chain_idea, shortest_chain

NAME = "alternating inference chain"


def find(position: Position) -> Iterator[Idea]:
    """The shortest chain; chains without groups come before those with groups."""
    for groups in (False, True):
        graph = ChainGraph(position).add_cells()
        for digit in range(len(position.where)):
            graph.add_places(digit)
            if groups:
                graph.add_groups(digit)
        chain = shortest_chain(graph)
        if chain:
            yield chain_idea(graph, chain, NAME)
            return
