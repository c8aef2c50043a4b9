"""Rules that are switched off, which stay in the pictures of the page.

Looks are assigned by order of appearance, so a rule that left the picture would pass its colour to the
next one. A rule that is off keeps its place instead, and is drawn as a ghost of its outline.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import replace

from gridassay.encodings.puzzle import Puzzle
from gridassay.verify.draw.marks import Group, Mark, Picture, Stroke, Text
from gridassay.verify.draw.style import Style

_WIDTH = 0.3
_DASH = (1.0, 1.1)


def all_drawn(puzzle: Puzzle, off: Collection[str]) -> Puzzle:
    """The puzzle with the rules named in ``off`` on again; the same puzzle if none is off."""
    if not off:
        return puzzle
    rules = tuple(
        rule.model_copy(update={"optional": False}) if name in off else rule
        for name, rule in zip(puzzle.rule_names, puzzle.rules, strict=True)
    )
    return replace(puzzle, rules=rules)


def with_ghosts(picture: Picture, off: Collection[str], style: Style) -> Picture:
    """The picture with everything drawn for the rules in ``off`` thin, dashed, grey and not filled."""
    if not off:
        return picture
    return replace(picture, marks=tuple(_searched(mark, off, style) for mark in picture.marks))


def _searched(mark: Mark, off: Collection[str], style: Style) -> Mark:
    if not isinstance(mark, Group):
        return mark
    if mark.role == "rule" and mark.name in off:
        ghosts = tuple(_ghost(inner, style) for inner in mark.marks)
        return Group("ghost", mark.name, ghosts)
    return replace(mark, marks=tuple(_searched(inner, off, style) for inner in mark.marks))


def _ghost(mark: Mark, style: Style) -> Mark:
    if isinstance(mark, Group):
        return replace(mark, marks=tuple(_ghost(inner, style) for inner in mark.marks))
    if isinstance(mark, Text):
        return replace(mark, colour=style.quiet)
    if mark.stroke is None and mark.fill == style.paper:
        return mark  # It only keeps a label clear of what lies below it.
    fill = style.paper if mark.fill == style.paper else None
    return replace(mark, stroke=Stroke(style.quiet, _WIDTH, _DASH, "butt"), fill=fill)
