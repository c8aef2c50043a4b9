"""The smallest repairs of a puzzle: givens or rules to add, givens or rules to remove.

A *repair* of a puzzle with several solutions is a smallest set of further givens that leaves only
one, named beforehand: every other solution differs from it somewhere, so the repair must contain
one of the cells where it does. That is a smallest core (``engines/cores.py``) of the facts of the
named solution on top of "some cell differs from it". Rules that a file marks ``optional`` are
chosen in the same way.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any, Literal

from gridassay.encodings.grid import Cell
from gridassay.encodings.puzzle import Fact, Puzzle, Solution
from gridassay.encodings.variables import Layered
from gridassay.verify.budget import DEFAULT_SECONDS, Clock, OutOfTime, within_budget
from gridassay.verify.counting.solution_count import some_solutions
from gridassay.verify.engines import sat_engine_for
from gridassay.verify.engines.cores import (
    Element,
    Question,
    single_cures,
    smallest_core,
    smallest_cure,
)
from gridassay.verify.engines.questions import other_than
from gridassay.verify.in_short import InShort

TRIES = 20

Left = Literal["unique", "multiple"] | None
"""What remains: one solution, several, or None if it is not known."""


@dataclass(frozen=True, repr=False)
class Repair(InShort):
    """Givens that leave ``solution`` as the only one.

    ``proved`` says that fewer are not enough for this solution. ``tried`` counts the solutions that
    were tried, and ``all_tried`` says that there are no others, so that ``proved`` then holds
    for any solution.
    """

    givens: tuple[Fact, ...]
    solution: Solution
    proved: bool
    tried: int = 1
    all_tried: bool = False

    def in_short(self) -> str:
        """The givens to add."""
        told = ", ".join(map(str, self.givens))
        return f"{told} (fewer are not enough)" if self.proved else told


@dataclass(frozen=True, repr=False)
class RuleRepair(InShort):
    """Optional rules that leave ``solution`` as the only one if they count.

    ``rules`` is None if not even all the optional rules that this solution satisfies are enough.
    """

    rules: tuple[str, ...] | None
    solution: Solution
    proved: bool

    def in_short(self) -> str:
        """The optional rules to count."""
        if self.rules is None:
            return "no optional rules are enough"
        told = ", ".join(self.rules)
        return f"{told} (fewer are not enough)" if self.proved else told


@dataclass(frozen=True, repr=False)
class Drop(InShort):
    """Givens and rules without which a puzzle has a solution; ``proved`` if fewer are not enough.

    ``leaves`` says whether one solution or several are then left, None if that was not reached. If
    it is a single given or rule, ``instead`` says the same about the others that would work as
    well; those that leave one solution come first.
    """

    givens: tuple[Fact, ...]
    rules: tuple[str, ...]
    proved: bool
    leaves: Left = None
    instead: Mapping[str, Left] = field(default_factory=dict)

    def in_short(self) -> str:
        """The givens and rules to remove, and the verdict that this leaves."""
        told = ", ".join([*map(str, self.givens), *self.rules])
        return f"{told}, then {self.leaves}" if self.leaves else told

    def to_json(self) -> dict[str, Any]:
        """The premises to remove, as results call them."""
        return {
            "premises": [*map(str, self.givens), *self.rules],
            "smallest": self.proved,
            "leaves": self.leaves,
            "instead": list(self.instead),
            "instead_leaves": dict(self.instead),
        }


@within_budget
def repair(
    puzzle: Puzzle, solution: Solution, *, budget: float | Clock = DEFAULT_SECONDS
) -> Repair | None:
    """A smallest set of extra givens that leaves only this solution of the puzzle.

    None if unknowns differ although all cells agree: no given can repair that. Raises OutOfTime if none
    was found in time.
    """
    clock = Clock.of(budget)
    engine = sat_engine_for(puzzle, clock)
    given = {fact.variable for fact in puzzle.givens}
    facts = [
        Fact(variable, value)
        for variable, value in zip(engine.model.shown, solution, strict=True)
        if isinstance(variable, Cell | Layered) and variable not in given
    ]
    with other_than(engine, solution) as other:
        on = puzzle.model.by_default
        question = Question(puzzle, engine, facts, puzzle.givens, on, [other])
        found = smallest_core(question, clock)
    if found is None:
        return None
    return Repair(_facts(found.elements), solution, found.proved)


@within_budget
def any_repair(
    puzzle: Puzzle, *, budget: float | Clock = DEFAULT_SECONDS, tries: int = TRIES
) -> Repair | None:
    """The smallest of the repairs towards up to ``tries`` solutions. Raises OutOfTime as above."""
    clock = Clock.of(budget)
    engine = sat_engine_for(puzzle, clock)
    pool = some_solutions(engine, puzzle.givens, clock.share(0.2), limit=tries)
    best: Repair | None = None
    tried = 0
    for solution in pool.solutions:
        try:
            found = repair(puzzle, solution, budget=clock)
        except OutOfTime:
            if best is None:
                raise
            break
        tried += 1
        if found and (best is None or len(found.givens) < len(best.givens)):
            best = found
    return best and replace(
        best, tried=tried, all_tried=pool.complete and tried == len(pool.solutions)
    )


@within_budget
def rule_repair(
    puzzle: Puzzle, *, budget: float | Clock = DEFAULT_SECONDS, solution: Solution | None = None
) -> RuleRepair | None:
    """A smallest set of the optional rules that leaves one solution, this one if it is given.

    By default, this is a solution that satisfies every optional rule if there is one, else the first
    found. None if the puzzle has no optional rule or no solution. Raises OutOfTime.
    """
    clock = Clock.of(budget)
    optional = [
        name
        for name, rule in zip(puzzle.rule_names, puzzle.rules, strict=True)
        if rule.optional and not rule.defines
    ]
    if not optional:
        return None
    engine = sat_engine_for(puzzle, clock)
    on = puzzle.model.by_default
    if solution is None:
        solution = engine.solve(puzzle.givens, clock, on=[*on, *optional])
    if solution is None:
        solution = engine.solve(puzzle.givens, clock, on=on)
    if solution is None:
        return None
    counted = tuple(
        rule if rule.defines else rule.model_copy(update={"optional": False})
        for rule in puzzle.rules
    )
    whole = replace(puzzle, rules=counted)
    broken = set(whole.violations(solution))
    elements = [name for name in optional if name not in broken]
    with other_than(engine, solution) as other:
        question = Question(whole, engine, elements, puzzle.givens, on, [other])
        found = smallest_core(question, clock)
    if found is None:
        return RuleRepair(None, solution, proved=True)
    return RuleRepair(_names(found.elements), solution, found.proved)


@within_budget
def drop(puzzle: Puzzle, *, budget: float | Clock = DEFAULT_SECONDS) -> Drop | None:
    """The fewest givens and rules without which a puzzle has a solution, houses kept.

    None if the houses alone have none. Raises OutOfTime if nothing was found in time.
    """
    clock = Clock.of(budget)
    engine = sat_engine_for(puzzle, clock)
    premises = engine.model.premises
    rules = [p.name for p in premises if p.kind == "rule" and not p.optional]
    houses = [p.name for p in premises if p.kind == "house"]
    question = Question(puzzle, engine, [*puzzle.givens, *rules], on=houses)
    found = smallest_cure(question, clock)
    if found is None:
        return None
    cures = [tuple(found.elements)]
    left: dict[tuple[Element, ...], Left] = {}
    try:
        if len(found.elements) == 1:
            cures += [(one,) for one in single_cures(question, clock) if (one,) not in cures]
        for cure in cures:
            left[cure] = _solutions_left(question, cure, clock)
    except OutOfTime:
        pass
    cures.sort(key=lambda cure: left.get(cure) != "unique")
    best, *others = cures
    instead = {str(one): left.get((one,)) for (one,) in others}
    return Drop(_facts(best), _names(best), found.proved, left.get(best), instead)


def _solutions_left(question: Question, dropped: Sequence[Element], clock: Clock) -> Left:
    """Whether exactly one solution is left without these; at least one is known to be left."""
    kept = [place for place, one in enumerate(question.elements) if one not in dropped]
    solution = question.solve(kept, clock)
    assert solution is not None
    with other_than(question.engine, solution) as other:
        return "unique" if question.solve(kept, clock, [other]) is None else "multiple"


def _facts(elements: Sequence[Element]) -> tuple[Fact, ...]:
    return tuple(element for element in elements if not isinstance(element, str))


def _names(elements: Sequence[Element]) -> tuple[str, ...]:
    return tuple(element for element in elements if isinstance(element, str))
