"""At most one of several literals is true: the encodings side by side.

==============  ==========  =============  ===================================================
name            clauses     helpers        source
==============  ==========  =============  ===================================================
pairwise        n(n−1)/2    0              folklore ("direct", "naive")
sequential      3n−4        n−1            Sinz 2005, LT-SEQ with k = 1
ladder          about 4n    n−1            Gent and Nightingale 2004
bitwise         n⌈log₂ n⌉   ⌈log₂ n⌉       Frisch and Giannaros 2010 (Frisch et al. 2005)
product         2n+4√n      2√n            Chen 2010
commander       about 3.5n  about n/2      Klieber and Kwon 2007, groups of three
native          0           guarded: n−1   the solver's own cardinality constraint (MiniCard:
                                           Liffiton and Maglalang 2012)
==============  ==========  =============  ===================================================

Each takes a writer and at least two literals and writes under the writer's guard.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise as neighbours
from math import ceil, isqrt

from gridassay.encodings.cnf.registry import AT_MOST_ONE
from gridassay.encodings.cnf.writer import Writer

PAIRWISE_UP_TO = 36
"""The largest number of literals for which pairwise is the default: on 25×25 grids every encoding
with helpers took 2 to 20 times as long for a verdict, bitwise coming nearest."""


def at_most_one(writer: Writer, literals: Sequence[int]) -> None:
    """Write that at most one literal is true, in the writer's chosen encoding."""
    if len(literals) < 2:
        return
    default = "pairwise" if len(literals) <= PAIRWISE_UP_TO else "product"
    name = writer.choices.get("AtMostOne", default)
    writer.encoder("AtMostOne", name, AT_MOST_ONE)(writer, literals)


def pairwise(writer: Writer, literals: Sequence[int]) -> None:
    """No two of them are true, stated pair by pair."""
    writer.not_both(literals)


def sequential(writer: Writer, literals: Sequence[int]) -> None:
    """Helper sᵢ: one of the first i+1 literals is true."""
    seen = writer.fresh()
    writer.add(-literals[0], seen)
    for literal in literals[1:-1]:
        writer.add(-literal, -seen)
        following = writer.fresh()
        writer.add(-seen, following)
        writer.add(-literal, following)
        seen = following
    writer.add(-literals[-1], -seen)


def ladder(writer: Writer, literals: Sequence[int]) -> None:
    """A ladder of helpers, true up to some rung and false from there; each literal owns a rung."""
    rungs = [writer.fresh() for _ in literals[1:]]
    for low, high in neighbours(rungs):
        writer.define(-high, low)
    for place, literal in enumerate(literals):
        if place:
            writer.add(-literal, rungs[place - 1])
        if place < len(rungs):
            writer.add(-literal, -rungs[place])


def bitwise(writer: Writer, literals: Sequence[int]) -> None:
    """Each literal forces its own number, in binary, on the helpers."""
    bits = [writer.fresh() for _ in range((len(literals) - 1).bit_length())]
    for number, literal in enumerate(literals):
        for place, bit in enumerate(bits):
            writer.add(-literal, bit if number >> place & 1 else -bit)


def product(writer: Writer, literals: Sequence[int]) -> None:
    """Literals laid out in a rectangle: at most one row and at most one column of it is used."""
    if len(literals) <= 4:
        pairwise(writer, literals)
        return
    wide = isqrt(len(literals) - 1) + 1
    rows = [writer.fresh() for _ in range(ceil(len(literals) / wide))]
    columns = [writer.fresh() for _ in range(wide)]
    for place, literal in enumerate(literals):
        writer.add(-literal, rows[place // wide])
        writer.add(-literal, columns[place % wide])
    product(writer, rows)
    product(writer, columns)


def commander(writer: Writer, literals: Sequence[int]) -> None:
    """Groups of three, each with a commander that is true if a member is; then the commanders."""
    if len(literals) <= 4:
        pairwise(writer, literals)
        return
    commanders = []
    for start in range(0, len(literals), 3):
        group = literals[start : start + 3]
        commanders.append(writer.fresh())
        for literal in group:
            writer.add(-literal, commanders[-1])
        writer.not_both(group)
    commander(writer, commanders)


def native(writer: Writer, literals: Sequence[int]) -> None:
    """The solver's own constraint; only for engines whose solver has it.

    Under a guard of g literals, n−1 helpers that are true when the guard binds fill the room that
    a bound of n leaves.
    """
    if not writer.guard:
        writer.cardinalities.append((list(literals), 1))
        return
    fillers = [writer.fresh() for _ in literals[1:]]
    for filler in fillers:
        writer.add(filler)
    writer.cardinalities.append(([*literals, *fillers], len(literals)))


AT_MOST_ONE.update(
    {
        "pairwise": pairwise,
        "sequential": sequential,
        "ladder": ladder,
        "bitwise": bitwise,
        "product": product,
        "commander": commander,
        "native": native,
    }
)
