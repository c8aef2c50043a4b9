"""A puzzle with one solution, with some clues removed: is there another solution then?

A *clue* is a given or a drawn rule that is not optional. Every analysis of clues puts this
one question, again and again, to one compiled puzzle: givens are assumed or not, rules
are switched on or not, and the known solution is forbidden once and for all.

A letter that no remaining rule mentions is no longer part of a solution, so it makes no difference
between two (see ``Model.mentions``).
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from types import TracebackType

from gridassay.encodings.constraints import Letter, Variable
from gridassay.encodings.puzzle import Fact, Puzzle, Solution
from gridassay.verify.budget import Clock
from gridassay.verify.engines.questions import Assertion, Demand, Denial, Engine, Switch


class Thinned:
    """A puzzle whose only solution is known, ready to be asked what is left without some clues.

    ``rules`` are the names of the rules that count. As a context manager it retires its demands.
    """

    def __init__(self, puzzle: Puzzle, known: Solution, engine: Engine) -> None:
        self.puzzle = puzzle
        self.known = known
        self.engine = engine
        named = zip(puzzle.rule_names, puzzle.rules, strict=True)
        self.by_name = {name: rule for name, rule in named if not (rule.optional or rule.defines)}
        self.rules = tuple(self.by_name)
        self.value: dict[Variable, int] = dict(zip(puzzle.board.shown, known, strict=True))
        self._fixed: list[Switch] = []
        for premise in engine.model.premises:
            if premise.name not in puzzle.rule_names:
                self._fixed.append(premise.name)
        self._forbidden: dict[frozenset[Variable], Demand] = {}

    def __enter__(self) -> Thinned:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.release()

    def release(self) -> None:
        """Retire the demands made so far, so that the engine may renew itself."""
        for demand in self._forbidden.values():
            self.engine.retire(demand)
        self._forbidden.clear()

    def on(self, rules: Collection[str]) -> list[Switch] | None:
        """The switches of the houses and these rules; None if that is all of them, as usual."""
        if len(rules) == len(self.rules):
            return None
        return [*self._fixed, *rules]

    def other(
        self,
        givens: Iterable[Assertion],
        clock: Clock,
        rules: Collection[str] | None = None,
        demands: Sequence[Demand] = (),
    ) -> Solution | None:
        """A solution other than the known one that keeps these givens and rules, or None.

        All rules that count are kept unless ``rules`` is given. Raises OutOfTime.
        """
        kept = self.rules if rules is None else rules
        different = self.different(kept)
        return self.engine.solve(givens, clock, on=self.on(kept), demands=[different, *demands])

    def different(self, rules: Collection[str]) -> Demand:
        """The demand for a solution other than the known one, as these rules tell solutions apart."""
        silent = frozenset[Variable]() if rules is self.rules else self._silent(rules)
        return self._different_but(silent)

    def _different_but(self, silent: frozenset[Variable]) -> Demand:
        if silent not in self._forbidden:
            if silent:
                options = [Denial(v, n) for v, n in self.value.items() if v not in silent]
                self._forbidden[silent] = self.engine.demand(options)
            else:
                self._forbidden[silent] = self.engine.forbid(self.known)
        return self._forbidden[silent]

    def grid_different(self) -> Demand:
        """The demand for another grid: a cell or a doubler differs, whatever letters stand for."""
        letters = [Letter(name) for name in self.puzzle.board.letters]
        return self._different_but(frozenset(letters))

    def without(self, fact: Fact) -> list[Assertion]:
        """All givens but one, and that one denied: every solution gained by its loss obeys these."""
        others: list[Assertion] = [given for given in self.puzzle.givens if given != fact]
        return [*others, Denial(*fact)]

    def _silent(self, rules: Collection[str]) -> frozenset[Variable]:
        """The letters that none of these rules mentions."""
        mentions = self.engine.model.mentions.items()
        return frozenset(letter for letter, names in mentions if not set(names) & set(rules))
