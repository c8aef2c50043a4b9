"""Why a puzzle has no solution: smallest sets of premises that already contradict each other.

Smallest means fewest givens and rules, and among those sets fewest houses. The givens and rules are
settled first with all houses on, which is quick; their number then guides the joint search for the
houses, which decides among sets of that size. Conflicts that share no given and no rule are found
one after another.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import chain
from typing import Any

from gridassay.encodings.grid import Cell
from gridassay.encodings.puzzle import Fact, Puzzle
from gridassay.verify.budget import DEFAULT_SECONDS, Clock, OutOfTime, within_budget
from gridassay.verify.engines import sat_engine_for
from gridassay.verify.engines.cores import Element, Question, smallest_core
from gridassay.verify.engines.sat import SatEngine
from gridassay.verify.in_short import InShort

MOST = 5


@dataclass(frozen=True, repr=False)
class Conflict(InShort):
    """Premises that cannot all hold, but can if any one of them is left out.

    ``smallest`` says that no set has fewer givens and rules, or as few and fewer houses.
    """

    givens: tuple[Fact, ...]
    rules: tuple[str, ...]
    houses: tuple[str, ...]
    smallest: bool

    def in_short(self) -> str:
        """The premises that cannot all hold."""
        return ", ".join(self.premises)

    @property
    def premises(self) -> tuple[str, ...]:
        """All of them as results call them: givens, rules, houses."""
        return (*map(str, self.givens), *self.rules, *self.houses)


@dataclass(frozen=True, repr=False)
class Conflicts(InShort):
    """Conflicts that share no given and no rule; ``complete`` if there are no others."""

    found: tuple[Conflict, ...]
    complete: bool

    def in_short(self) -> str:
        """Each conflict, and whether there may be others."""
        told = "; ".join(one.in_short() for one in self.found) or "none found"
        return told if self.complete else f"{told}; there may be others"

    def to_json(self) -> dict[str, Any]:
        """The first conflict, as the JSON contract has it, and all of them in full."""
        first = [*self.found[0].premises] if self.found else []
        return {
            "conflict": first,
            "conflicts": [
                {"premises": [*one.premises], "smallest": one.smallest} for one in self.found
            ],
            "conflicts_complete": self.complete,
        }


@within_budget
def conflicts(
    puzzle: Puzzle, *, budget: float | Clock = DEFAULT_SECONDS, most: int = MOST
) -> Conflicts:
    """Find what contradicts what in a puzzle without a solution; empty if it has one.

    If the clock runs out, the conflicts found so far are returned; the last may not be smallest.
    """
    clock = Clock.of(budget)
    found: list[Conflict] = []
    givens = list(puzzle.givens)
    try:
        engine = sat_engine_for(puzzle, clock)
        premises = engine.model.premises
        rules = [p.name for p in premises if p.kind == "rule" and not p.optional]
        houses = [p.name for p in premises if p.kind == "house"]
        while len(found) < most:
            conflict = _smallest(puzzle, engine, givens, rules, houses, clock)
            if conflict is None:
                return Conflicts(tuple(found), complete=True)
            found.append(conflict)
            if not (conflict.givens or conflict.rules):
                return Conflicts(tuple(found), complete=True)
            givens = [given for given in givens if given not in conflict.givens]
            rules = [rule for rule in rules if rule not in conflict.rules]
        complete = engine.solve(givens, clock, on=[*houses, *rules]) is not None
    except OutOfTime:
        complete = False
    return Conflicts(tuple(found), complete)


def _smallest(
    puzzle: Puzzle,
    engine: SatEngine,
    givens: Sequence[Fact],
    rules: Sequence[str],
    houses: Sequence[str],
    clock: Clock,
) -> Conflict | None:
    first = smallest_core(Question(puzzle, engine, [*givens, *rules], on=houses), clock.share(0.6))
    if first is None:
        return None
    proved = False
    elements: Sequence[Element] = [*first.elements, *houses]
    if first.proved:
        # The joint search may choose other givens for the sake of fewer houses; half of the
        # remaining time is for it, the other half for keeping the givens as they are.
        whole = Question(puzzle, engine, [*givens, *rules, *houses])
        try:
            joint = smallest_core(whole, clock.share(0.5), len(givens) + len(rules))
        except OutOfTime:
            joint = None
        if joint is not None:
            proved, elements = joint.proved, joint.elements
    if not proved:
        chosen = [one for one in elements if one not in houses]
        if len(chosen) > len(first.elements):
            chosen = [*first.elements]
        facts = [one for one in chosen if not isinstance(one, str)]
        names = [one for one in chosen if isinstance(one, str)]
        fewer = Question(puzzle, engine, houses, facts, names)
        try:
            needed = smallest_core(fewer, clock)
            elements = [*chosen, *(needed.elements if needed else ())]
        except OutOfTime:
            elements = [*chosen, *houses]
    return Conflict(
        tuple(one for one in elements if not isinstance(one, str)),
        tuple(one for one in elements if isinstance(one, str) and one not in houses),
        tuple(one for one in elements if isinstance(one, str) and one in houses),
        smallest=proved,
    )


def conflict_cells(puzzle: Puzzle, conflict: Conflict) -> frozenset[Cell]:
    """The cells that the givens and rules of a conflict lie on."""
    drawn = dict(zip(puzzle.rule_names, puzzle.rules, strict=True))
    on_rules = chain.from_iterable(drawn[name].where() for name in conflict.rules if name in drawn)
    givens = (fact.variable for fact in conflict.givens if isinstance(fact.variable, Cell))
    return frozenset((*givens, *on_rules))
