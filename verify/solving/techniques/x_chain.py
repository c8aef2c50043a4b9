"""X-chain: an alternating chain on one digit, its strong links houses with two places for it.

Two strong links are a skyscraper, a two-string kite or the like; more make a longer chain. Chains
close into loops, of which an X-wing is the smallest.
"""

from __future__ import annotations

from collections.abc import Iterator

from gridassay.verify.solving.board.ideas import Idea
from gridassay.verify.solving.board.position import Position
from gridassay.verify.solving.techniques.chains import ChainGraph, chain_idea, shortest_chain

NAME = "X-chain"


def find(position: Position) -> Iterator[Idea]:
    """The shortest chain of each digit that has one."""
    for digit in range(len(position.where)):
        graph = ChainGraph(position).add_places(digit)
        chain = shortest_chain(graph)
        if chain:
            yield chain_idea(graph, chain, NAME)
