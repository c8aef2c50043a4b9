"""Pictures that the page shows, and those to save."""

from __future__ import annotations

import io
from base64 import b64encode
from collections.abc import Callable, Iterable
from typing import TYPE_CHECKING, Any

from gridassay.encodings.lines import PuzzleError
from gridassay.encodings.puzzle import Puzzle
from gridassay.verify.budget import Clock, OutOfTime
from gridassay.verify.counting.verdict import Verdict, check
from gridassay.verify.draw.scene import picture, with_margin
from gridassay.verify.draw.svg import svg
from gridassay.verify.draw.view import PLAIN, View
from gridassay.verify.web.asked import Asked
from gridassay.verify.web.ghosts import all_drawn, with_ghosts

if TYPE_CHECKING:
    from gridassay.verify.draw.stills import ToldStep

Tell = Callable[[int, int], None]
"""Called with the number of answers that are ready, and of all."""

QUICK_SECONDS = 1.0
MOST_DRAWN = 8_000_000
"""Characters of pictures of steps in one answer: enough for all steps of a 16 by 16 grid."""
_KEPT = ("answer", "possible")
"""What the board shows besides the puzzle, and a picture to save shows too."""
FRAME_DPI, FRAME_WIDTH = 200.0, 130.0
"""The height of a frame, in dots: that of a video."""


def stages_of(
    asked: Asked, steps: Iterable[ToldStep], puzzle: Puzzle, clock: Clock
) -> list[dict[str, Any]]:
    """Steps as the board shows them, with pictures while there is time and room."""
    room, told = MOST_DRAWN, []
    for step in steps:
        stages = []
        for still in step.stages:
            has_room = room > 0 and clock.time_left() > 0
            drawn = svg_of(puzzle, still.view, asked) if has_room else None
            room -= len(drawn or "")
            stages.append({"said": still.said, "svg": drawn})
        told.append(
            {"number": step.number, "name": step.name, "text": step.text, "at": step.at}
            | {"stages": stages}
        )
    return told


def draw(asked: Asked, tell: Tell) -> dict[str, Any]:
    """A picture to save, in the requested format, of what the board shows."""
    puzzle = asked.puzzle()
    show = asked.options.get("show")
    view = view_for(asked, check(puzzle, budget=QUICK_SECONDS)) if show in _KEPT else PLAIN
    drawn = with_margin(picture(puzzle, view, style=asked.style))
    kind = asked.options.get("format")
    if kind == "svg":
        data = svg(drawn).encode()
    elif kind == "png":
        from gridassay.verify.draw.raster import png

        data = png(drawn)
    elif kind == "pdf":
        from gridassay.verify.draw.pdf import pdf

        data = pdf([drawn])
    else:
        raise PuzzleError("a picture must be svg, png or pdf")
    return {"data": b64encode(data).decode()}


def frames(asked: Asked, tell: Tell) -> dict[str, Any]:
    """A walkthrough as a zip of numbered pictures without a background, and the words for each."""
    import zipfile

    from gridassay.verify.draw.cues import cues
    from gridassay.verify.draw.frames import CUES, frame
    from gridassay.verify.draw.frames import frames as framed_steps
    from gridassay.verify.draw.raster import png
    from gridassay.verify.draw.stills import written_stills

    steps = asked.options.get("steps")
    if not isinstance(steps, str):
        raise PuzzleError("the steps of a walkthrough are text")
    puzzle = asked.puzzle()
    told = list(framed_steps(puzzle, written_stills(puzzle, steps)))
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_STORED) as archive:
        for number, still in enumerate(told, start=1):
            drawn = frame(puzzle, still.view, width=FRAME_WIDTH, style=asked.style, clear=True)
            archive.writestr(f"{number:03d}.png", png(drawn, dpi=FRAME_DPI))
            tell(number, len(told))
        archive.writestr(CUES, cues(still.said for still in told))
    return {"zip": b64encode(packed.getvalue()).decode(), "count": len(told)}


def view_for(asked: Asked, verdict: Verdict) -> View:
    """The content of the grid besides the givens."""
    from gridassay.verify.draw.views import NothingToShow, possible_view, view_of_solution

    show = asked.options.get("show", "wrong")
    if show == "answer" and verdict.status == "unique":
        return view_of_solution(verdict.puzzle, verdict.solutions[0])
    if show == "possible" and verdict.status in ("unique", "multiple"):
        try:
            return possible_view(verdict.puzzle, budget=QUICK_SECONDS)
        except (NothingToShow, OutOfTime):
            return PLAIN
    # An empty grid is not yet wrong.
    begun = verdict.puzzle.givens or verdict.puzzle.rules or asked.off_givens
    return wrong_view(verdict) if show == "wrong" and begun else PLAIN


def wrong_view(verdict: Verdict) -> View:
    """Where two solutions differ, unless it is in so many places that this tells nothing."""
    from gridassay.verify.draw.views import differing

    if len(verdict.solutions) < 2 or 2 * len(verdict.differs) > len(verdict.puzzle.board.shown):
        return PLAIN
    both = differing(verdict.puzzle, verdict.solutions)
    return View(differing=both.differing, layers_apart=both.layers_apart)


def svg_of(puzzle: Puzzle, view: View, asked: Asked) -> str:
    """The board of the page: rules that are off as ghosts, rows and columns numbered."""
    style, off = asked.style, asked.off_rules
    drawn = picture(
        all_drawn(puzzle, off),
        view,
        width=150,
        style=style,
        heading=False,
        legend=False,
        numbered=True,
    )
    return svg(with_ghosts(drawn, off, style))
