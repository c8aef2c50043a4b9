"""Explains what is wrong with a puzzle that does not have exactly one solution, and how to mend it.

Every part takes its share of one clock. A part that runs out of time says so and gives the best it
found; later parts are still asked while there is time.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field, fields, replace
from typing import Any, TypeVar

from gridassay.encodings.puzzle import Solution
from gridassay.encodings.variables import Edge, Link, Together, Variable, word
from gridassay.verify.budget import DEFAULT_SECONDS, Clock, OutOfTime, within_budget
from gridassay.verify.counting.nearest_pair import Nearest, nearest_solutions
from gridassay.verify.counting.possible import Possible, possible_values
from gridassay.verify.counting.solution_count import DEFAULT_LIMIT, SolutionCount, solution_count
from gridassay.verify.counting.verdict import Verdict
from gridassay.verify.engines import sat_engine_for
from gridassay.verify.in_short import InShort
from gridassay.verify.mending.conflict import Conflicts, conflicts
from gridassay.verify.mending.missing import Missing, missing_values
from gridassay.verify.mending.repairs import (
    Drop,
    Repair,
    RuleRepair,
    any_repair,
    drop,
    repair,
    rule_repair,
)
from gridassay.verify.mending.slips import Slips, usual_slips

Answer = TypeVar("Answer")


@dataclass(frozen=True, repr=False)
class Explanation(InShort):
    """A verdict of none or several solutions with its explanation.

    ``conflicts`` and ``drop`` belong to none, ``nearest``, ``count``, ``possible`` and the repairs to
    several, ``slips`` to both. A part is None if it does not apply or there was no time for it;
    ``ran_out`` names those parts in words. The solutions of ``verdict`` are the nearest two.
    """

    verdict: Verdict
    conflicts: Conflicts | None = None
    drop: Drop | None = None
    nearest: Nearest | None = None
    count: SolutionCount | None = None
    possible: Possible | None = None
    repair: Repair | None = None
    missing: tuple[Missing, ...] = ()
    rule_repair: RuleRepair | None = None
    slips: Slips | None = None
    ran_out: tuple[str, ...] = ()

    def in_short(self) -> str:
        """The verdict, and the parts that are known."""
        parts = [one.name for one in fields(self)[1:-1] if getattr(self, one.name)]
        return ", ".join([self.verdict.in_short(), *parts])

    def to_json(self) -> dict[str, Any]:
        """The verdict's keys and those of every part that is known."""
        result = self.verdict.to_json()
        for part in self._parts():
            result |= part
        if self.ran_out:
            result["ran_out"] = list(self.ran_out)
        return result

    def _parts(self) -> Iterator[dict[str, Any]]:
        puzzle = self.verdict.puzzle
        if self.conflicts:
            yield self.conflicts.to_json()
        if self.drop:
            yield {"drop": self.drop.to_json()}
        if self.nearest:
            yield {"differs_fewest": self.nearest.proved}
        if self.count:
            yield {"solution_count": self.count.to_json()}
        if self.possible:
            yield {
                "possible": {
                    str(variable): _words(variable, values)
                    for variable, values in self.possible.items()
                }
            }
        if self.repair:
            yield {"repair": [str(given) for given in self.repair.givens]}
            yield {"repair_smallest": self.repair.proved}
            yield {"repair_solution": puzzle.line(self.repair.solution)}
            if puzzle.layers:
                yield {"repair_layers": puzzle.layers_shown(self.repair.solution)}
            yield {"repair_tried": self.repair.tried}
        if self.missing:
            yield {"repair_missing": [one.to_json() for one in self.missing]}
            totals = [one for one in self.missing if one.is_total]
            yield {"repair_totals": [{"rule": one.name, "total": one.value} for one in totals]}
        if self.rule_repair:
            rules = self.rule_repair.rules
            yield {
                "repair_rules": {
                    "enough": rules is not None,
                    "rules": list(rules or ()),
                    "smallest": self.rule_repair.proved,
                    "solution": puzzle.line(self.rule_repair.solution),
                }
            }
        if self.slips:
            yield {"slips": [slip.to_json() for slip in self.slips.found]}
            yield {"slips_complete": self.slips.complete}


