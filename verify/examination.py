"""The assay: the whole examination of a puzzle, by someone about to record, print or post it.

It adds no answer of its own: it asks the other modules in the order in which a person wants to know,
hands each answer on as soon as it is there, stays within one budget, and ends with one plain sentence.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, TypeVar

from gridassay.encodings.puzzle import Puzzle
from gridassay.verify.budget import DEFAULT_SECONDS, Clock, OutOfTime
from gridassay.verify.detours import only_steps
from gridassay.verify.effects import Clues, clues
from gridassay.verify.explanation import Explanation, explain
from gridassay.verify.kin import Catalogue, Symmetries, symmetries
from gridassay.verify.kin.catalogue import Found
from gridassay.verify.proof.certificate import Certificate, certify
from gridassay.verify.routes import Route, route
from gridassay.verify.verdict import Verdict, check

Answer = TypeVar("Answer")
LONG = 12
"""A reason of more premises than this is nothing to tell an audience."""
Told = Callable[[str, Any], None]


@dataclass
class Assay:
    """What the examination found; None for what was not asked, makes no sense, or ran out of time.

    ``only_steps`` are the indexes of the route's steps at which nothing else was open. ``ran_out``
    names the parts that the budget did not reach. ``explanation`` is there where the
    verdict is not *unique*, and then nothing after it.
    """

    verdict: Verdict
    explanation: Explanation | None = None
    clues: Clues | None = None
    route: Route | None = None
    only_steps: tuple[int, ...] | None = None
    symmetries: Symmetries | None = None
    found: Found | None = None
    certificate: Certificate | None = None
    ran_out: list[str] = field(default_factory=list)
    seconds: float = 0.0

    @property
    def puzzle(self) -> Puzzle:
        """The puzzle examined."""
        return self.verdict.puzzle

    def remarks(self, *, blind: bool = False) -> Iterator[str]:
        """What to look at before publishing, most serious first; nothing when all is well.

        ``blind`` keeps digits and cells out of it.
        """
        if not self.verdict.met:
            wanted = self.puzzle.expect or "unique"
            yield f"the verdict is {self.verdict.status}, and {wanted} is wanted"
        if self.clues:
            wasted = [effect.clue for effect in self.clues.effects if effect.wasted]
            if wasted:
                many = "clues are" if len(wasted) > 1 else "clue is"
                named = f": {wasted[0]}" if len(wasted) == 1 and not blind else ""
                together = len(self.clues.droppable or ())
                several = f", and {together} can go together" if len(wasted) > 1 else ""
                yield f"{len(wasted)} {many} wasted{named}{several}"
        if self.route and not (self.route.solved or self.route.timed_out):
            yield "the named techniques do not lead to its end"
        if self.route:
            long = sum(sum(step.size) > LONG for step in self.route.steps)
            if long:
                yield f"{long} step{'s' * (long > 1)} of the route can hardly be said aloud"
        if self.symmetries and self.symmetries.looks:
            yield "it looks mirrored: renaming digits and turning it gives the same puzzle"
        if self.found and self.found.kin_count:
            yield f"the catalogue holds it already, {self.found.kin_count} times in disguise"
        for part in self.ran_out:
            yield f"undecided within the budget: {part}"

    @property
    def conclusion(self) -> str:
        """One plain sentence."""
        return self._concluded(blind=False)

    @property
    def blind_conclusion(self) -> str:
        """The same without a digit or a cell."""
        return self._concluded(blind=True)

    def _concluded(self, *, blind: bool) -> str:
        remarks = list(self.remarks(blind=blind))
        if not self.verdict.met:
            return f"Not fit to publish: {remarks[0]}."
        if remarks:
            return f"Sound, and look at this first: {'; '.join(remarks)}."
        return "Fit to publish."

    @property
    def strictly_fine(self) -> bool:
        """As it should be, with no clue wasted, no mirrored look, no kin, and nothing undecided."""
        return not list(self.remarks())

    def to_json(self) -> dict[str, Any]:
        """The parts under their own names, as their commands give them."""
        result = self.verdict.to_json()
        if self.explanation:
            result |= self.explanation.to_json()
        parts = {
            "clues": self.clues,
            "route": self.route,
            "kin": self.symmetries,
            "catalogue": self.found,
            "certificate": self.certificate,
        }
        result |= {name: part.to_json() for name, part in parts.items() if part is not None}
        return result | {
            "only_steps": None if self.only_steps is None else list(self.only_steps),
            "met": self.verdict.met,
            "remarks": list(self.remarks()),
            "conclusion": self.conclusion,
            "ran_out": self.ran_out,
            "seconds": round(self.seconds, 6),
        }


def assay(
    puzzle: Puzzle,
    *,
    budget: float | Clock = DEFAULT_SECONDS,
    document: bytes | None = None,
    catalogue: Path | None = None,
    told: Told = lambda part, answer: None,
) -> Assay:
    """Examine a puzzle. ``budget`` is in seconds for all of it, or a clock already running.

    With ``document``, the bytes of its file, a certificate is made; with ``catalogue``, a file, it is
    looked up there. ``told`` is given the name and the answer of each part when it is known.
    """
    clock = Clock.of(budget)
    started = clock.spent()
    verdict = check(puzzle, budget=clock)
    result = Assay(verdict)
    told("verdict", verdict)
    if verdict.status in ("none", "multiple"):
        result.explanation = explain(verdict, clock)
        told("explanation", result.explanation)
    elif verdict.status == "unique":
        _examine(result, clock, document, catalogue, told)
    result.seconds = clock.spent() - started
    return result


def _examine(
    result: Assay, clock: Clock, document: bytes | None, catalogue: Path | None, told: Told
) -> None:
    puzzle = result.puzzle

    def ask(name: str, share: float, question: Callable[[Clock], Answer]) -> Answer | None:
        """Put a question within a share of the time that is left."""
        try:
            answer = question(clock.share(share))
        except OutOfTime:
            result.ran_out.append(name)
            return None
        told(name, answer)
        return answer

    # The shares leave the larger part of the time to what comes later; what is not used is passed on.
    result.symmetries = ask(
        "kin", 0.2, lambda part: symmetries(puzzle, solution=False, budget=part)
    )
    if catalogue is not None:
        result.found = ask("catalogue", 0.3, lambda part: _look_up(puzzle, catalogue, part))
    if document is not None:
        result.certificate = ask(
            "certificate", 0.5, lambda part: certify(document, puzzle.source, budget=part)
        )
    result.clues = ask("clues", 0.4, lambda part: clues(puzzle, budget=part))
    if result.clues and not result.clues.complete:
        result.ran_out.append("what each clue does")
    result.route = ask("route", 0.7, lambda part: route(puzzle, budget=part))
    if result.route and result.route.timed_out:
        result.ran_out.append("the route to its end")
    elif result.route:
        found = result.route
        result.only_steps = ask("only steps", 0.7, lambda part: only_steps(found, budget=part))


def _look_up(puzzle: Puzzle, path: Path, clock: Clock) -> Found:
    with Catalogue(str(path), clock) as catalogue:
        return catalogue.search(puzzle, clock)
