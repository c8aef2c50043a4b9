"""How kin look on a terminal."""

from __future__ import annotations

from collections.abc import Sequence

from rich.console import Console
from rich.text import Text

from gridassay.encodings.puzzle import Puzzle
from gridassay.verify.cli.common import say, terminal_width, title_words
from gridassay.verify.draw.text import beside, text_grid
from gridassay.verify.kin import KinGroup, SameSolution, Symmetries
from gridassay.verify.kin.catalogue import CatalogueEntry, Found
from gridassay.verify.safe_text import printable

MOST_WAYS = 8
"""Generators of the automorphisms that are shown; the rest are counted."""


def show_symmetries(known: Symmetries) -> None:
    """Print the symmetries of one puzzle: first the look, then the counts."""
    puzzle = known.puzzle
    if puzzle.title:
        _say(title_words(puzzle))
    _say(_headline(known), bold=True)
    for look in known.looks:
        _say(look.words())
    for echo in known.echoes:
        _say(echo.words())
    canvas = puzzle.canvas
    given = dict(puzzle.givens)
    if given:
        dots = {c: canvas.symbols[given[c]] if c in given else "·" for c in canvas.cells}
        say()
        for line in beside([("givens", text_grid(canvas, dots))], terminal_width()):
            _say(line)
    say()
    _say(f"ways of mapping it onto itself: puzzle {known.automorphisms}{_solution_words(known)}")
    for way in known.generators[:MOST_WAYS]:
        _say(f"  {way.words()}")
    if len(known.generators) > MOST_WAYS:
        _say(f"  and {len(known.generators) - MOST_WAYS} more; all others are made of these")
    _say(f"canonical: {known.canonical}")


def _headline(known: Symmetries) -> str:
    if known.looks:
        return "MIRRORED LOOK: one renaming of digits turns the puzzle into itself"
    if known.echoes:
        return f"ECHOES: {len(known.echoes)} pair{'s' * (len(known.echoes) > 1)} of boxes"
    if known.patterns:
        return f"SYMMETRIC PATTERN: {', '.join(turn.name for turn in known.patterns)}"
    return "NO SYMMETRY in the pattern"


def _solution_words(known: Symmetries) -> str:
    if known.solution_automorphisms is None:
        return ""
    return f", solution grid {known.solution_automorphisms}"


def show_found(puzzle: Puzzle, found: Found, *, brief: bool) -> None:
    """Print a catalogue's matches for a puzzle; ``brief`` prints nothing if there are none."""
    for match in found.kin:
        _say(f"IN THE CATALOGUE: {puzzle.source} is {_entry(match.entry)}", bold=True)
        _say(f"  the way back: {match.way.words()}")
    if found.kin_count > len(found.kin):
        _say(f"  and {found.kin_count - len(found.kin)} more of the same")
    if found.layout:
        shown = ", ".join(map(_entry, found.layout))
        hidden = found.layout_count - len(found.layout)
        more = f" and {hidden} more" if hidden else ""
        _say(f"same layout, other values: {puzzle.source} and {shown}{more}")
    if not (brief or found.kin or found.layout):
        _say("the catalogue holds nothing like it")


def _entry(entry: CatalogueEntry) -> str:
    return f"entry {entry.number} ({entry.title or entry.source})"


def show_groups(groups: Sequence[KinGroup]) -> None:
    """Print the groups of several puzzles, with the way back to the first of each, and a summary."""
    for group in groups:
        if group.ways:
            _say(f"ONE PUZZLE: {', '.join(group.to_json())}", bold=True)
            _ways(group)
    total = sum(len(group.puzzles) for group in groups)
    disguised = total - len(groups)
    _say(f"{total} puzzles: {len(groups)} different, {disguised} in disguise")


def _ways(group: KinGroup) -> None:
    for puzzle, way in zip(group.puzzles[1:], group.ways, strict=True):
        words = way.words() if way else "the budget ran out before the way was found"
        _say(f"  {puzzle.source} becomes {group.puzzles[0].source}: {words}")


def show_same(same: Sequence[SameSolution], unsolved: Sequence[Puzzle]) -> None:
    """Print the groups of puzzles with the same solution grid, and which of them are near kin."""
    for one in same:
        if not one.grids.ways:
            continue
        near = len(one.kin) > 1
        _say(f"ONE SOLUTION GRID: {', '.join(one.grids.to_json())}", bold=True)
        if near:
            sets = "; ".join(", ".join(p.source for p in members) for members in one.kin)
            _say(f"  near kin, different puzzles: {sets}")
        _ways(one.grids)
    for puzzle in unsolved:
        _say(f"{puzzle.source} has no single solution, or none was settled in time")
    total = sum(len(one.grids.puzzles) for one in same)
    _say(f"{total} solution grids: {len(same)} different, {total - len(same)} in disguise")


def _say(line: str, *, bold: bool = False) -> None:
    Console(highlight=False).print(
        Text(printable(line), style="bold" if bold else ""), soft_wrap=True
    )