def _words(variable: Variable, values: Iterable[int]) -> list[str | int]:
    """Values in the order in which they are listed: rising, and yes before no."""
    yes_or_no = isinstance(variable, Link | Edge | Together)
    return [word(variable, value) for value in sorted(values, reverse=yes_or_no)]


@within_budget
def explain(
    verdict: Verdict,
    *,
    budget: float | Clock = DEFAULT_SECONDS,
    solution: Solution | None = None,
    any_solution: bool = False,
    limit: int = DEFAULT_LIMIT,
) -> Explanation:
    """Say what is wrong with a puzzle that has none or several solutions, and how to mend it.

    ``solution`` is the one that a repair should keep; by default the first of the two nearest or,
    with ``any_solution``, whichever of those tried needs the fewest givens. Solutions are counted
    up to ``limit``. A verdict of one solution, or an undecided one, has nothing to explain.
    """
    clock = Clock.of(budget)
    if verdict.status == "none":
        return _none(verdict, clock)
    if verdict.status == "multiple":
        return _several(verdict, clock, solution, any_solution, limit)
    return Explanation(verdict)


@dataclass
class _Shares:
    """Asks for one part after another, each within its share of the clock."""

    clock: Clock
    ran_out: list[str] = field(default_factory=list)

    def ask(self, name: str, part: float, question: Callable[[Clock], Answer]) -> Answer | None:
        """The answer, or None, with the part noted, if its share runs out first."""
        share = self.clock.share(part)
        try:
            share.check()
            return question(share)
        except OutOfTime:
            self.ran_out.append(name)
            return None


def _none(verdict: Verdict, clock: Clock) -> Explanation:
    puzzle, shares = verdict.puzzle, _Shares(clock)
    found = shares.ask("conflict", 0.5, lambda share: conflicts(puzzle, budget=share))
    dropped = shares.ask("what to remove", 0.5, lambda share: drop(puzzle, budget=share))
    slipped = shares.ask("slips", 1.0, lambda share: usual_slips(puzzle, budget=share))
    return Explanation(
        verdict,
        conflicts=found,
        drop=dropped,
        slips=slipped,
        ran_out=tuple(shares.ran_out),
    )


def _several(
    verdict: Verdict,
    clock: Clock,
    solution: Solution | None,
    any_solution: bool,
    limit: int,
) -> Explanation:
    puzzle, shares = verdict.puzzle, _Shares(clock)
    first, second = verdict.solutions
    known = (first, second)
    nearest = shares.ask(
        "the nearest solutions",
        0.3,
        lambda share: nearest_solutions(puzzle, known, budget=share),
    )
    if nearest:
        verdict = replace(verdict, solutions=(nearest.first, nearest.second))
        first = nearest.first
    count = shares.ask(
        "the count",
        0.4,
        lambda share: solution_count(
            sat_engine_for(puzzle, share), puzzle.givens, share, limit=limit
        ),
    )
    possible = shares.ask(
        "possible digits",
        0.4,
        lambda share: possible_values(sat_engine_for(puzzle, share), puzzle.givens, share),
    )
    mend = shares.ask(
        "the repair",
        0.5,
        lambda share: (
            any_repair(puzzle, budget=share)
            if any_solution
            else repair(puzzle, solution or first, budget=share)
        ),
    )
    missing = shares.ask(
        "what may be missing from rules",
        0.3,
        lambda share: missing_values(puzzle, solution or first, share),
    )
    rules = shares.ask(
        "optional rules", 0.5, lambda share: rule_repair(puzzle, budget=share, solution=solution)
    )
    slipped = shares.ask("slips", 1.0, lambda share: usual_slips(puzzle, budget=share))
    return Explanation(
        verdict,
        nearest=nearest,
        count=count,
        possible=possible,
        repair=mend,
        missing=missing or (),
        rule_repair=rules,
        slips=slipped,
        ran_out=tuple(shares.ran_out),
    )
