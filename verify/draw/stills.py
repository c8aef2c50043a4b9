"""A walkthrough as stills: every step in the stages in which it is told, each a sentence and a view.

A plain step has two stages, what is seen and what follows from it; the opening marks of the drawn rules
are one step; a story has a stage for what is supposed, one for each link, and one for its conclusion. The
page, a sequence of frames and captions all show these.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import islice

from gridassay.encodings.grid import Cell
from gridassay.encodings.puzzle import Puzzle
from gridassay.verify.draw.joins import joins, ringed_digits
from gridassay.verify.draw.premises import step_view
from gridassay.verify.draw.route_views import (
    along,
    candidates_of,
    evident,
    placed_digits,
    position_view,
    view_of_run,
    view_of_step,
    with_layers,
)
from gridassay.verify.draw.view import View
from gridassay.verify.solving.board.position import Candidate, Position
from gridassay.verify.solving.board.step_reader import WrittenStep
from gridassay.verify.solving.board.steps import (
    STORY,
    Step,
    ToldBranch,
    ToldStory,
    claim_text,
    digits_of,
)
from gridassay.verify.solving.board.steps_file import read_steps
from gridassay.verify.solving.grouping import OPENING, numbers, told_together
from gridassay.verify.solving.results import Route
from gridassay.verify.solving.techniques import SINGLES

_SO = ", so "
"""Where the sentence of a step turns from what is seen to what follows."""


@dataclass(frozen=True)
class Still:
    """A stage of a step: what is said, and what is shown meanwhile."""

    said: str
    view: View


@dataclass(frozen=True)
class ToldStep:
    """A step as it is shown: its number (``7`` or ``1–29``), its name, its sentence, its stages.

    ``at`` is the number of single steps before it.
    """

    number: str
    name: str
    text: str
    stages: tuple[Still, ...]
    at: int = 0


def stills(found: Route) -> Iterator[ToldStep]:
    """Every step of a route.

    Candidates are shown from the first step that strikes one; before that, they say no more than
    the digits do.
    """
    before = iter(along(found))
    pencilled = not evident(found.start)
    for first, together in told_together(found.steps):
        position = next(before)[1]
        for _ in islice(before, len(together) - 1):
            pass
        number = numbers(first, len(together))
        if len(together) > 1:
            pencilled = True
            yield _opening(found.puzzle, together, position, number, first)
            continue
        (step,) = together
        pencilled = pencilled or step.technique not in SINGLES
        stages = tuple(_stages(found.puzzle, step, position))
        if not pencilled:
            stages = tuple(Still(one.said, replace(one.view, candidates={})) for one in stages)
        yield ToldStep(number, step.technique, sentence(step.text), stages, first - 1)


def written_stills(
    puzzle: Puzzle, steps: str, left_out: Collection[int] = ()
) -> Iterator[ToldStep]:
    """Every step of a steps file that can be read, in its own words if it has a comment.

    Steps are taken as they come; whether they follow is for the audit to say. The steps numbered in
    ``left_out`` do not change the board.
    """
    position = Position.start(puzzle)
    lines = steps.splitlines()
    for number, written in enumerate(read_steps(steps, puzzle), start=1):
        if written.trouble:
            continue
        name = STORY if written.story else written.because.name if written.because else ""
        claim = claim_text(puzzle.canvas, written.places, written.removes)
        remark = re.search(r"\s#\s*(.+)", lines[written.line - 1])
        text = remark.group(1).strip() if remark else f"{_because(written)}{_SO[2:]}{claim}"
        stages = tuple(_written_stages(puzzle, written, position, text))
        yield ToldStep(str(number), name, sentence(text), stages, number - 1)
        if number not in left_out:
            _apply(position, written.places, written.removes)


def _because(written: WrittenStep) -> str:
    """The pattern that a written step names, before its conclusion: ``hidden single: row 3, ``."""
    one = written.because
    if one is None:
        return ""
    named = filter(None, [" ".join(map(str, one.cells)), *one.houses, *one.rules])
    return f"{': '.join(filter(None, (one.name, ', '.join(named))))}, "


def sentence(text: str) -> str:
    """With a full stop, and a capital unless it begins with the name of a cell."""
    first = text if text[:1] in "rc" and text[1:2].isdigit() else text[:1].upper() + text[1:]
    return first if first.endswith(".") else f"{first}."


def _opening(
    puzzle: Puzzle, together: Sequence[Step], position: Position, number: str, first: int
) -> ToldStep:
    view = view_of_run(together, position, pencilled=True)
    text = " ".join(sentence(step.text) for step in together)
    said = sentence(OPENING)
    return ToldStep(number, OPENING, text, (Still(said, view),), first - 1)


def _stages(puzzle: Puzzle, step: Step, position: Position) -> Iterator[Still]:
    whole = replace(view_of_step(puzzle, step, position), caption="")
    if step.story:
        yield from _story(puzzle, step.story, position)
        yield Still(_conclusion(step.text, ". So ", "So"), whole)
        return
    seen, so, _ = step.text.rpartition(_SO)
    yield Still(sentence(seen if so else step.text), seen_only(whole, position))
    yield Still(_conclusion(step.text, _SO, "So"), whole)


def _conclusion(text: str, turn: str, begin: str) -> str:
    """The conclusion, as a separate sentence; the whole text if the two are not separate."""
    _, so, concluded = text.rpartition(turn)
    return sentence(f"{begin} {concluded}" if so else text)


def seen_only(view: View, position: Position) -> View:
    """The same view without the conclusion: the cells as they were."""
    still_open = {c: digits for c, digits in candidates_of(position).items() if c in view.placed}
    links = [one for one in view.joins if one.kind != "sight"]
    known = {one: value for one, value in view.layers.items() if one not in view.layers_new}
    whole = {**view.candidates, **still_open}
    return replace(
        view, placed={}, struck=(), joins=links, candidates=whole, layers=known, layers_new=()
    )


def _story(puzzle: Puzzle, story: ToldStory, position: Position) -> Iterator[Still]:
    """The supposition and each link of every branch, on the supposed board."""
    canvas = puzzle.canvas
    for branch in story.branches:
        board = position.copy()
        supposed = claim_text(canvas, branch.supposed[:1], ())
        if len(branch.supposed) > 1:
            supposed = " or ".join(claim_text(canvas, [one], ()) for one in branch.supposed)
        word = "Suppose" if story.form == "suppose" else "If"
        yield Still(sentence(f"{word} {supposed}"), _supposing(puzzle, branch, board))
        if len(branch.supposed) == 1:
            _apply(board, branch.supposed, ())
        for link in branch.links:
            view = replace(view_of_step(puzzle, link, board), caption="")
            yield Still(sentence(f"then {link.text}"), _with_supposed(view, branch))
            link.apply(board)
        if branch.ends:
            view = step_view(
                puzzle,
                digits=placed_digits(board),
                candidates=candidates_of(board),
                premises=_premise_names(branch.ends),
            )
            view = replace(view, ringed=[*view.ringed, *_cells_named(puzzle, branch.ends)])
            view = with_layers(view, board, (), ())
            yield Still(
                sentence(f"then nothing is left for {branch.ends}"), _with_supposed(view, branch)
            )


def _supposing(puzzle: Puzzle, branch: ToldBranch, position: Position) -> View:
    view = position_view(position)
    marks = [(cell, digit) for one in branch.supposed for cell, digit in digits_of([one]).items()]
    alone = branch.supposed if len(branch.supposed) == 1 else ()
    return with_layers(replace(view, ringed_candidates=marks), position, alone, ())


def _with_supposed(view: View, branch: ToldBranch) -> View:
    """With a ring round the first cell of the branch."""
    return replace(view, ringed=[*view.ringed, *digits_of(branch.supposed)])


def _premise_names(ends: str) -> list[str]:
    """The premises that the words of an end name: ``digit 2, column 9`` names a house."""
    return [ends, *ends.split(", ")]


def _cells_named(puzzle: Puzzle, ends: str) -> list[Cell]:
    return [cell for cell in puzzle.canvas.cells if str(cell) == ends]


def _written_stages(
    puzzle: Puzzle, written: WrittenStep, position: Position, text: str
) -> Iterator[Still]:
    because = written.because
    removes = [(cell, d) for one in written.removes for cell, d in digits_of([one]).items()]
    view = step_view(
        puzzle,
        digits=placed_digits(position),
        candidates={
            cell: digits
            for cell, digits in candidates_of(position).items()
            if cell not in digits_of(written.places)
        },
        premises=(*because.houses, *because.rules) if because else (),
        cells=because.cells if because else (),
        cited=ringed_digits(because.name, because.cells, because.digits, position)
        if because
        else (),
        removes=removes,
        places=digits_of(written.places),
    )
    if because:
        name, cells, digits, houses = because.name, because.cells, because.digits, because.houses
        view = replace(view, joins=joins(name, cells, digits, houses, removes, position))
    view = with_layers(view, position, written.places, written.removes)
    seen, so, _ = text.rpartition(_SO)
    if so:
        yield Still(sentence(seen), seen_only(view, position))
    yield Still(_conclusion(text, _SO, "So"), view)


def _apply(position: Position, places: Sequence[Candidate], removes: Sequence[Candidate]) -> None:
    marks = position.layout.marks
    position.conclude(marks(places), marks(removes))
