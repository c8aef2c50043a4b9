"""The look of each rule, and the legend that explains it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from gridassay.encodings.grid import Cell
from gridassay.encodings.puzzle import Puzzle
from gridassay.encodings.rules.base import Rule, Shape
from gridassay.encodings.variables import Shade, word
from gridassay.verify.draw.style import Look, Sort, Style
from gridassay.verify.draw.view import PLAIN, View
from gridassay.verify.reference import sentences, text_of


@dataclass(frozen=True)
class DrawnRule:
    """A rule that is drawn: its name in results, its look and its shapes."""

    name: str
    look: Look
    shapes: tuple[Shape, ...]


@dataclass(frozen=True)
class LegendEntry:
    """A line of the legend: a sentence, and samples of the drawings to which it applies.

    ``tint`` is for a value of a shading: the place of the layer in the puzzle, and the value;
    ``pieces`` are drawn below the sentence.
    """

    text: str
    look: Look
    samples: tuple[Shape, ...]
    tint: tuple[int, int] | None = None
    pieces: tuple[tuple[Cell, ...], ...] = ()


def looks(
    puzzle: Puzzle, style: Style, view: View = PLAIN
) -> tuple[list[DrawnRule], list[LegendEntry]]:
    """Every rule that is on with its look, in order of appearance, and the legend.

    Rules of one kind share a look if they need not be told apart: an X and a V need not, two
    whisper lines with different differences do. If the view names some, the others fade. Values of a
    shading are in the legend if any of them is seen.
    """
    stressed = view.rules
    drawn: list[DrawnRule] = []
    numbers = _Numbers()
    for known in style.known:
        numbers.of(known)
    samples: dict[str, LegendEntry] = {}
    said = sentences(puzzle)
    for name, rule in zip(puzzle.rule_names, puzzle.rules, strict=True):
        shapes = tuple(sorted(_on_board(rule, puzzle), key=_is_bulb))
        if rule.optional:
            continue
        text = said[name]
        if pieces := tuple(one for s in rule.shapes(puzzle.board) for one in s.pieces):
            samples[text] = LegendEntry(text, style.look(0, ""), (), pieces=pieces)
        if not shapes:
            continue
        sort = Sort(rule.kind, rule.seen_as, text, _is_line(shapes))
        number = numbers.of(sort)
        faded = bool(stressed) and name not in stressed
        drawn.append(DrawnRule(name, _look(style, number, sort, shapes, faded), shapes))
        look = _look(style, number, sort, shapes, False)
        samples.setdefault(text, LegendEntry(text, look, samples_of(shapes)))
    unmarked = style.look(0, "")
    tints = _tints(puzzle, view, unmarked)
    return drawn, [
        entry
        for text in text_of(puzzle, said)
        for entry in (samples.get(text, LegendEntry(text, unmarked, ())), *tints.get(text, ()))
    ]


def _tints(puzzle: Puzzle, view: View, unmarked: Look) -> dict[str, list[LegendEntry]]:
    """For each shading of which values are seen, by its sentence: an entry for each of its values."""
    seen = [*(fact.variable for fact in puzzle.givens), *view.layers]
    shaded = {variable.layer: variable for variable in seen if isinstance(variable, Shade)}
    found = {}
    for place, layer in enumerate(puzzle.layers):
        if layer.name in shaded:
            known = shaded[layer.name]
            numbers = layer.variables(puzzle.canvas)[known]
            found[layer.text()] = [
                LegendEntry(str(word(known, number)), unmarked, (), (place, number))
                for number in numbers
            ]
    return found


class _Numbers:
    """The numbers by which sorts of rules get their looks; lines are numbered apart from all others."""

    def __init__(self) -> None:
        self._sorts: dict[str, dict[str, int]] = {}
        self._numbers: dict[bool, dict[tuple[str, int], int]] = {True: {}, False: {}}

    def of(self, sort: Sort) -> int:
        """The number of a sort: a new one if it appears for the first time."""
        alike = self._sorts.setdefault(sort.seen_as, {})
        place = alike.setdefault(sort.text, len(alike))
        numbers = self._numbers[sort.line]
        return numbers.setdefault((sort.kind, place), len(numbers))


def run_style(puzzles: Iterable[Puzzle], style: Style) -> Style:
    """The style in which the same rule looks the same in all of these puzzles."""
    known: dict[Sort, None] = dict.fromkeys(style.known)
    for puzzle in puzzles:
        said = sentences(puzzle)
        for name, rule in zip(puzzle.rule_names, puzzle.rules, strict=True):
            shapes = _on_board(rule, puzzle)
            if shapes and not rule.optional:
                known[Sort(rule.kind, rule.seen_as, said[name], _is_line(shapes))] = None
    return replace(style, known=tuple(known))


def _on_board(rule: Rule, puzzle: Puzzle) -> tuple[Shape, ...]:
    """The shapes of a rule that are drawn on the board."""
    shapes = rule.shapes(puzzle.board)
    return tuple(shape for shape in shapes if shape.form != "grid")


def _is_line(shapes: tuple[Shape, ...]) -> bool:
    return any(shape.form == "line" for shape in shapes)


def _look(style: Style, number: int, sort: Sort, shapes: tuple[Shape, ...], faded: bool) -> Look:
    """The look of a sort; it has no dash if none of its shapes is dashed."""
    look = style.look(number, sort.kind, faded=faded, line=sort.line)
    return look if any(map(_has_dash, shapes)) else replace(look, dash=())


def _has_dash(shape: Shape) -> bool:
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
