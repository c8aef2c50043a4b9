"""Smallest reasons if they are hardest to find, and against explanation tools of the field.

A position to measure reasons on is where singles, locked candidates and naked and hidden sets have
nothing more to say: before that the smallest reason is read off, and after it the search is what counts.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cache
from itertools import islice
from random import Random
from statistics import median

from benchmarks.corpora import lines
from benchmarks.maker import fewer_givens, random_solution
from benchmarks.measure import Measured, Row, seconds, spread
from benchmarks.peers import cpmpy_reasons, optux_reasons
from gridassay.encodings.grid import Cell
from gridassay.encodings.puzzle import Puzzle
from gridassay.encodings.rules.base import Rule
from gridassay.encodings.rules.cages import Cage
from gridassay.encodings.rules.lines import Thermometer
from gridassay.verify import read, route
from gridassay.verify.budget import Clock
from gridassay.verify.solving.board.position import Mark, Position
from gridassay.verify.solving.reasons.smallest import smallest_reason
from gridassay.verify.solving.reasons.witnesses import FoundReason, ReasonBook
from gridassay.verify.solving.techniques import TECHNIQUES
from gridassay.verify.solving.truth import Truth, truth_of

CLOCK = Clock(3600)
SETS = 5
"""The group of techniques that ends with naked and hidden sets."""

EASY = {name for technique in TECHNIQUES if technique.group <= SETS for name in technique.names}


@dataclass(frozen=True, eq=False)
class Stuck:
    """A puzzle at a position where nothing easy is open."""

    puzzle: Puzzle
    position: Position
    truth: Truth

    @property
    def targets(self) -> list[Mark]:
        """The open eliminations."""
        return self.truth.false_candidates(self.position)

    def asking(self) -> Callable[[], FoundReason]:
        """The question for the smallest reason; the puzzle is compiled, the position new."""
        book, targets = ReasonBook(self.puzzle, CLOCK), self.targets

        def ask() -> FoundReason:
            found = smallest_reason(book, self.position, targets, self.truth.solution, CLOCK)
            if found is None:
                raise AssertionError("no reason was found")
            return found

        return ask


def _stuck(puzzles: Iterator[Puzzle]) -> Iterator[Stuck]:
    rest = [name for technique in TECHNIQUES for name in technique.names if name not in EASY]
    for puzzle in puzzles:
        found = route(puzzle, without=rest, budget=60)
        if not found.solved:
            yield Stuck(puzzle, found.end, truth_of(puzzle, CLOCK))


@cache
def classic(count: int) -> tuple[Stuck, ...]:
    """Positions of the corpus of hard grids."""
    return tuple(islice(_stuck(map(read, lines("hard9"))), count))


@cache
def thirty_rules(seed: int) -> Puzzle:
    """Twenty cages and ten thermometers that fit a random grid, and the givens it then needs."""
    rng = Random(seed)
    empty = read("." * 81)
    grid = random_solution(empty, rng, CLOCK)
    digit = dict(zip(empty.canvas.cells, grid, strict=True))
    rules: list[Rule] = []
    for place in rng.sample(range(27), 20):
        row, column = place // 3 + 1, place % 3 * 3 + 1
        cells = tuple(Cell(row, column + step) for step in range(3))
        rules.append(Cage(cells=cells, sum=sum(digit[cell] for cell in cells)))
    while len(rules) < 30:
        path = [rng.choice(empty.canvas.cells)]
        while len(path) < 4:
            higher = [c for c in empty.canvas.neighbours(path[-1]) if digit[c] > digit[path[-1]]]
            if not higher:
                break
            path.append(rng.choice(higher))
        if len(path) > 2:
            rules.append(Thermometer(cells=tuple(path)))
    return fewer_givens(replace(empty, rules=tuple(rules)), grid, rng, CLOCK)


@cache
def variants(count: int) -> tuple[Stuck, ...]:
    """Positions of puzzles with thirty rules."""
    return tuple(islice(_stuck(thirty_rules(seed) for seed in range(100)), count))


def _milliseconds(works: Sequence[Callable[[], object]], note: str = "") -> Measured:
    """Processor time of each piece of work after a first that warms up, in milliseconds."""
    return spread([seconds(work).cpu * 1000 for work in works][1:], note)


def _reasons(positions: Sequence[Stuck]) -> Measured:
    open_ones = [len(stuck.targets) for stuck in positions]
    note = f"{min(open_ones)} to {max(open_ones)} open eliminations"
    return _milliseconds([stuck.asking() for stuck in positions], note)


def reason_classic(quick: bool) -> Measured:
    """The smallest reason over all open eliminations, each position met for the first time."""
    return _reasons(classic(9 if quick else 40))


def reason_variant(quick: bool) -> Measured:
    """The same with thirty rules."""
    return _reasons(variants(5 if quick else 16))


Peer = Callable[[Sequence[int], Sequence[Mark]], int]


def _against(peer: Peer, positions: Sequence[Stuck], most: int | None = None) -> Measured:
    """How much longer a peer takes for every open elimination in turn than we do for all at once.

    It is asked for ``most`` of them and its time scaled to all. No time counts unless its answers
    agree with ours.
    """
    ratios, each = [], []
    for stuck in positions:
        targets = stuck.targets
        asked = targets[:: len(targets) // most][:most] if most else targets
        found: list[int] = []
        spent = seconds(lambda s=stuck, a=asked, f=found: f.append(peer(s.position.masks, a))).cpu  # type: ignore[misc]
        ours = stuck.asking()().size[0]
        if found[0] < ours or (not most and found[0] != ours):
            raise AssertionError("a peer gives another number of houses than gridassay")
        own = median(seconds(stuck.asking()).cpu for _ in range(3))
        each.append(1000 * spent / len(asked))
        ratios.append(spent * len(targets) / len(asked) / own)
    return spread(ratios, f"{median(each):.3g} ms per elimination, for the houses alone")


def against_optux(quick: bool) -> Measured:
    """OptUx on each open elimination; it finds the houses, we the candidates and places too."""
    return _against(optux_reasons.fewest_houses, classic(6 if quick else 24)[1:])


def against_cpmpy(quick: bool) -> Measured:
    """CPMpy's ``optimal_mus`` on two open eliminations, its time scaled to all of them."""
    return _against(cpmpy_reasons.fewest_houses, classic(4 if quick else 10)[1:], most=2)


ROWS = (
    Row(7, "smallest reason, hard 9×9, nothing easy open", "at most", 50, "ms", reason_classic),
    Row(7, "smallest reason, 30 rules, nothing easy open", "at most", 300, "ms", reason_variant),
    Row(
        7, "smallest reason: OptUx on each in turn, against us", "at least", 20, "×", against_optux
    ),
    Row(
        7, "smallest reason: CPMpy on each in turn, against us", "at least", 20, "×", against_cpmpy
    ),
)
