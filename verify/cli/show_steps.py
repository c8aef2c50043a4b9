"""How routes look on a terminal: numbered sentences, the profile, the crux, what is left."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from textwrap import wrap

from gridassay.encodings.puzzle import Puzzle
from gridassay.verify.cli.common import say, terminal_width
from gridassay.verify.draw.text import text_grid
from gridassay.verify.solving.board.position import Position
from gridassay.verify.solving.board.steps import REASON, Step
from gridassay.verify.solving.grouping import OPENING, numbers, told_together
from gridassay.verify.solving.results import Route
from gridassay.verify.solving.words import crux_said, ending, profile


def show_route(found: Route, *, brief: bool = False) -> None:
    """Print a route: its steps, then how it ends; ``brief`` leaves the ending out."""
    puzzle = found.puzzle
    if puzzle.title:
        say(puzzle.title)
    for number, together in told_together(found.steps):
        if len(together) > 1:
            _show_opening(number, together)
            continue
        crux = not brief and number - 1 == found.crux
        _show_step(f"{number:>3}", together[0], puzzle, " (crux)" if crux else "")
    if brief:
        if not found.steps:
            say("no step is available")
        return
    say()
    say(ending(found))
    if found.techniques:
        say(profile(found))
    if found.steps:
        say(crux_said(found))
    if not found.solved and found.verdict != "none":
        say()
        for line in candidate_grid(found.end):
            say(line)


def _show_opening(number: int, steps: Sequence[Step]) -> None:
    say(f"{numbers(number, len(steps)):>3}  {OPENING}  [{steps[0].technique}]")
    for step in steps:
        for place, line in enumerate(wrap(step.text, max(40, terminal_width() - 7))):
            say(f"     {'  ' if place else '- '}{line}")


def _show_step(head: str, step: Step, puzzle: Puzzle, mark: str) -> None:
    say(f"{head}  {step.heading(puzzle.canvas)}  [{step.technique}]{mark}")
    for line in wrap(step.text, max(40, terminal_width() - 5)):
        say(f"     {line}")


def show_open(steps: Sequence[Step], puzzle: Puzzle) -> None:
    """Print every step that is available, and whether it is the only one; or one reason."""
    for number, step in enumerate(steps, start=1):
        _show_step(f"{number:>3}", step, puzzle, "")
    if len(steps) == 1 and steps[0].technique != REASON:
        say("this is the only step available")
    elif not steps:
        say("no named technique applies")


def show_needed(stuck: Mapping[str, Route]) -> None:
    """Print the techniques a route cannot do without."""
    say()
    if not stuck:
        say("any one of these techniques can be left out")
    for name, other in stuck.items():
        say(f"without {name}: stuck after {other.placements} placements")


def candidate_grid(position: Position) -> list[str]:
    """The candidates of a position, drawn."""
    layout = position.layout
    texts = {name: position.candidates(cell) for cell, name in enumerate(layout.cells)}
    return text_grid(layout.canvas, texts)
