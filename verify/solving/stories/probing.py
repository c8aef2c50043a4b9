"""Finds suppositions that fail at a glance: failed-literal probing by unit propagation over the clauses.

W. Li and Anbulagan, "Heuristics based on unit propagation for satisfiability problems" (IJCAI
1997), choose by it what to branch on; here it finds the candidates that are worth supposing. None
of it is shown: every story is made and proved by itself.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from gridassay.encodings.model import Model
from gridassay.verify.budget import Clock
from gridassay.verify.engines.sat import SatEngine
from gridassay.verify.solving.board.position import Mark, Position, members

_SOLVER = "minisat22"


class Probe(NamedTuple):
    """Whether a supposition fails at a glance, and how much it forces if it does not."""

    fails: bool
    forces: int


class Prober:
    """Probes the positions of one puzzle. These may only lose candidates; otherwise it begins again."""

    def __init__(self, model: Model) -> None:
        self._model = model
        self._masks: tuple[int, ...] = ()

    def enter(self, position: Position) -> None:
        """Make ready for a position."""
        masks = tuple(position.masks)
        if not self._masks or any(new & ~old for new, old in zip(masks, self._masks, strict=True)):
            self._engine = SatEngine(self._model, Clock(float("inf")), solver=_SOLVER)
            self._engine.bind()
            self._masks = position.layout.full
            self._failing: set[Mark] = set()
        layout = position.layout
        self._engine.settle(
            layout.denial((one, value))
            for one, mask in enumerate(masks)
            for value in members(self._masks[one] & ~mask)
        )
        self._masks = masks

    def probe(self, position: Position, marks: Iterable[Mark]) -> dict[Mark, Probe]:
        """Each candidate supposed. What failed with more candidates fails again."""
        found = {}
        for mark in marks:
            if mark in self._failing:
                found[mark] = Probe(True, 0)
                continue
            holds, forces = self._engine.propagate(position.layout.fact(mark))
            found[mark] = Probe(not holds, forces)
            if not holds:
                self._failing.add(mark)
        return found
