"""The assay: the whole examination of a puzzle, by someone about to record, print or post it.

It adds no answer of its own. It asks the other modules in the order in which a person wants to
know, passes on each answer as soon as it is there, stays within one budget, and ends with one plain
sentence.

The module for a part is imported when the part is asked: the verdict does not wait for the others.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal, TypeVar

from gridassay.encodings.puzzle import Puzzle
from gridassay.verify.budget import DEFAULT_SECONDS, Clock, OutOfTime, within_budget
from gridassay.verify.clue_worth.words import lone, together, usual
from gridassay.verify.counting.verdict import Status, Verdict, check
from gridassay.verify.in_short import InShort
from gridassay.verify.words import as_printed

if TYPE_CHECKING:
    from gridassay.verify.clue_worth.effects import Clues
    from gridassay.verify.kin import Symmetries
    from gridassay.verify.kin.catalogue import Found
    from gridassay.verify.mending.explanation import Explanation
    from gridassay.verify.proof.certificate import Certificate
    from gridassay.verify.solving.results import Route

Answer = TypeVar("Answer")
Part = Literal[
    "verdict",
    "warnings",
    "explanation",
    "certificate",
    "clues",
    "kin",
    "catalogue",
    "route",
    "only steps",
]
LONG = 12
"""A reason of more premises than this is nothing to tell an audience."""

RAN_OUT: dict[Part, str] = {
    "warnings": "whether anything is a probable slip",
    "certificate": "the evidence",
    "clues": "which clues are wasted",
    "kin": "its symmetries",
    "catalogue": "whether the catalogue holds it",
    "route": "the route to its end",
    "only steps": "where only one step is open",
}
"""What is left undecided when the budget runs out in a part."""

SAID: dict[Status, str] = {
    "unique": "one solution",
    "multiple": "several solutions",
    "none": "no solution",
    "undecided": "undecided when the budget ran out",
}
"""The verdict in words."""


class Listener:
    """Is told of each part of an assay: before it is asked, and when its answer is known.

    The answer is None if the budget ran out first.
    """

    def asking(self, part: Part) -> None:
        """Called when the part is asked."""

    def on_answer(self, part: Part, answer: Any) -> None:
        """Called when the part is answered."""


@dataclass(frozen=True, repr=False)
class Assay(InShort):
    """The findings of an assay; None for what was not asked, makes no sense, or ran out of time.

    ``only_steps`` are the indexes of the route's steps without an alternative. ``ran_out`` says in words
    what the budget did not reach. ``explanation`` is set if the verdict is not the
    wanted one, and then nothing after it.
    """

    verdict: Verdict
    warnings: tuple[str, ...] | None = None
    explanation: Explanation | None = None
    certificate: Certificate | None = None
    clues: Clues | None = None
    symmetries: Symmetries | None = None
    found: Found | None = None
    route: Route | None = None
    only_steps: tuple[int, ...] | None = None
    ran_out: tuple[str, ...] = ()
    seconds: float = 0.0

    def in_short(self) -> str:
        """Its conclusion."""
        return self.conclusion()

    @property
    def puzzle(self) -> Puzzle:
        """The puzzle examined."""
        return self.verdict.puzzle

    @property
    def parts(self) -> dict[Part, Any]:
        """The answers that are known, by their names, in the order in which they are told."""
        answers: dict[Part, Any] = {
            "verdict": self.verdict,
            "warnings": self.warnings,
            "explanation": self.explanation,
            "certificate": self.certificate,
            "clues": self.clues,
            "kin": self.symmetries,
            "catalogue": self.found,
            "route": self.route,
            "only steps": self.only_steps,
        }
        return {part: answer for part, answer in answers.items() if answer is not None}

    def remarks(self, *, blind: bool = False) -> Iterator[str]:
        """Yield what to look at before publishing, most serious first; nothing when all is well.

        ``blind`` keeps digits and cells out of it.
        """
        if not self.verdict.met:
            yield self._unmet(blind)
        if self.found and self.found.kin_count:
            yield "the catalogue already has it, in disguise"
        if self.symmetries and self.symmetries.looks:
            yield "it looks mirrored: turning it and renaming digits gives the same puzzle"
        if self.clues:
            yield from _wasted_lines(self.clues, blind)
        if self.route and not (self.route.solved or self.route.timed_out):
            yield "the route does not reach the end"
        if self.route:
            long = sum(sum(step.size) > LONG for step in self.route.steps)
            if long:
                yield f"{long} step{'s' * (long > 1)} of the route would be hard to say aloud"
        if self.ran_out and self.verdict.met:
            yield f"undecided within the budget: {', '.join(self.ran_out)}"

    def _unmet(self, blind: bool) -> str:
        if self.verdict.status == "undecided":
            return "whether it has one solution is undecided within the budget"
        wanted = self.puzzle.expect
        expected = (
            f", and its file expects {SAID[wanted]}" if wanted not in (None, "unique") else ""
        )
        mend = self.explanation.repair if self.explanation else None
        mended = ""
        if mend and not blind:
            added = " ".join(as_printed(self.puzzle, given) for given in mend.givens)
            mended = f"; adding {added} leaves one"
        return f"it has {SAID[self.verdict.status]}{expected or mended}"

    def conclusion(self, *, blind: bool = False) -> str:
        """One plain sentence; ``blind`` keeps digits and cells out of it."""
        remarks = list(self.remarks(blind=blind))
        if not self.verdict.met:
            known = "Not fit to publish" if self.verdict.status != "undecided" else "Not known yet"
            return f"{known}: {remarks[0]}."
        if remarks:
            return f"Sound, but look at this first: {'; '.join(remarks)}."
        if self.verdict.status != "unique":
            return f"As its file expects: {SAID[self.verdict.status]}."
        return "Fit to publish."

    @property
    def strictly_fine(self) -> bool:
        """As it should be, with no clue wasted, no mirrored look, no kin, and nothing undecided."""
        return not (list(self.remarks()) or (self.clues and lone(self.clues)))

    def to_json(self) -> dict[str, Any]:
        """The parts under their own names, as their commands give them."""
        result = self.verdict.to_json()
        if self.explanation:
            result |= self.explanation.to_json()
        if self.warnings is not None:
            result["warnings"] = list(self.warnings)
        for part in ("certificate", "clues", "kin", "catalogue", "route"):
            if part in self.parts:
                result[part] = self.parts[part].to_json()
        return result | {
            "only_steps": None if self.only_steps is None else list(self.only_steps),
            "met": self.verdict.met,
            "remarks": list(self.remarks()),
            "conclusion": self.conclusion(),
            "ran_out": list(self.ran_out),
            "seconds": round(self.seconds, 6),
        }


def _wasted_lines(found: Clues, blind: bool) -> Iterator[str]:
    wasted = [effect.clue for effect in found.effects if effect.wasted]
    if len(wasted) == 1:
        yield (
            "one clue is wasted"
            if blind
            else f"{as_printed(found.verdict.puzzle, wasted[0])} is wasted"
        )
    elif wasted and not usual(found):
        said = together(found).replace("these clues", "them").replace(" can be removed", "")
        joined = said and f", {'but' if said.startswith('not') else 'and'} {said}"
        yield f"{len(wasted)} clues could each be removed{joined}"


@within_budget
def assay(
    puzzle: Puzzle,
    *,
    budget: float | Clock = DEFAULT_SECONDS,
    document: bytes | None = None,
    catalogue: Path | None = None,
    in_full: bool = False,
    warn: bool = True,
    listener: Listener | None = None,
) -> Assay:
    """Examine a puzzle. ``budget`` is in seconds for all of it, or a clock already running.

    With ``document``, the bytes of its file, a certificate is made; with ``catalogue``, a file, it is
    looked up there. For the clues, it finds which are wasted; with ``in_full`` also, at the end,
    what depends on each. With ``warn`` it looks for likely slips. Raises PuzzleError if the file
    is not a catalogue.
    """
    if catalogue is not None:
        from gridassay.verify.kin.catalogue import check_catalogue

        check_catalogue(str(catalogue))
    clock = Clock.of(budget)
    started = clock.time_spent()
    heard = listener or Listener()
    heard.asking("verdict")
    verdict = check(puzzle, budget=clock)
    heard.on_answer("verdict", verdict)
    examination = _Examination(Assay(verdict), clock, heard)
    if warn:
        examination.look_for_slips()
    if verdict.met:
        examination.certify(document)
    if verdict.status == "unique":
        examination.examine(catalogue)
        if in_full:
            examination.weigh()
    elif verdict.status != "undecided" and not verdict.met:
        from gridassay.verify.mending.explanation import explain

        heard.asking("explanation")
        explanation = explain(verdict, budget=clock)
        examination.learn(explanation=explanation)
        examination.run_out(*explanation.ran_out)
        heard.on_answer("explanation", explanation)
    return replace(examination.result, seconds=clock.time_spent() - started)


@dataclass
class _Examination:
    """Asks for the parts of an assay of a sound puzzle, each within its share of the clock.

    The shares leave most of the time to later parts; unused time is passed on.
    """

    result: Assay
    clock: Clock
    listener: Listener

    def learn(self, **findings: Any) -> None:
        """Add findings to the result."""
        self.result = replace(self.result, **findings)

    def run_out(self, *parts: str) -> None:
        """Add what the budget did not reach."""
        self.learn(ran_out=(*self.result.ran_out, *parts))

    def look_for_slips(self) -> None:
        if self.result.puzzle.rules:
            from gridassay.verify.mending.cautions import warnings

            puzzle = self.result.puzzle
            self.learn(warnings=self._ask("warnings", 0.1, lambda part: warnings(puzzle, part)))

    def certify(self, document: bytes | None) -> None:
        if document is not None:
            from gridassay.verify.proof.certificate import certify

            source = self.result.puzzle.source
            made = self._ask(
                "certificate", 0.5, lambda part: certify(document, source, budget=part)
            )
            self.learn(certificate=made)

    def examine(self, catalogue: Path | None) -> None:
        from gridassay.verify.clue_worth.effects import clues

        puzzle = self.result.puzzle
        effects = self._ask("clues", 0.4, lambda part: clues(puzzle, budget=part, deep=False))
        self.learn(clues=effects)
        if effects and effects.irreducible is None:
            self.run_out(RAN_OUT["clues"])
        elif effects and effects.droppable is None:
            self.run_out("which clues can be removed together")
        from gridassay.verify.kin import symmetries

        found_symmetries = self._ask(
            "kin", 0.4, lambda part: symmetries(puzzle, solution=False, budget=part)
        )
        self.learn(symmetries=found_symmetries)
        if catalogue is not None:
            kin = self._ask("catalogue", 0.3, lambda part: _look_up(puzzle, catalogue, part))
            self.learn(found=kin)
        from gridassay.verify.solving.route_questions import only_steps
        from gridassay.verify.solving.routes import route

        found = self._ask("route", 0.9, lambda part: route(puzzle, budget=part))
        self.learn(route=found)
        if found and found.timed_out:
            self.run_out(RAN_OUT["route"])
        elif found:
            only = self._ask("only steps", 0.9, lambda part: only_steps(found, budget=part))
            self.learn(only_steps=only)

    def weigh(self) -> None:
        """Work out what depends on each clue, as far as the time allows."""
        from gridassay.verify.clue_worth.effects import clues

        if self.result.clues:
            weighed = clues(self.result.puzzle, budget=self.clock)
            # With no time left the answer would say less than before.
            if weighed.irreducible is not None:
                self.learn(clues=weighed)

    def _ask(self, part: Part, share: float, question: Callable[[Clock], Answer]) -> Answer | None:
        self.listener.asking(part)
        answer = None
        try:
            answer = question(self.clock.share(share))
        except OutOfTime:
            self.run_out(RAN_OUT[part])
        self.listener.on_answer(part, answer)
        return answer


def _look_up(puzzle: Puzzle, path: Path, clock: Clock) -> Found:
    from gridassay.verify.kin import Catalogue

    with Catalogue(path, looking=True, budget=clock) as catalogue:
        return catalogue.search(puzzle, budget=clock)
