"""A plain prover for sentences: facts about a few cells, and whether they rule a candidate out.

It knows nothing but what it is told: which digits a cell may have, that a digit is in one of some
cells, how a rule's cells can be filled; and, by eye, which cells cannot be the same. It tries every
way, one fact after the other.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field

Digits = frozenset[int]
Cell = tuple[int, ...]


@dataclass
class Facts:
    """The facts of a sentence, apart from its conclusion."""

    candidates: dict[Cell, Digits] = field(default_factory=dict)
    places: list[tuple[int, frozenset[Cell]]] = field(default_factory=list)
    fillings: list[tuple[tuple[Cell, ...], frozenset[tuple[int, ...]]]] = field(
        default_factory=list
    )

    def has(self, cell: Cell, digits: Iterable[int]) -> None:
        """A cell has one of these digits."""
        self.candidates[cell] = self.candidates.get(cell, frozenset(digits)) & frozenset(digits)

    def one_of(self, digit: int, cells: Iterable[Cell]) -> None:
        """A digit is in one of these cells."""
        self.places.append((digit, frozenset(cells)))


def excluded(facts: Facts, sees: Callable[[Cell, Cell], bool], cell: Cell, digit: int) -> bool:
    """Whether the facts leave no way in which a cell has a digit."""
    return not _possible(facts, sees, {cell: digit}, 0)


def _fits(
    sees: Callable[[Cell, Cell], bool],
    facts: Facts,
    given: Mapping[Cell, int],
    cell: Cell,
    digit: int,
) -> bool:
    if cell in given:
        return given[cell] == digit
    if digit not in facts.candidates.get(cell, {digit}):
        return False
    return not any(other == digit and sees(cell, place) for place, other in given.items())


def _possible(
    facts: Facts, sees: Callable[[Cell, Cell], bool], given: Mapping[Cell, int], depth: int
) -> bool:
    """Whether some way keeps all facts, the one with the fewest ways open next."""
    best: list[dict[Cell, int]] | None = None
    for ways in _open(facts, sees, given):
        if not ways:
            return False
        if best is None or len(ways) < len(best):
            best = ways
            if len(best) == 1:
                break
    if best is None:
        return True
    return any(_possible(facts, sees, {**given, **way}, depth + 1) for way in best)


def _open(
    facts: Facts, sees: Callable[[Cell, Cell], bool], given: Mapping[Cell, int]
) -> Iterable[list[dict[Cell, int]]]:
    """For each fact that is not kept yet the ways in which it could be."""
    for cell, digits in facts.candidates.items():
        if cell in given:
            if given[cell] not in digits:
                yield []
        else:
            yield [{cell: d} for d in digits if _fits(sees, facts, given, cell, d)]
    for digit, cells in facts.places:
        if not any(given.get(cell) == digit for cell in cells):
            yield [{c: digit} for c in sorted(cells) if _fits(sees, facts, given, c, digit)]
    for cells, fillings in facts.fillings:
        if all(cell in given for cell in cells):
            if tuple(given[cell] for cell in cells) not in fillings:
                yield []
            continue
        ways = []
        for filling in fillings:
            way = dict(zip(cells, filling, strict=True))
            if all(_fits(sees, facts, given, c, d) for c, d in way.items()) and not any(
                d == e and c < b and sees(c, b) for c, d in way.items() for b, e in way.items()
            ):
                ways.append(way)
        yield ways
