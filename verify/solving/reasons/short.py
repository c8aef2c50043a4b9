"""A short reason for when the smallest takes too long: the shortest of a few proofs, made shorter.

The solver's own proofs of the open eliminations show which premises it used; the proof with the fewest
is then thinned premise by premise (deletion, as in Marques-Silva, "Minimal unsatisfiability: models,
algorithms and applications", ISMVL 2010), within an effort that does not delay a route.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Sequence
from typing import NamedTuple

from gridassay.verify.budget import Clock
from gridassay.verify.engines.deletion import Item, irreducible
from gridassay.verify.engines.questions import Switch
from gridassay.verify.engines.sat import SatEngine
from gridassay.verify.solving.board.position import Mark, Position
from gridassay.verify.solving.reasons.proving import contrary
from gridassay.verify.solving.reasons.witnesses import ReasonBook

TELLABLE = 8
"""The number of houses and rule parts from which nobody would tell a reason."""

EFFORTS = ((500, 1000, 2), (20_000, 30_000, 1))
"""The most conflicts of one proof, those after which no more are made, how many are shortened.

The second line is tried if nothing was proved with the first.
"""


class ShortReason(NamedTuple):
    """An elimination, the houses and rule parts, and the cells whose candidates it follows from."""

    mark: Mark
    parts: Sequence[Switch]
    cells: Sequence[int]


class ShortReasons:
    """Makes short reasons in one position; the book must have entered it."""

    def __init__(self, book: ReasonBook, position: Position, clock: Clock) -> None:
        self._book = book
        self._clock = clock
        self._layout = position.layout
        self._left = [mask.bit_count() for mask in position.masks]
        self._proof_effort, self._effort, _ = EFFORTS[0]
        self._about = [book.about_cell(position, cell) for cell in range(len(position.masks))]

    def shortest(self, targets: Iterable[Mark]) -> ShortReason | None:
        """The shortest of a few whose first proof is short; None if no proof came in time.

        Raises OutOfTime if the clock runs out.
        """
        for self._proof_effort, self._effort, few in EFFORTS:
            if proofs := self._proofs(targets):
                return min(map(self._shorter, proofs[:few]), key=self._worth)
        return None

    def _proofs(self, targets: Iterable[Mark]) -> list[ShortReason]:
        """Eliminations that all premises prove, the most promising first."""
        proofs = []
        spent = self._spending(self._book.settled)
        for mark in sorted(targets, key=lambda mark: (self._left[mark[0]], mark)):
            parts = self._proof(mark, self._book.switches)
            if parts is not None:
                proofs.append(ShortReason(mark, parts, ()))
            if spent():
                break
            self._clock.check()
        return sorted(proofs, key=self._worth)

    def _worth(self, found: ShortReason) -> tuple[int, ...]:
        """Fewest parts first; if there are too many parts to tell, fewest candidates left."""
        mark, parts, cells = found
        few = min(len(parts), TELLABLE)
        return few, self._left[mark[0]], len(parts), len(cells), *mark

    def _proof(self, mark: Mark, on: Sequence[Switch]) -> tuple[Switch, ...] | None:
        """Parts that strike a target with every candidate as a premise, if that is proved soon."""
        opposite = contrary(self._layout, mark, placed=False)
        reason = self._book.settled.refutes([opposite], on, self._proof_effort)
        return None if reason is None else reason.premises

    def _shorter(self, found: ShortReason) -> ShortReason:
        """A reason for the same target, made as small as can be found soon."""
        mark, parts, _ = found
        kept = self._irreducible(parts, self._book.settled, lambda some: self._proof(mark, some))
        everything = range(len(self._about))
        enough = self._enough_cells(mark, kept, everything)
        cells = self._irreducible(
            everything if enough is None else enough,
            self._book.engine,
            lambda some: self._enough_cells(mark, kept, some),
        )
        return ShortReason(mark, kept, cells)

    def _irreducible(
        self,
        items: Iterable[Item],
        engine: SatEngine,
        rests_on: Callable[[list[Item]], Collection[Item] | None],
    ) -> list[Item]:
        """Deletion, for as long as an engine's effort for short reasons lasts."""
        spent = self._spending(engine)

        def soon(some: list[Item]) -> Collection[Item] | None:
            self._clock.check()
            return None if spent() else rests_on(some)

        return irreducible(items, soon)

    def _enough_cells(
        self, mark: Mark, parts: Sequence[Switch], cells: Sequence[int]
    ) -> list[int] | None:
        """Some of these cells whose candidates are enough as premises, if that is proved soon."""
        opposite = contrary(self._layout, mark, placed=False)
        about = [self._about[cell] for cell in cells]
        reason = self._book.engine.refutes([opposite], parts, self._proof_effort, about)
        if reason is None:
            return None
        used = set(reason.demands)
        return [cell for cell in cells if self._about[cell] in used]

    def _spending(self, engine: SatEngine) -> Callable[[], bool]:
        """Whether an engine has used up its effort for short reasons."""
        limit = engine.effort()["conflicts"] + self._effort
        return lambda: engine.effort()["conflicts"] > limit
