"""Smallest contradictions and smallest cures among elements that may be taken or left.

The elements are facts (givens, cells of a solution) and premises (rules, houses); a *question* fixes
the rest. A *core* is a set of elements that cannot all hold; a *cure* is a set whose removal lets all
others hold. Smallest conflicts, repairs and keeper sets are all smallest cores; the fewest givens or
rules to drop are a smallest cure.

Both are found through their duality (Reiter 1987): every core hits every cure. A smallest hitting set
of the cures known so far is a core, and then a smallest one, or it extends to a maximal consistent
set, whose complement is one more cure (Ignatiev, Previti, Liffiton and Marques-Silva, "Smallest MUS
extraction with minimal hitting set dualization", 2015). The mirror image finds cures.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from gridassay.encodings.puzzle import Fact, Puzzle, Solution
from gridassay.verify.budget import Clock, OutOfTime
from gridassay.verify.engines.deletion import irreducible
from gridassay.verify.engines.hitting_sets import LightestHitting
from gridassay.verify.engines.questions import Assertion, Demand
from gridassay.verify.engines.sat import SatEngine

_GLANCE = 500
"""Conflicts in which one more element is to be found that holds with others."""

_BRIEF_SECONDS = 0.05

Element = Fact | str
"""A fact, or a premise by its name."""


@dataclass(frozen=True)
class Smallest:
    """Elements in the order they were offered; ``proved`` means that no smaller set would do."""

    elements: tuple[Element, ...]
    proved: bool


@dataclass
class Question:
    """Elements to take or leave on top of what always holds: assertions, premises and demands."""

    puzzle: Puzzle
    engine: SatEngine
    elements: Sequence[Element]
    assuming: Sequence[Assertion] = ()
    on: Sequence[str] = ()
    demands: Sequence[Demand] = ()
    _place: dict[Element, int] = field(init=False)

    def __post_init__(self) -> None:
        self._place = {element: number for number, element in enumerate(self.elements)}

    def result(self, chosen: Iterable[int], *, proved: bool) -> Smallest:
        """A result, from the numbers of its elements."""
        return Smallest(tuple(self.elements[number] for number in sorted(chosen)), proved)

    def solve(
        self, chosen: Iterable[int], clock: Clock, demands: Sequence[Demand] = ()
    ) -> Solution | None:
        """A solution in which these elements hold. Raises OutOfTime, even after quick answers."""
        clock.check()
        elements = [self.elements[number] for number in chosen]
        facts = [element for element in elements if not isinstance(element, str)]
        names = [element for element in elements if isinstance(element, str)]
        return self.engine.solve(
            [*self.assuming, *facts],
            clock,
            on=[*self.on, *names],
            demands=[*self.demands, *demands],
        )

    def last_core(self) -> frozenset[int]:
        """The elements that the last refusal rested on."""
        assertions, premises, _ = self.engine.why()
        cited = (*assertions, *premises)
        return frozenset(self._place[one] for one in cited if one in self._place)

    def satisfied_by(self, solution: Solution) -> frozenset[int]:
        """The elements that a solution keeps, by the plain reading."""
        values = dict(zip(self.engine.model.shown, solution, strict=True))
        broken = set(self.puzzle.violations(solution))
        return frozenset(
            number
            for number, element in enumerate(self.elements)
            if (
                element not in broken
                if isinstance(element, str)
                else values[element.variable] == element.value
            )
        )

    def extend(self, solution: Solution, clock: Clock) -> frozenset[int]:
        """A set of elements that hold together, from those that a solution keeps.

        It need not be maximal: what is left out is a cure in any case.
        """
        held = self.satisfied_by(solution)
        found: Solution | None = solution
        while found is not None:
            clock.check()
            missing = [one for number, one in enumerate(self.elements) if number not in held]
            if not missing:
                break
            kept = [self.elements[number] for number in held]
            found = self.engine.glance(
                [*self.assuming, *(one for one in kept if not isinstance(one, str))],
                [*self.on, *(one for one in kept if isinstance(one, str))],
                missing,
                _GLANCE,
                self.demands,
            )
            if found is not None:
                held |= self.satisfied_by(found)
        return held

    def shrink(self, core: frozenset[int], clock: Clock) -> frozenset[int]:
        """Shrink a core until no member can be left out (deletion, with refinement).

        When the clock runs out it is as small as it got.
        """

        def rests_on(some: list[int]) -> frozenset[int] | None:
            try:
                return self.last_core() if self.solve(some, clock) is None else None
            except OutOfTime:
                return None

        return frozenset(irreducible(sorted(core, reverse=True), rests_on))


def smallest_core(
    question: Question, clock: Clock, first_tier: int | None = None
) -> Smallest | None:
    """A smallest set of elements that cannot all hold; None when all of them can.

    Elements numbered below ``first_tier`` count before the others. Raises OutOfTime when not even
    one core was found; after that, only the proof that it is smallest can run out of time.
    """
    everything = range(len(question.elements))
    solution = question.solve(everything, clock)
    if solution is not None:
        return None
    best = question.shrink(question.last_core(), clock)
    split = len(everything) if first_tier is None else first_tier
    # One of the first tier weighs more than all of the second together.
    heavy = len(everything) - split + 1
    weights = [heavy if number < split else 1 for number in everything]

    def cost(chosen: frozenset[int]) -> int:
        return sum(weights[number] for number in chosen)

    try:
        with LightestHitting(weights) as cures:
            while True:
                candidate = cures.lightest(clock)
                if cost(candidate) == cost(best):
                    return question.result(best, proved=True)
                core = _core_from(question, candidate, cures, clock)
                if core == candidate:
                    return question.result(candidate, proved=True)
                if cost(core) < cost(best):
                    best = core
    except OutOfTime:
        return question.result(best, proved=False)


def _core_from(
    question: Question, candidate: frozenset[int], cures: LightestHitting, clock: Clock
) -> frozenset[int]:
    """Take disjoint cures out of the way of a candidate until what remains is a core.

    The core is the candidate itself if no cure was needed.
    """
    chosen = set(candidate)
    while (solution := question.solve(chosen, clock)) is not None:
        cure = frozenset(range(len(question.elements))) - question.extend(solution, clock)
        cures.add(cure)
        chosen |= cure
    if len(chosen) == len(candidate):
        return candidate
    return question.shrink(question.last_core(), clock)


def smallest_cure(question: Question, clock: Clock) -> Smallest | None:
    """A smallest set of elements without which all others can hold; None if there is no such set.

    Raises OutOfTime when not even one cure was found.
    """
    everything = frozenset(range(len(question.elements)))
    solution = question.solve((), clock)
    if solution is None:
        return None
    best = everything - question.extend(solution, clock)
    try:
        with LightestHitting([1] * len(everything)) as cores:
            while True:
                candidate = cores.lightest(clock)
                if len(candidate) == len(best):
                    return question.result(best, proved=True)
                solution = question.solve(everything - candidate, clock)
                if solution is not None:
                    return question.result(candidate, proved=True)
                # A core is shrunk only briefly: if that is slow, any core will do for now.
                brief = Clock(min(_BRIEF_SECONDS, clock.time_left()))
                cores.add(question.shrink(question.last_core(), brief))
    except OutOfTime:
        return question.result(best, proved=False)


def single_cures(question: Question, clock: Clock) -> list[Element]:
    """Every element without which all others can hold. Raises OutOfTime.

    Only members of every core can be: each refusal leaves those of one more core.
    """
    everything = frozenset(range(len(question.elements)))
    suspects = set(everything)
    cures = []
    while suspects:
        tried = min(suspects)
        suspects.discard(tried)
        if question.solve(everything - {tried}, clock) is None:
            suspects &= question.last_core()
        else:
            cures.append(question.elements[tried])
    return cures
