"""XY-chain: an alternating chain through cells with two candidates each.

Each cell shares a digit with the next, which it sees. If the first is not the digit z that both ends
have, the last is; so cells that see both ends lose z. An XY-wing is the chain of three cells.
"""

from __future__ import annotations

from collections.abc import Iterator

from gridassay.verify.solving.board.ideas import Idea
from gridassay.verify.solving.board.position import Position
from gridassay.verify.solving.techniques.chains import ChainGraph, chain_idea, shortest_chain

NAME = "XY-chain"


def find(position: Position) -> Iterator[Idea]:
    """The shortest chain there is."""
    graph = ChainGraph(position).add_cells()
    chain = shortest_chain(graph)
    if chain:
        yield chain_idea(graph, chain, NAME)
