"""The parts of a book's pages: puzzles, the rules that are new with them, answers, hints."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cache
from importlib.resources import files
from typing import Any

from gridassay.encodings.documents import read_document
from gridassay.encodings.puzzle import Puzzle
from gridassay.verify.book.contents import with_wording
from gridassay.verify.book.setting import Block, Sheet, paragraph
from gridassay.verify.draw.legend import legend_marks, swatch
from gridassay.verify.draw.looks import looks
from gridassay.verify.draw.marks import Box, Mark, Picture, Stroke, Text
from gridassay.verify.draw.scene import is_ordinary, picture, spread
from gridassay.verify.draw.style import Style
from gridassay.verify.draw.text_size import wrap
from gridassay.verify.draw.view import View
from gridassay.verify.reference import sentences

_LEGENDS = (1.0, 0.88, 0.78)
"""The letter sizes for the rules of a puzzle; the first that fits is used."""
_EXAMPLE = 21.0
"""The width of the picture beside a rule that is explained."""
_INSET = 2.5


@dataclass(frozen=True)
class Setting:
    """How a book is set: its style, and the width of a cell."""

    sheet: Sheet
    style: Style
    cell: float


def puzzle_block(puzzle: Puzzle, number: int, wide: float, setting: Setting) -> tuple[Block, float]:
    """A puzzle with its number, title, credit and rules, and the width of its cells as printed."""
    sheet, style = setting.sheet, setting.style
    across, down = spread(puzzle)
    head = list(_head(puzzle, number, wide, style))
    top = _lowest(head)
    said = not (puzzle.plain and is_ordinary(puzzle.canvas))
    entries = looks(puzzle, style)[1] if said else []
    ideal = min(setting.cell, wide / across)
    for scale in _LEGENDS:
        keys, low = (
            legend_marks(entries, top, wide, style, scale, letters=sheet.size)
            if said
            else ([], top)
        )
        if low + 2 + ideal * down <= sheet.depth:
            break
    room = max(sheet.depth - low - 2, 0.35 * sheet.depth)
    cell = min(ideal, room / down)
    across *= cell
    high = low + 2 + cell * down

    def draw() -> list[Mark]:
        drawn = picture(puzzle, width=across, style=style, heading=False, legend=False)
        return [*head, *keys, drawn.as_group((wide - across) / 2, low + 2)]

    return Block(wide, high, draw), cell


def _head(puzzle: Puzzle, number: int, wide: float, style: Style) -> Iterator[Mark]:
    size = 4.8
    indent = (0.62 * len(str(number)) + 0.75) * size
    y = 1.1 * size
    yield Text(0, y, str(number), size, style.ink, True, "start", role="puzzle number")
    for place, line in enumerate(wrap(puzzle.title, size, wide - indent, bold=True)):
        y = 1.1 * size + place * 1.2 * size
        yield Text(indent, y, line, size, style.ink, True, "start", role="title")
    small = 2.8
    for line in wrap(puzzle.credit, small, wide - indent):
        y += 1.5 * small
        yield Text(indent, y, line, small, style.quiet, False, "start", role="credit")


def _lowest(marks: Sequence[Mark]) -> float:
    return max((mark.y + 0.5 * mark.size for mark in marks if isinstance(mark, Text)), default=0.0)


@cache
def _example(kind: str) -> Puzzle | None:
    """The worked example of a kind of rule; None for kinds of other packages."""
    try:
        file = files("gridassay.rule_examples") / f"{kind}.toml"
        return read_document(file.read_text("utf-8"), kind)
    except (ModuleNotFoundError, OSError):
        return None


def rule_block(
    name: str, said: str, number: int, wide: float, setting: Setting, drawn: Picture | None
) -> Block:
    """A new rule in a frame: a picture, its name and its sentence."""
    style, size = setting.style, setting.sheet.size
    left = 2 * _INSET + (drawn.width if drawn else 0.0) + (_INSET if drawn else 0.0)
    words = paragraph(said, wide - left - _INSET, style, size, role="rule explained")
    told = paragraph(
        f"New with number {number}", wide - left, style, 2.4, quiet=True, role="caption"
    )
    called = paragraph(name, wide - left - _INSET, style, 1.15 * size, bold=True, role="rule name")
    pieces = (told, called, words)
    text = sum(piece.height for piece in pieces) + 1
    high = max(text, drawn.height if drawn else 0.0) + 2 * _INSET

    def draw() -> list[Mark]:
        frame = Stroke(style.hairline, 0.25)
        marks: list[Mark] = [Box(0, 0, wide, high, 2, frame, None, "rule frame")]
        if drawn:
            marks.append(drawn.as_group(_INSET, (high - drawn.height) / 2))
        top = (high - text) / 2
        for piece in pieces:
            marks += [mark.moved(left, top, 1) for mark in piece.draw()]
            top += piece.height
        return marks

    return Block(wide, high, draw)


def explanations(
    puzzle: Puzzle, number: int, known: set[str], wide: float, setting: Setting
) -> list[Block]:
    """The rules of a puzzle that are not in ``known`` yet, explained, and added to ``known``."""
    style, said = setting.style, sentences(puzzle)
    blocks = []
    for name, rule in zip(puzzle.rule_names, puzzle.rules, strict=True):
        if rule.optional or rule.kind in known:
            continue
        known.add(rule.kind)
        example = _example(rule.kind)
        if example is not None:
            # With the puzzle's own sentence, the rule is drawn as in the puzzle.
            alike = with_wording(example, {rule.kind: said[name]})
            shown: Picture | None = picture(
                alike, width=_EXAMPLE, style=style, heading=False, legend=False
            )
        else:
            drawn = [one for one in looks(puzzle, style)[0] if one.name == name]
            shown = swatch(drawn[0], style, 9.0) if drawn else None
        called = rule.spoken[:1].upper() + rule.spoken[1:]
        # Only the general part: the numbers of this rule stand with its puzzle. Of a rule over a layer,
        # that would say nothing without the words of the layer.
        own = rule.text is not None or "layer" in type(rule).model_fields
        general = rule.printed if own else type(rule).sentence
        blocks.append(rule_block(called, general, number, wide, setting, shown))
    return blocks


SEVERAL = "It does not have exactly one solution."
LATE = "Its solution was not found in time."


def no_answer(verdict: Mapping[str, Any] | None) -> str:
    """Why a puzzle with this verdict, as the record has it, has no answer in the book."""
    return SEVERAL if verdict and verdict["verdict"] in ("multiple", "none") else LATE


def answer_block(
    puzzle: Puzzle, number: int, view: View | None, wide: float, style: Style, missing: str = ""
) -> Block:
    """A small solved grid under its number; if there is no view, the sentence ``missing``."""
    bare = replace(puzzle, rules=(), doublers=False, credit="")
    title = " ".join(filter(None, (str(number), puzzle.title)))
    size = 2.9
    lines = list(wrap(title, size, wide, bold=True))
    top = 1.25 * size * len(lines) + 0.8
    head: list[Mark] = [
        Text(0, size + place * 1.25 * size, line, size, style.ink, True, "start", role="title")
        for place, line in enumerate(lines)
    ]
    if view is None:
        note = paragraph(missing, wide, style, 2.6, quiet=True)
        return Block(
            wide, top + note.height, lambda: [*head, *(m.moved(0, top, 1) for m in note.draw())]
        )
    drawn = picture(bare, view, width=wide, style=style, heading=False, legend=False)

    def draw() -> list[Mark]:
        return [
            *head,
            picture(bare, view, width=wide, style=style, heading=False, legend=False).as_group(
                0, top
            ),
        ]

    return Block(wide, top + drawn.height, draw)
