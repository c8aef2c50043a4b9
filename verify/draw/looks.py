"""The look of each rule, and the legend that explains it."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass, replace

from gridassay.encodings.grid import Cell
from gridassay.encodings.puzzle import Puzzle
from gridassay.encodings.rules.base import Shape
from gridassay.verify.draw.style import Look, Style
from gridassay.verify.reference import sentences, text_of


@dataclass(frozen=True)
class Drawn:
    """A rule that is drawn: its name in results, its look and its shapes."""

    name: str
    look: Look
    shapes: tuple[Shape, ...]


@dataclass(frozen=True)
class Entry:
    """A line of the legend: a sentence, and samples of the drawings to which it applies."""

    text: str
    look: Look
    samples: tuple[Shape, ...]


def looks(
    puzzle: Puzzle, style: Style, stressed: Collection[str] = ()
) -> tuple[list[Drawn], list[Entry]]:
    """Every rule that is on with its look, in order of appearance, and the legend.

    Rules of one kind share a look if they need not be told apart: an X and a V need not, two
    whisper lines with different differences do. If some are ``stressed``, the others fade.
    """
    drawn: list[Drawn] = []
    numbers: dict[tuple[str, int], int] = {}
    sorts: dict[str, dict[str, int]] = {}
    samples: dict[str, Entry] = {}
    said = sentences(puzzle)
    for name, rule in zip(puzzle.rule_names, puzzle.rules, strict=True):
        shapes = tuple(
            sorted((s for s in rule.shapes(puzzle.board) if s.form != "grid"), key=_is_bulb)
        )
        if rule.optional or not shapes:
            continue
        text = said[name]
        alike = sorts.setdefault(rule.seen_as, {})
        sort = alike.setdefault(text, len(alike))
        number = numbers.setdefault((rule.kind, sort), len(numbers))
        faded = bool(stressed) and name not in stressed
        drawn.append(Drawn(name, _look(style, number, rule.kind, shapes, faded), shapes))
        look = _look(style, number, rule.kind, shapes, False)
        samples.setdefault(text, Entry(text, look, samples_of(shapes)))
    unmarked = style.look(0, "")
    return drawn, [samples.get(text, Entry(text, unmarked, ())) for text in text_of(puzzle, said)]


def _look(style: Style, number: int, kind: str, shapes: tuple[Shape, ...], faded: bool) -> Look:
    """The look of a kind, without a dash if none of its shapes is dashed."""
    look = style.look(number, kind, faded=faded)
    return look if any(map(_dashed, shapes)) else replace(look, dash=())


def _dashed(shape: Shape) -> bool:
    """Whether it is drawn with the dash of its look: arrows, bulbs and marks are solid."""
    if shape.form == "line":
        return shape.last_end != "arrow" and not _is_bulb(shape)
    return shape.form == "cage"


_LEFT, _RIGHT = Cell(1, 1), Cell(1, 2)


def samples_of(shapes: tuple[Shape, ...]) -> tuple[Shape, ...]:
    """One shape of each sort, on two cells side by side."""
    sorts: dict[tuple[str, ...], Shape] = {}
    for shape in shapes:
        sort = (shape.form, shape.figure, shape.first_end, shape.last_end)
        alone = shape.form in ("cell mark", "outside") or _is_bulb(shape)
        cells = (_LEFT,) if alone else (_LEFT, _RIGHT)
        kept = shape.label if shape.form in ("edge mark", "cell mark", "outside") else ""
        if shape.form == "corner mark":
            kept = shape.label.partition(" ")[0]
        sorts.setdefault(sort, replace(shape, cells=cells, label=kept, closed=False))
    return tuple(sorts.values())


def _is_bulb(shape: Shape) -> bool:
    """Whether it is a bulb by itself: painted last, over the line that leaves it."""
    return shape.first_end == shape.last_end == "bulb"
