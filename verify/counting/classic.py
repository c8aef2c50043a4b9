"""Classic 9×9 grids in bulk: a compiled search that counts to two, for the extra ``bulk``.

Depth-first search on bit masks with two kinds of propagation, naked and hidden singles, branching on a
cell with the fewest candidates; compiled by numba over an array of grids. Each grid may visit a limited
number of nodes: beyond it the search says *undecided* and the grid is left to the SAT engine, so that
no grid holds up the rest. The search is written for this one shape of grid and shares nothing with the
clauses. Every solution it gives is read back like any other.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from time import perf_counter
from typing import TYPE_CHECKING, Any

import numba
import numpy as np

from gridassay.encodings.grid import classic
from gridassay.encodings.puzzle import Fact, Puzzle
from gridassay.verify.budget import Clock
from gridassay.verify.counting.verdict import STATUSES, Verdict, confirm

if TYPE_CHECKING:
    from numpy.typing import NDArray

NODE_LIMIT = 20_000
_SLICE_NODES = 100_000
_FOUND, _DEPTH, _DESCEND = 0, 1, 2
UNDECIDED = -1

_ROW = np.array([cell // 9 for cell in range(81)], dtype=np.int64)
_COLUMN = np.array([9 + cell % 9 for cell in range(81)], dtype=np.int64)
_BOX = np.array([18 + cell // 27 * 3 + cell % 9 // 3 for cell in range(81)], dtype=np.int64)
_HOUSE_OF = np.stack([_ROW, _COLUMN, _BOX], axis=1)
_CELLS_OF = np.array(
    [[cell for cell in range(81) if house in _HOUSE_OF[cell]] for house in range(27)],
    dtype=np.int64,
)
_PEERS = np.array(
    [
        sorted({p for house in _HOUSE_OF[cell] for p in _CELLS_OF[house] if p != cell})
        for cell in range(81)
    ],
    dtype=np.int64,
)


def count_to_two(
    grids: NDArray[np.int8], node_limit: int = NODE_LIMIT
) -> tuple[NDArray[np.int8], NDArray[np.int8], list[float]]:
    """Count the solutions of many grids, each 81 digits in reading order, 0 if none is given.

    Returns 0, 1 or 2 for each grid, or UNDECIDED if the limit was reached first; for each grid two
    rows with the solutions found, zeros where there was none; and the seconds of each.
    """
    counts = np.zeros(len(grids), dtype=np.int8)
    solutions = np.zeros((len(grids), 2, 81), dtype=np.int8)
    # Loads the compiled search, on no grid's time.
    empty, one, two = (
        np.zeros((1, 81), np.int8),
        np.zeros(1, np.int8),
        np.zeros((1, 2, 81), np.int8),
    )
    _count_row(0, empty, one, two, 0, _CELLS_OF, _PEERS)
    times = [perf_counter()]
    for row in range(len(grids)):
        _count_row(row, grids, counts, solutions, node_limit, _CELLS_OF, _PEERS)
        times.append(perf_counter())
    return counts, solutions, [ended - started for started, ended in pairwise(times)]


def count_classic(givens: Sequence[Fact], limit: int, clock: Clock) -> tuple[int, bool]:
    """Count the solutions of one classic 9×9 grid up to ``limit``, and whether that is all of them.

    If the clock runs out, the count so far is returned.
    """
    index = classic(9).index
    grid = np.zeros(81, dtype=np.int8)
    for cell, digit in givens:
        place = index[cell]  # type: ignore[index]
        if grid[place] not in (0, digit):
            return 0, True
        grid[place] = digit
    masks, branch = np.empty((82, 81), dtype=np.int16), np.empty(82, dtype=np.int64)
    state, solutions = np.zeros(3, dtype=np.int64), np.zeros((2, 81), dtype=np.int8)
    finished = not _begin(grid, masks, state, _PEERS)
    while not finished and clock.time_left() > 0:
        finished = _search(
            state, solutions, limit + 1, _SLICE_NODES, masks, branch, _CELLS_OF, _PEERS
        )
    found = int(state[_FOUND])
    return min(found, limit), finished and found <= limit


def bulk_verdicts(puzzles: Sequence[Puzzle]) -> list[Verdict | None]:
    """Verdicts on the classic 9×9 grids among the puzzles; None for others and for undecided ones.

    A solution that breaks the plain reading raises Disagreement, as in ``check``. Each is counted by
    itself, so that its seconds are its own.
    """
    verdicts: list[Verdict | None] = [None] * len(puzzles)
    places = [place for place, puzzle in enumerate(puzzles) if _is_classic(puzzle)]
    digits = bytearray().join([_digits(puzzles[place]) for place in places])
    grids = np.frombuffer(digits, dtype=np.int8).reshape(-1, 81)
    counts, solutions, seconds = count_to_two(grids)
    filled = np.count_nonzero(grids, axis=1).tolist()
    rows = zip(places, filled, counts.tolist(), solutions.tolist(), seconds, strict=True)
    for place, given, count, found, taken in rows:
        puzzle = puzzles[place]
        # Fewer digits than givens: two were given to one cell, which an array cannot hold.
        if count == UNDECIDED or given < len(puzzle.givens):
            continue
        shown = tuple(map(tuple, found[:count]))
        for one in shown:
            confirm(puzzle, one, "search")
        verdicts[place] = Verdict(puzzle, STATUSES[count], shown, "search", taken)
    return verdicts


def _digits(puzzle: Puzzle) -> bytearray:
    """The givens in reading order, 0 for an empty cell."""
    index, digits = puzzle.canvas.index, bytearray(81)
    for cell, digit in puzzle.givens:
        digits[index[cell]] = digit  # type: ignore[index]
    return digits


def _is_classic(puzzle: Puzzle) -> bool:
    return puzzle.canvas == classic(9) and not (puzzle.rules or puzzle.doublers)


def _compile(function: Any) -> Any:
    return numba.njit(cache=True, nogil=True)(function)


@_compile
def _count_row(
    row: int,
    grids: Any,
    counts: Any,
    solutions: Any,
    node_limit: int,
    cells_of: Any,
    peers: Any,
) -> None:
    masks = np.empty((82, 81), dtype=np.int16)
    branch = np.empty(82, dtype=np.int64)
    counts[row] = _count(grids[row], solutions[row], node_limit, masks, branch, cells_of, peers)


@_compile
def _bits(mask: int) -> int:
    count = 0
    while mask:
        mask &= mask - 1
        count += 1
    return count


@_compile
def _fix(mask: Any, cell: int, bit: int, peers: Any, queue: Any) -> bool:
    """Put a digit into a cell and follow the naked singles that it makes; false on a clash."""
    if not mask[cell] & bit:
        return False
    mask[cell] = bit
    queue[0] = cell
    length = 1
    while length:
        length -= 1
        at = queue[length]
        value = mask[at]
        for peer in peers[at]:
            if mask[peer] & value:
                left = mask[peer] & ~value
                if not left:
                    return False
                mask[peer] = left
                if not left & (left - 1):
                    queue[length] = peer
                    length += 1
    return True


@_compile
def _place_hidden_singles(mask: Any, cells_of: Any, peers: Any, queue: Any) -> bool:
    """Place digits that have one place left in a house, until there are none; false on a clash."""
    changed = True
    while changed:
        changed = False
        for house in range(27):
            once, twice, placed = 0, 0, 0
            for cell in cells_of[house]:
                value = mask[cell]
                twice |= once & value
                once |= value
                if not value & (value - 1):
                    placed |= value
            if once != 511:
                return False
            single = once & ~twice & ~placed
            while single:
                bit = single & -single
                single ^= bit
                for cell in cells_of[house]:
                    if mask[cell] & bit:
                        if not _fix(mask, cell, bit, peers, queue):
                            return False
                        changed = True
                        break
    return True


@_compile
def _count(
    grid: Any,
    solutions: Any,
    node_limit: int,
    masks: Any,
    branch: Any,
    cells_of: Any,
    peers: Any,
) -> int:
    state = np.zeros(3, dtype=np.int64)
    if not _begin(grid, masks, state, peers):
        return 0
    if not _search(state, solutions, 2, node_limit, masks, branch, cells_of, peers):
        return -1
    return int(state[_FOUND])


@_compile
def _begin(grid: Any, masks: Any, state: Any, peers: Any) -> bool:
    """Lay out the givens for a search; false if they clash."""
    queue = np.empty(81, dtype=np.int64)
    masks[0, :] = 511
    for cell in range(81):
        if grid[cell] and not _fix(masks[0], cell, 1 << (grid[cell] - 1), peers, queue):
            return False
    state[_FOUND], state[_DEPTH], state[_DESCEND] = 0, 0, 1
    return True


@_compile
def _search(
    state: Any,
    solutions: Any,
    limit: int,
    node_limit: int,
    masks: Any,
    branch: Any,
    cells_of: Any,
    peers: Any,
) -> bool:
    """Go on counting where ``state``, ``masks`` and ``branch`` stand; true when that is finished.

    It is finished when there are no more solutions or ``limit`` were found, and not when
    ``node_limit`` nodes were visited first. As many solutions are kept as there is room for.
    """
    queue = np.empty(81, dtype=np.int64)
    found, depth, descend = state[_FOUND], state[_DEPTH], state[_DESCEND] == 1
    nodes = 0
    while depth >= 0 and found < limit:
        if descend:
            if nodes == node_limit:
                break
            nodes += 1
            descend = False
            if not _place_hidden_singles(masks[depth], cells_of, peers, queue):
                depth -= 1
                continue
            best, fewest = -1, 10
            for cell in range(81):
                size = _bits(masks[depth, cell])
                if 1 < size < fewest:
                    best, fewest = cell, size
                    if size == 2:
                        break
            if best < 0:
                found += 1
                if found <= len(solutions):
                    for cell in range(81):
                        solutions[found - 1, cell] = _bits(masks[depth, cell] - 1) + 1
                depth -= 1
                continue
            branch[depth] = best
        # Try the lowest candidate left at this depth and take it off for the next time.
        cell = branch[depth]
        mask = masks[depth, cell]
        if not mask:
            depth -= 1
            continue
        bit = mask & -mask
        masks[depth + 1, :] = masks[depth, :]
        masks[depth, cell] = mask & ~bit
        if _fix(masks[depth + 1], cell, bit, peers, queue):
            depth += 1
            descend = True
    state[_FOUND], state[_DEPTH], state[_DESCEND] = found, depth, int(descend)
    return bool(depth < 0 or found == limit)
