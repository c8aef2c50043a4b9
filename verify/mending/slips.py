"""The usual slips, each tried: which single misprint, undone, gives a puzzle with one solution?

The same search serves a puzzle with no solution and one with several. Most candidates are settled
without a solver: a contradiction found once rules out every set of givens that contains it, and two
solutions found once rule out every set that both satisfy. For a rule, solutions of the puzzle
without it are gathered once, and every reading of the rule is checked against them in plain Python.
If these are all the solutions, that settles it. Only otherwise is the altered rule compiled:
together with the puzzle's own rules, unless other rules mean something else when it is drawn
instead.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, fields, replace
from itertools import combinations
from typing import TYPE_CHECKING, Any, NamedTuple

from gridassay.encodings.board import Board, Drawn, Filled, Part
from gridassay.encodings.constraints import Letter, Variable
from gridassay.encodings.grid import Cell
from gridassay.encodings.model import Premise
from gridassay.encodings.puzzle import Fact, Puzzle, Solution
from gridassay.encodings.variables import Layered, word
from gridassay.verify.budget import DEFAULT_SECONDS, Clock, OutOfTime, within_budget
from gridassay.verify.counting.solution_count import some_solutions
from gridassay.verify.counting.verdict import confirm
from gridassay.verify.engines import sat_engine_for
from gridassay.verify.engines.questions import Engine, another
from gridassay.verify.engines.sat import SatEngine
from gridassay.verify.in_short import InShort

if TYPE_CHECKING:
    from gridassay.encodings.rules.base import Rule
    from gridassay.verify.mending.misprints import Misprint

_POOL = 24
_TOGETHER = 100
_CORES = 60


@dataclass(frozen=True, repr=False)
class Slip(InShort):
    """A misprint in words, the puzzle without it, and the one solution that it then has.

    ``misprint`` says more of one in a rule.
    """

    text: str
    puzzle: Puzzle
    solution: Solution
    misprint: Misprint | None = None

    def in_short(self) -> str:
        """The misprint."""
        return self.text

    def to_json(self) -> dict[str, Any]:
        """The words and the solution's line."""
        return {"slip": self.text, "solution": self.puzzle.line(self.solution)}


@dataclass(frozen=True, repr=False)
class Slips(InShort):
    """The slips that mend a puzzle; ``complete`` if all the usual ones were tried."""

    found: tuple[Slip, ...]
    complete: bool

    def in_short(self) -> str:
        """Each slip, and whether all were tried."""
        told = "; ".join(slip.text for slip in self.found) or "none mends it"
        return told if self.complete else f"{told}; not all were tried"


@within_budget
def usual_slips(puzzle: Puzzle, *, budget: float | Clock = DEFAULT_SECONDS) -> Slips:
    """Try the usual slips, givens first; returns what was found before the clock runs out."""
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
    unsettled: list[_Altered] = []
    looking = looking_rules(puzzle)
    for place, rule in enumerate(puzzle.rules):
        if not (rule.optional or rule.defines):
            yield from _rule(puzzle, engine, place, looking, unsettled, clock)
    beside = [altered for altered in unsettled if altered.others_keep]
    for start in range(0, len(beside), _TOGETHER):
        yield from _compile(puzzle, beside[start : start + _TOGETHER], clock)
    for altered in unsettled:
        if not altered.others_keep:
            yield from _by_itself(altered, clock)


class AlteredGivens(NamedTuple):
    """Givens with one misprint undone, and the misprint in words."""

    text: str
    givens: tuple[Fact, ...]


def altered_givens(puzzle: Puzzle) -> Iterator[AlteredGivens]:
    """One value changed, one given in a neighbouring cell, or the digits of two givens swapped."""
    givens, canvas = puzzle.givens, puzzle.canvas
    written = canvas.symbols
    for place, (variable, value) in enumerate(givens):
        for other in puzzle.board.domains[variable] if isinstance(variable, Layered) else ():
            if other != value:
                text = f"{variable} should be {word(variable, other)}, not {word(variable, value)}"
                yield AlteredGivens(text, _with(givens, place, Fact(variable, other)))
    for place, (cell, digit) in enumerate(givens):
        for other in canvas.digits if isinstance(cell, Cell) else ():
            if other != digit:
                text = f"{cell} should be {written[other]}, not {written[digit]}"
                yield AlteredGivens(text, _with(givens, place, Fact(cell, other)))
    taken = {fact.variable for fact in givens}
    for place, (cell, digit) in enumerate(givens):
        for beside in canvas.neighbours(cell) if isinstance(cell, Cell) else ():
            if beside not in taken:
                text = f"the {written[digit]} in {cell} belongs in {beside}"
                yield AlteredGivens(text, _with(givens, place, Fact(beside, digit)))
    for one, other in combinations(range(len(givens)), 2):
        first, second = givens[one], givens[other]
        digits = isinstance(first.variable, Cell) and isinstance(second.variable, Cell)
        if digits and first.value != second.value:
            text = f"the digits in {first.variable} and {second.variable} should be swapped"
            once = _with(givens, one, Fact(first.variable, second.value))
            yield AlteredGivens(text, _with(once, other, Fact(second.variable, first.value)))


def _with(givens: Sequence[Fact], place: int, fact: Fact) -> tuple[Fact, ...]:
    return (*givens[:place], fact, *givens[place + 1 :])


