"""The usual slips, each tried: which single misprint, undone, leaves a puzzle with one solution?

The same search serves a puzzle with no solution and one with several. Most candidates are settled
without a solver: a contradiction found once condemns every set of givens that contains it, and two
solutions found once condemn every set that both keep. For a rule, solutions of the puzzle without it
are gathered once, and every reading of the rule is held against them in plain Python; when they are
all the solutions there are, that settles it, and only otherwise is the altered rule compiled.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import combinations
from typing import TYPE_CHECKING, Any, NamedTuple

from gridassay.encodings.grid import Cell
from gridassay.encodings.puzzle import Fact, Puzzle, Solution
from gridassay.verify.budget import DEFAULT_SECONDS, Clock, OutOfTime
from gridassay.verify.counting.count import some_solutions
from gridassay.verify.counting.verdict import confirm
from gridassay.verify.engines import sat_engine_for
from gridassay.verify.engines.questions import Engine

if TYPE_CHECKING:
    from gridassay.encodings.rules.base import Rule
    from gridassay.verify.mending.misprints import AlteredRule

_POOL = 24
_TOGETHER = 100
_CORES = 60


@dataclass(frozen=True)
class Slip:
    """A misprint in words, the puzzle without it, and the one solution it then has."""

    text: str
    puzzle: Puzzle
    solution: Solution

    def to_json(self) -> dict[str, Any]:
        """The words and the solution's line."""
        return {"slip": self.text, "solution": self.puzzle.line(self.solution)}


@dataclass(frozen=True)
class Slips:
    """The slips that mend a puzzle; ``complete`` when all the usual ones were tried."""

    found: tuple[Slip, ...]
    complete: bool


def usual_slips(puzzle: Puzzle, budget: float | Clock = DEFAULT_SECONDS) -> Slips:
    """Try the usual slips, givens first; what was found when the clock runs out is given."""
    clock = Clock.of(budget)
    found: list[Slip] = []
    try:
        engine = sat_engine_for(puzzle, clock)
        for slip in _all(puzzle, engine, clock):
            confirm(slip.puzzle, slip.solution, engine.name)
            found.append(slip)
    except OutOfTime:
        return Slips(tuple(found), complete=False)
    return Slips(tuple(found), complete=True)


def _all(puzzle: Puzzle, engine: Engine, clock: Clock) -> Iterator[Slip]:
    yield from _givens(puzzle, engine, clock)
    unsettled: list[tuple[int, AlteredRule]] = []
    for place, rule in enumerate(puzzle.rules):
        if not rule.optional:
            yield from _rule(puzzle, engine, place, unsettled, clock)
    for start in range(0, len(unsettled), _TOGETHER):
        yield from _compiled(puzzle, unsettled[start : start + _TOGETHER], clock)


class AlteredGivens(NamedTuple):
    """Givens with one misprint undone, and what it was in words."""

    text: str
    givens: tuple[Fact, ...]


def altered_givens(puzzle: Puzzle) -> Iterator[AlteredGivens]:
    """One digit changed, one given a cell off, the digits of two givens exchanged."""
    givens, canvas = puzzle.givens, puzzle.canvas
    written = canvas.symbols
    for place, (cell, digit) in enumerate(givens):
        for other in canvas.digits:
            if other != digit:
                text = f"{cell} is {written[other]}, not {written[digit]}"
                yield AlteredGivens(text, _with(givens, place, Fact(cell, other)))
    taken = {fact.variable for fact in givens}
    for place, (cell, digit) in enumerate(givens):
        for beside in canvas.neighbours(cell) if isinstance(cell, Cell) else ():
            if beside not in taken:
                text = f"the {written[digit]} of {cell} belongs in {beside}"
                yield AlteredGivens(text, _with(givens, place, Fact(beside, digit)))
    for one, other in combinations(range(len(givens)), 2):
        first, second = givens[one], givens[other]
        if first.value != second.value:
            text = f"the digits of {first.variable} and {second.variable} are exchanged"
            once = _with(givens, one, Fact(first.variable, second.value))
            yield AlteredGivens(text, _with(once, other, Fact(second.variable, first.value)))


