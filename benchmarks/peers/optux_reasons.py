"""Smallest reasons by python-sat's OptUx, one open elimination after the other.

OptUx (Ignatiev, Previti, Liffiton and Marques-Silva, "Smallest MUS extraction with minimal hitting set
dualization", 2015) is asked an easier question than gridassay: the fewest houses that contradict the
opposite of the elimination, with the candidates of all cells for free. When also asked for
the fewest candidates, with each premise a switch, it took more than three minutes for eight eliminations.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import combinations

from pysat.examples.optux import OptUx
from pysat.formula import WCNF

from benchmarks.peers.houses import CELLS, HOUSES, SIZE


def fewest_houses(masks: Sequence[int], targets: Iterable[tuple[int, int]]) -> int:
    """The fewest houses that any of the targets follows from.

    ``masks`` holds the candidates of each cell, one bit per digit; a target is a cell and a digit.
    """
    formula, fewest = _formula(masks), len(HOUSES)
    for cell, digit in targets:
        formula.hard.append([_literal(cell, digit)])
        with OptUx(formula) as search:
            fewest = min(fewest, len(search.compute()))
        formula.hard.pop()
    return fewest


def _literal(cell: int, digit: int) -> int:
    return SIZE * cell + digit + 1


def _formula(masks: Sequence[int]) -> WCNF:
    """The candidates hard, a switch for each house soft."""
    formula = WCNF()
    for cell in CELLS:
        literals = [_literal(cell, digit) for digit in range(SIZE)]
        formula.append(literals)
        formula.extend([[-one, -other] for one, other in combinations(literals, 2)])
        formula.extend([[-_literal(cell, d)] for d in range(SIZE) if not masks[cell] >> d & 1])
    for switch, house in enumerate(HOUSES, start=len(CELLS) * SIZE + 1):
        for digit in range(SIZE):
            literals = [_literal(cell, digit) for cell in house]
            formula.append([-switch, *literals])
            formula.extend([[-switch, -a, -b] for a, b in combinations(literals, 2)])
        formula.append([switch], weight=1)
    return formula
