"""Which cells and unknowns are no longer certain when a clue is removed.

For each of them the engine is asked whether it can differ from the known solution. Two things save
most questions. A solution found opens every cell in which it differs. And a proof that a cell is
certain without one clue, which rests on a few of the others, is a proof without each clue that it
does not rest on: a proof found for one clue answers the same question for most of the others.
"""

from __future__ import annotations

from collections.abc import Sequence

from gridassay.encodings.constraints import Doubler, Variable
from gridassay.encodings.puzzle import Fact, Solution
from gridassay.verify.budget import Clock
from gridassay.verify.clue_worth.thinning import Thinned
from gridassay.verify.engines.questions import Assertion, Denial, Switch


class Certain:
    """Remembers, for each cell and unknown, what proofs of its value rested on."""

    def __init__(self, thinned: Thinned) -> None:
        self.thinned = thinned
        self._shown = [
            (place, variable)
            for place, variable in enumerate(thinned.puzzle.board.shown)
            if not isinstance(variable, Doubler)
        ]
        self._proofs: dict[Variable, list[frozenset[Fact | str]]] = {}

    def open_without(
        self,
        clue: Fact | str,
        other: Solution,
        assuming: Sequence[Assertion],
        on: Sequence[Switch] | None,
        clock: Clock,
    ) -> tuple[Variable, ...]:
        """Yield the cells and unknowns that take several values without a clue, as
        solutions show them.

        ``other`` is a solution without it, ``assuming`` and ``on`` are what is left. Raises OutOfTime.
        """
        known = self.thinned.known
        open_places = self._differing(other)
        for place, variable in self._shown:
            if place in open_places or self._proves(variable, clue):
                continue
            clock.check()
            otherwise = Denial(variable, known[place])
            found = self.thinned.engine.solve([*assuming, otherwise], clock, on=on)
            if found is None:
                self._note(variable)
            else:
                open_places |= self._differing(found)
        return tuple(variable for place, variable in self._shown if place in open_places)

    def _differing(self, solution: Solution) -> set[int]:
        pairs = zip(solution, self.thinned.known, strict=True)
        return {place for place, (one, other) in enumerate(pairs) if one != other}

    def _proves(self, variable: Variable, clue: Fact | str) -> bool:
        return any(clue not in proof for proof in self._proofs.get(variable, ()))

    def _note(self, variable: Variable) -> None:
        """Keep what the last refusal rested on."""
        reason = self.thinned.engine.why()
        facts = {one for one in reason.assertions if isinstance(one, Fact)}
        names = {switch if isinstance(switch, str) else switch[0] for switch in reason.premises}
        self._proofs.setdefault(variable, []).append(frozenset[Fact | str](facts | names))
