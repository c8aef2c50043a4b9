"""Things that may have been left out if several solutions fit: a rule's number or word, or a whole mark.

A cage without its total, a calculation without its sign, a pair of cells without the dot that the
others have: each is tried with the value that fits the named solution, and kept if it leaves only
that solution. Other solutions that turn up rule out, in plain Python, every candidate that they
also satisfy; only the rest is stated, together with the puzzle's own rules, and given to a solver.
Rules are filled in through their fields alone, so that no kind is named here.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import islice
from typing import TYPE_CHECKING, Any

from gridassay.encodings.board import Filled
from gridassay.encodings.counted import NO_VALUE
from gridassay.encodings.model import Premise
from gridassay.encodings.puzzle import Puzzle, Solution
from gridassay.verify.budget import Clock
from gridassay.verify.counting.solution_count import some_solutions
from gridassay.verify.engines import sat_engine_for
from gridassay.verify.engines.questions import other_than
from gridassay.verify.engines.sat import SatEngine
from gridassay.verify.mending.slips import looking_rules

if TYPE_CHECKING:
    from gridassay.encodings.rules.base import Rule

_POOL = 24
_TOGETHER = 100


@dataclass(frozen=True)
class Missing:
    """A rule with what it may lack, in its place among the puzzle's rules, or after all of them.

    ``key`` and ``value`` are what is filled in; both are None for a mark that is added whole.
    ``puzzle`` includes it and has one solution.
    """

    place: int
    rule: Rule
    key: str | None
    value: int | str | None
    puzzle: Puzzle

    @property
    def name(self) -> str:
        """The rule's name in results, after it is filled in."""
        return self.puzzle.rule_names[self.place]

    @property
    def is_total(self) -> bool:
        """Whether it is the total of a cage."""
        return (self.rule.kind, self.key) == ("cage", "sum")

    def to_json(self) -> dict[str, Any]:
        """The rule by its name, with the field and its value; or the mark to add, kind and cells."""
        if self.key is None:
            return {"add": self.name}
        return {"rule": self.name, "field": self.key, "value": self.value}


def missing_values(puzzle: Puzzle, solution: Solution, clock: Clock) -> tuple[Missing, ...]:
    """The things that may be missing from the rules: with any of them only ``solution`` is
    left.

    One filled-in value per rule, for the first of its fields that works. Raises OutOfTime.
    """
    if puzzle.plain:
        return ()
    found: list[Missing] = []
    engine = sat_engine_for(puzzle, clock)
    pool = some_solutions(engine, puzzle.givens, clock.share(0.3), limit=_POOL)
    others = [one for one in pool.solutions if one != solution]
    options = _options(puzzle, solution, others, clock)
    while several := list(islice(options, _TOGETHER)):
        found += _that_do(puzzle, several, solution, others, clock)
    settled: set[int] = set()
    first = []
    for one in found:
        if one.key is None or one.place not in settled:
            settled.add(one.place)
            first.append(one)
    return tuple(first)


def _options(
    puzzle: Puzzle, solution: Solution, others: Sequence[Solution], clock: Clock
) -> Iterator[Missing]:
    """All that the solution satisfies and none of the others does."""
    # Imported here: a puzzle with rules has loaded them anyway, and a line of givens has not.
    from gridassay.verify.mending.misprints import filled_in, further_marks

    filled = puzzle.fill(solution)
    counted = [one for one in filled.values(puzzle.canvas.digit_cells) if one is not NO_VALUE]
    most = sum(sorted(counted)[-len(puzzle.canvas.digits) :])
    for place, rule in enumerate(puzzle.rules):
        if not rule.optional:
            for key, value, whole in filled_in(rule, puzzle.board, most):
                clock.check()
                if _tells(puzzle, whole, filled, others):
                    rules = (*puzzle.rules[:place], whole, *puzzle.rules[place + 1 :])
                    yield Missing(place, whole, key, value, replace(puzzle, rules=rules))
    if looking_rules(puzzle):  # they would mean something else for the cells of one more mark
        return
    for ways in further_marks(puzzle.rules, puzzle.board):
        clock.check()
        kept = [way for way in ways if way.is_kept(filled)][:1]
        for mark in kept:
            if _tells(puzzle, mark, filled, others):
                rules = (*puzzle.rules, mark)
                yield Missing(len(puzzle.rules), mark, None, None, replace(puzzle, rules=rules))


def _tells(puzzle: Puzzle, rule: Rule, filled: Filled, others: Iterable[Solution]) -> bool:
    """Whether the solution satisfies the rule and none of the others does."""
    return rule.is_kept(filled) and not any(rule.is_kept(puzzle.fill(other)) for other in others)


def _that_do(
    puzzle: Puzzle,
    options: Sequence[Missing],
    solution: Solution,
    others: list[Solution],
    clock: Clock,
) -> Iterator[Missing]:
    """The candidates that leave only the solution; other solutions that turn up are tried on the rest."""
    model = puzzle.model
    extra = [
        Premise(name, "rule", tuple(option.rule.all_parts(puzzle.board)), optional=True)
        for name, option in zip(model.spare_names("missing"), options, strict=False)
    ]
    engine = SatEngine(replace(model, premises=(*model.premises, *extra)), clock)
    on = model.by_default
    new: list[Solution] = []
    with other_than(engine, solution) as demand:
        for premise, option in zip(extra, options, strict=True):
            clock.check()
            if any(option.rule.is_kept(puzzle.fill(other)) for other in new):
                continue
            other = engine.solve(puzzle.givens, clock, on=[*on, premise.name], demands=[demand])
            if other is None:
                yield option
            else:
                new.append(other)
    others += new
