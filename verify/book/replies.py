"""Replies to readers: a grid, a step or a technique, answered in a few sentences.

The sentences can be sent as they are. They say what is right first, name cells as readers do, and
give away no more of the solution than the question did.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from gridassay.encodings.grid import Cell
from gridassay.encodings.lines import PuzzleError
from gridassay.encodings.notation import listing
from gridassay.encodings.puzzle import Puzzle
from gridassay.verify.auditing.auditing import audit
from gridassay.verify.auditing.words import with_article
from gridassay.verify.budget import DEFAULT_SECONDS, Clock, within_budget
from gridassay.verify.counting.answers import Answer, answer
from gridassay.verify.counting.verdict import check
from gridassay.verify.draw.route_views import view_of_step
from gridassay.verify.draw.view import View
from gridassay.verify.draw.views import differing
from gridassay.verify.solving.board.position import Position
from gridassay.verify.solving.board.steps import Step
from gridassay.verify.solving.board.steps_file import read_steps
from gridassay.verify.solving.results import Route
from gridassay.verify.solving.route_questions import route_to, route_to_marks
from gridassay.verify.solving.techniques.names import find_technique
from gridassay.verify.words import quantity

_USES = re.compile(r"\s*uses?\s+(?:an?\s+|the\s+)?(.+?)[.?!]?\s*", re.IGNORECASE)
_STEP = re.compile(r"\s*[rR]\d+[cC]\d+\b.*(?:=|\bnot\b|<>)")
_MOST_TOLD = 3
"""The most steps before it that are told one by one; more are counted."""


@dataclass(frozen=True)
class Reply:
    """A reply: its text, whether the reader is right, and the view for a picture of it."""

    puzzle: Puzzle
    text: str
    right: bool
    view: View | None = None

    def to_json(self) -> dict[str, Any]:
        """The reply for programs."""
        return {"source": self.puzzle.source, "reply": self.text, "right": self.right}


@within_budget
def reply(puzzle: Puzzle, said: str, *, budget: float | Clock = DEFAULT_SECONDS) -> Reply:
    """Answer a reader who sent a grid, a step (``r4c2 = 5``, ``r4c2 not 5``) or ``uses X-wing``.

    Raises PuzzleError if it is anything else, and OutOfTime.
    """
    clock = Clock.of(budget)
    if (uses := _USES.fullmatch(said)) is not None:
        return _uses(puzzle, uses[1], clock)
    if _STEP.match(said):
        return _step(puzzle, said.strip(), clock)
    return _grid(answer(puzzle, said, budget=clock), clock)


def _name(puzzle: Puzzle) -> str:
    return puzzle.title or "the puzzle"


def _grid(found: Answer, clock: Clock) -> Reply:
    puzzle, count = found.puzzle, len(found.entries)
    if found.result == "solution":
        text = f"Yes, that is it: your grid is the only solution of {_name(puzzle)}. Well done."
        return Reply(puzzle, text, True)
    if found.result == "right so far":
        text = (
            f"So far everything is right: all {count} digits stand in the only solution of "
            f"{_name(puzzle)}, so you can go on from there."
        )
        return Reply(puzzle, text, True)
    if found.result == "unsolvable":
        text = f"The fault is ours: {_name(puzzle)} has no solution. We are sorry, and will correct it."
        return Reply(puzzle, text, False)
    if found.result in ("second solution", "open so far"):
        return _second(found, clock)
    return _wrong(found)


def _second(found: Answer, clock: Clock) -> Reply:
    puzzle = found.puzzle
    if found.result == "open so far":
        text = (
            f"Nothing in your grid is wrong. But the fault is ours: {_name(puzzle)} has more than "
            "one solution, so it cannot be finished without a guess. We are sorry, and will correct it."
        )
    else:
        text = (
            f"You are right, and thank you: {_name(puzzle)} has more than one solution, and yours "
            "is one of them. We are sorry, and will correct it."
        )
    verdict = check(puzzle, budget=clock)
    view = differing(puzzle, verdict.solutions) if len(verdict.solutions) == 2 else None
    if view is not None and view.differing:
        cells = " ".join(map(str, sorted(view.differing)))
        text += f" Two of the solutions differ in {cells}."
    return Reply(puzzle, text, True, view)


def _wrong(found: Answer) -> Reply:
    puzzle = found.puzzle
    wrong = [cell for cell in found.wrong_cells if isinstance(cell, Cell)]
    entered = {fact.variable: fact.value for fact in found.entries}
    text = (
        "There is a slip in your grid. "
        if len(wrong) == 1
        else "There are slips in your grid. "
        if wrong
        else ""
    )
    if found.broken:
        broken = listing([puzzle.rule_phrases.get(one, one) for one in found.broken[:4]], "and")
        more = ", among others" if found.broken[4:] else ""
        text += f"Look at {broken}{more}: what you have there cannot all be right."
    else:
        text += "No rule is broken yet, but from here the grid cannot be finished."
    if wrong:
        cells = listing([str(cell) for cell in wrong[:8]], "and")
        verb = "has" if len(wrong) == 1 else "have"
        which, among = (
            (f"{len(wrong)} cells", f", {cells} among them") if wrong[8:] else (cells, "")
        )
        text += f" {which} {verb} another digit in the solution{among}; the rest is right."
    givens = {fact.variable for fact in puzzle.givens}
    digits = {
        cell: value
        for cell, value in entered.items()
        if isinstance(cell, Cell) and cell not in givens
    }
    return Reply(puzzle, text, False, View(digits=digits, ringed=tuple(wrong)))


def _uses(puzzle: Puzzle, word: str, clock: Clock) -> Reply:
    name = find_technique(word)
    try:
        found = route_to(puzzle, name, budget=clock)
    except PuzzleError:
        where = f"{_name(puzzle)}, at any point of our way through it"
        text = f"No: {with_article(name)} does not come up in {where}."
        return Reply(puzzle, text, False)
    step, before = found.steps[-1], found.steps[:-1]
    if not before:
        text = f"Yes, {with_article(name)} stands there from the start: {_plain(step)}"
    else:
        way = _way(puzzle, before)
        text = f"Yes, {with_article(name)} stands there as well, after {way}: {_plain(step)}"
    return Reply(puzzle, text, True, _last_view(found))


def _step(puzzle: Puzzle, said: str, clock: Clock) -> Reply:
    written = list(read_steps(said, puzzle))
    judged = audit(puzzle, said, budget=clock.share(0.3)).steps
    if len(written) != 1 or len(judged) != 1 or judged[0].result == "unreadable":
        detail = judged[0].detail if judged else "there is nothing in it"
        raise PuzzleError(f"this step cannot be read: {detail}", "the answer")
    result, detail = judged[0].result, judged[0].detail
    claim = said.partition(" because ")[0]
    if result == "wrong":
        places = [str(one.unknown) for one in written[0].places]
        told = (
            f"{listing(places, 'and')} holds something else in the solution" if places else detail
        )
        return Reply(puzzle, f"Not quite: {claim} does not hold. {_sentence(told)}", False)
    if result == "unforced":
        text = (
            f"It can be so, and it can be otherwise: {_name(puzzle)} has more than one solution. "
        )
        return Reply(puzzle, f"{text}The fault is ours, and we will correct it.", True)
    if result == "idle":
        return Reply(puzzle, f"That is already known: {claim} needs no step.", True)
    position = Position.start(puzzle)
    marks = position.layout.marks(written[0].places)
    gone = position.layout.marks(written[0].removes)
    found = route_to_marks(puzzle, marks, gone, budget=clock)
    cells = dict.fromkeys(str(one[0]) for one in (*written[0].places, *written[0].removes))
    where = listing(list(cells), "and")
    step, before = found.steps[-1], found.steps[:-1]
    after = f"after {_way(puzzle, before)}, " if before else ""
    text = f"Yes, {claim}, and there is no need to guess at {where}: {after}{_plain(step)}"
    return Reply(puzzle, text, True, _last_view(found))


def _way(puzzle: Puzzle, steps: Sequence[Step]) -> str:
    """The steps before it, told if they are few: ``r1c2 = 3 and r4c4 = 1``."""
    told = listing([step.heading(puzzle.canvas) for step in steps[:_MOST_TOLD]], "and")
    if len(steps) <= _MOST_TOLD:
        return told
    return f"{quantity(len(steps), 'step')}, the last of them {steps[-1].heading(puzzle.canvas)}"


def _plain(step: Step) -> str:
    return step.text if step.text.endswith(".") else f"{step.text}."


def _sentence(text: str) -> str:
    begun = text if text[:1] in "rc" and text[1:2].isdigit() else text[:1].upper() + text[1:]
    return begun if begun.endswith(".") else f"{begun}."


def _last_view(found: Route) -> View:
    position = found.start.copy()
    for step in found.steps[:-1]:
        step.apply(position)
    return view_of_step(found.puzzle, found.steps[-1], position)