def _with(givens: Sequence[Fact], place: int, fact: Fact) -> tuple[Fact, ...]:
    return (*givens[:place], fact, *givens[place + 1 :])


def _givens(puzzle: Puzzle, engine: Engine, clock: Clock) -> Iterator[Slip]:
    """Givens altered on the puzzle's own engine."""
    shown = engine.model.shown
    cores: list[frozenset[Fact]] = []
    seen: list[frozenset[Fact]] = []

    def keep(solution: Solution) -> None:
        seen.append(frozenset(Fact(v, n) for v, n in zip(shown, solution, strict=True)))
        del seen[:-_CORES]

    for text, givens in altered_givens(puzzle):
        clock.check()
        chosen = frozenset(givens)
        if any(core <= chosen for core in cores):
            continue
        if sum(chosen <= facts for facts in seen) > 1:
            continue
        first = engine.solve(givens, clock)
        if first is None:
            core = [fact for fact in engine.why().assertions if isinstance(fact, Fact)]
            cores.append(frozenset(core))
            del cores[:-_CORES]
            continue
        keep(first)
        second = _another(engine, givens, None, first, clock)
        if second is None:
            yield Slip(text, replace(puzzle, givens=givens), first)
        else:
            keep(second)


def _another(
    engine: Engine, givens: Sequence[Fact], on: Sequence[str] | None, first: Solution, clock: Clock
) -> Solution | None:
    other = engine.forbid(first)
    try:
        return engine.solve(givens, clock, on=on, demands=[other])
    finally:
        engine.retire(other)


def _rule(
    puzzle: Puzzle,
    engine: Engine,
    place: int,
    unsettled: list[tuple[int, AlteredRule]],
    clock: Clock,
) -> Iterator[Slip]:
    """Readings of one rule held against solutions of the puzzle without it."""
    name = puzzle.rule_names[place]
    on = [p.name for p in engine.model.premises if not p.optional and p.name != name]
    pool = some_solutions(engine, puzzle.givens, clock, on=on, limit=_POOL)
    clock.check()
    if pool.complete and not pool.solutions:
        return
    # Imported here, as a puzzle with rules has loaded them anyway and a line of givens has not.
    from gridassay.verify.mending.misprints import altered_rules

    filled = [puzzle.filled(solution) for solution in pool.solutions]
    for altered in altered_rules(puzzle.rules[place], name, puzzle.board, puzzle.rules):
        clock.check()
        kept = [
            solution
            for solution, board in zip(pool.solutions, filled, strict=True)
            if altered.rule.holds(board)
        ]
        if len(kept) > 1:
            continue
        if not pool.complete:
            unsettled.append((place, altered))
        elif kept:
            yield Slip(altered.text, _swapped(puzzle, place, altered.rule), kept[0])


def _swapped(puzzle: Puzzle, place: int, rule: Rule) -> Puzzle:
    rules = (*puzzle.rules[:place], rule, *puzzle.rules[place + 1 :])
    return replace(puzzle, rules=rules)


def _compiled(
    puzzle: Puzzle, unsettled: Sequence[tuple[int, AlteredRule]], clock: Clock
) -> Iterator[Slip]:
    """Altered rules compiled beside the puzzle's own, each in turn in the place of the one it alters."""
    extra = tuple(
        altered.rule.model_copy(update={"id": f"slip {number}", "optional": True})
        for number, (_, altered) in enumerate(unsettled)
    )
    named = tuple(
        rule.model_copy(update={"id": name})
        for rule, name in zip(puzzle.rules, puzzle.rule_names, strict=True)
    )
    whole = replace(puzzle, rules=(*named, *extra))
    engine = sat_engine_for(whole, clock)
    by_default = [p.name for p in engine.model.premises if not p.optional]
    for number, (place, altered) in enumerate(unsettled):
        clock.check()
        name = puzzle.rule_names[place]
        on = [*(one for one in by_default if one != name), f"slip {number}"]
        first = engine.solve(puzzle.givens, clock, on=on)
        if first is not None and _another(engine, puzzle.givens, on, first, clock) is None:
            yield Slip(altered.text, _swapped(puzzle, place, altered.rule), first)