def _givens(puzzle: Puzzle, engine: Engine, clock: Clock) -> Iterator[Slip]:
    """Altered givens, tried on the puzzle's own engine."""
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
        second = another(engine, givens, first, clock)
        if second is None:
            yield Slip(text, replace(puzzle, givens=givens), first)
        else:
            keep(second)


class _Altered(NamedTuple):
    """A rule altered in its place among a puzzle's, with the puzzle and the board it then stands on.

    ``others_keep`` if the other rules mean the same in both puzzles. A few depend on which
    marks are drawn: a rule that all dots are given, for example.
    """

    misprint: Misprint
    place: int
    rule: Rule
    puzzle: Puzzle
    board: Board
    others_keep: bool


class _Looking(NamedTuple):
    """A rule that looks at what is drawn, by its place, and its meaning."""

    place: int
    rule: Rule
    parts: tuple[Part, ...]


class _Watched(Board):
    """A board that notes whether anyone looks at what is drawn on it."""

    looked_at = False

    def __getattribute__(self, name: str) -> Any:
        if name == "drawn":
            object.__setattr__(self, "looked_at", True)
        return super().__getattribute__(name)


def looking_rules(puzzle: Puzzle) -> list[_Looking]:
    """The rules that look at what is drawn, whatever their kind."""
    board, found = puzzle.board, []
    for place, rule in enumerate(puzzle.rules):
        watched = _Watched(**{one.name: getattr(board, one.name) for one in fields(board)})
        parts = tuple(rule.all_parts(watched))
        if watched.looked_at:
            found.append(_Looking(place, rule, parts))
    return found


def _alter(
    puzzle: Puzzle, place: int, misprint: Misprint, rule: Rule, others: Sequence[_Looking]
) -> _Altered:
    rules = (*puzzle.rules[:place], rule, *puzzle.rules[place + 1 :])
    whole = replace(puzzle, rules=rules)
    if _drawing(rule) == _drawing(puzzle.rules[place]):
        return _Altered(misprint, place, rule, whole, puzzle.board, others_keep=True)
    board = whole.board
    keep = all(tuple(other.rule.all_parts(board)) == other.parts for other in others)
    return _Altered(misprint, place, rule, whole, board, keep)


def _drawing(rule: Rule) -> list[Drawn]:
    return [Drawn(seen.kind, seen.where()) for seen in rule.drawn()]


def _rule(
    puzzle: Puzzle,
    engine: Engine,
    place: int,
    looking: Sequence[_Looking],
    unsettled: list[_Altered],
    clock: Clock,
) -> Iterator[Slip]:
    """Readings of one rule, checked against solutions of the puzzle without it."""
    name = puzzle.rule_names[place]
    on = [one for one in engine.model.by_default if one != name]
    pool = some_solutions(engine, puzzle.givens, clock, on=on, limit=_POOL)
    clock.check()
    others = [one for one in looking if one.place != place]
    if pool.complete and not pool.solutions and not others:
        return
    # Imported here, as a puzzle with rules has loaded them anyway and a line of givens has not.
    from gridassay.verify.mending.misprints import altered_rules

    filled = [puzzle.fill(solution).numbers for solution in pool.solutions]
    for misprint, rule in altered_rules(puzzle.rules[place], name, puzzle.board, puzzle.rules):
        clock.check()
        altered = _alter(puzzle, place, misprint, rule, others)
        if not altered.others_keep:
            unsettled.append(altered)
            continue
        kept = [
            solution
            for solution, numbers in zip(pool.solutions, filled, strict=True)
            if rule.is_kept(Filled(altered.board, numbers))
        ]
        if len(kept) > 1:
            continue
        if not pool.complete:
            unsettled.append(altered)
        elif kept:
            yield Slip(str(misprint), altered.puzzle, kept[0], misprint)


def _compile(puzzle: Puzzle, unsettled: Sequence[_Altered], clock: Clock) -> Iterator[Slip]:
    """Altered rules stated together with the puzzle's own, each in place of the one that it alters.

    They are added to the model, never to the puzzle: nothing is drawn if they are.
    """
    model = puzzle.model
    mentions: dict[Variable, list[str]] = {
        letter: list(names) for letter, names in model.mentions.items()
    }
    extra = []
    names = dict(zip(range(len(unsettled)), model.spare_names("slip"), strict=False))
    for number, altered in enumerate(unsettled):
        parts = tuple(altered.rule.all_parts(altered.board))
        extra.append(Premise(names[number], "rule", parts, optional=True))
        for letter in altered.rule.letters(altered.board):
            mentions[Letter(letter)].append(names[number])
    with_all = replace(
        model,
        premises=(*model.premises, *extra),
        mentions={letter: tuple(names) for letter, names in mentions.items()},
    )
    engine = SatEngine(with_all, clock)
    for number, altered in enumerate(unsettled):
        clock.check()
        name = puzzle.rule_names[altered.place]
        on = [*(one for one in model.by_default if one != name), names[number]]
        yield from _only_one(altered, engine, on, clock)


def _by_itself(altered: _Altered, clock: Clock) -> Iterator[Slip]:
    """An altered rule that changes what others say, in a puzzle of its own."""
    clock.check()
    yield from _only_one(altered, SatEngine(altered.puzzle.model, clock), None, clock)


def _only_one(
    altered: _Altered, engine: Engine, on: Sequence[str] | None, clock: Clock
) -> Iterator[Slip]:
    givens = altered.puzzle.givens
    first = engine.solve(givens, clock, on=on)
    if first is not None and another(engine, givens, first, clock, on) is None:
        yield Slip(str(altered.misprint), altered.puzzle, first, altered.misprint)
