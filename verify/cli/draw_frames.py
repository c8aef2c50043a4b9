"""``gridassay draw --frames``: a walkthrough as a sequence of pictures with what is said to each."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Literal

import typer

from gridassay.encodings.puzzle import Puzzle
from gridassay.verify.budget import Clock
from gridassay.verify.cli.common import read_words, say, writing
from gridassay.verify.cli.ending import NOT_UNIQUE, UNDECIDED, UNIQUE

if TYPE_CHECKING:
    from gridassay.verify.draw.frames import Format
    from gridassay.verify.draw.style import Style

As = Literal["png", "svg"]


def draw_frames(
    puzzle: Puzzle,
    folder: Path,
    *,
    steps: str | None,
    start: str | None,
    kind: Format,
    width: float,
    dpi: float,
    style: Style,
    clear: bool,
    budget: float,
) -> None:
    """Write the frames of a route, or of somebody's own steps; ends the command with its exit code.

    Raises PuzzleError, and ValueError for a font file that cannot be used.
    """
    from gridassay.verify.cli.show import Progress
    from gridassay.verify.draw.cues import seconds_of
    from gridassay.verify.draw.frames import CUES, frames, write_frames
    from gridassay.verify.draw.route_views import position_view
    from gridassay.verify.draw.stills import stills, written_stills
    from gridassay.verify.solving.board.position_file import position_from
    from gridassay.verify.solving.routes import route

    code = UNIQUE
    if steps is not None:
        told = list(frames(puzzle, written_stills(puzzle, read_words(steps))))
    else:
        position = position_from(read_words(start), puzzle, start) if start else None
        found = route(puzzle, start=position, budget=Clock(budget))
        if not found.solved:
            code = UNDECIDED if found.timed_out else NOT_UNIQUE
        told = list(frames(puzzle, stills(found), position_view(found.end)))
    with writing(folder), Progress("drawing", len(told)) as progress:
        count = write_frames(
            puzzle,
            told,
            folder,
            kind=kind,
            width=width,
            dpi=dpi,
            style=style,
            clear=clear,
            step=progress.step,
        )
    minutes, seconds = divmod(round(sum(seconds_of(one.said) for one in told)), 60)
    say(f"{folder}: {count} frames and {CUES}, {minutes} min {seconds} s to say")
    if code != UNIQUE:
        say("the route does not reach the solution: the last frame is where it ends")
    raise typer.Exit(code)
