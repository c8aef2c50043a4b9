"""How many of some literals are true, by a sorting network: for numbers too large to count up to.

Batcher's merge exchange (Batcher 1968; Knuth, The Art of Computer Programming 3, 5.2.2, Algorithm M)
sorts n literals with n (log n)²/4 comparators, of six clauses each; a counter takes as many states as
n times the number counted to. Unit propagation on both directions keeps arcs consistent (Asín,
Nieuwenhuis, Oliveras and Rodríguez-Carbonell, "Cardinality networks", 2011).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise

from gridassay.encodings.cnf.writer import TRUE, Writer


def count_by_network(writer: Writer, literals: Sequence[int], counts: frozenset[int]) -> None:
    """Write, under the guard, that the number of true literals is one of ``counts``."""
    outputs = _sorter(writer, literals)
    # "At least k", from 0, which is always true, to more than there are, which is impossible.
    at_least = [TRUE, *outputs, -TRUE]
    allowed = sorted(count for count in counts if 0 <= count <= len(literals))
    for below, above in pairwise([-1, *allowed, len(literals) + 1]):
        if above - below > 1:  # none of the counts between: more than one of them is the next
            writer.add(-at_least[below + 1], at_least[above])


def _sorter(writer: Writer, literals: Sequence[int]) -> list[int]:
    """Literals of which the first k are true exactly when k of the given ones are."""
    wires = list(literals)
    for upper, lower in comparators(len(wires)):
        a, b = wires[upper], wires[lower]
        either, both = writer.fresh(), writer.fresh()
        writer.define(-a, either)
        writer.define(-b, either)
        writer.define(-either, a, b)
        writer.define(-both, a)
        writer.define(-both, b)
        writer.define(both, -a, -b)
        wires[upper], wires[lower] = either, both
    return wires


def comparators(size: int) -> Iterator[tuple[int, int]]:
    """The pairs of places that are compared, in order: the greater value goes to the first place."""
    top = 1 << (max(size - 1, 0)).bit_length() >> 1
    step = top
    while step:
        last, offset, distance = top, 0, step
        while True:
            for place in range(size - distance):
                if place & step == offset:
                    yield place, place + distance
            if last == step:
                break
            distance, last, offset = last - step, last // 2, step
        step //= 2
