"""Colours are given out in order of appearance, and the legend says to what."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import pytest

from gridassay.encodings.documents import read_document
from gridassay.encodings.puzzle import Puzzle
from gridassay.encodings.rules import RULES
from gridassay.verify.draw.colour import channels, contrast
from gridassay.verify.draw.legend import swatch
from gridassay.verify.draw.looks import looks, run_style
from gridassay.verify.draw.marks import Box, Disc, Group, Lines, Mark, Picture, Text
from gridassay.verify.draw.scene import picture
from gridassay.verify.draw.style import DARK, LIGHT, FixedLook, Style
from gridassay.verify.draw.view import View
from gridassay.verify.reference import rule_text

from .pictures import WORKED, marks_in, puzzle_of, with_role

CAGE = '[[rule]]\nkind = "cage"\ncells = "r1c1 r1c2"\nsum = 5\n'
THERMOMETER = '[[rule]]\nkind = "thermometer"\ncells = "r3c1 r3c2"\n'
WHISPER = '[[rule]]\nkind = "whisper"\ncells = "r4c1 r4c2"\ndifference = {}\n'
KNIGHT = '[[rule]]\nkind = "anti-knight"\n'


def puzzle(*rules: str) -> Puzzle:
    return read_document("size = 4\n" + "".join(rules), "x")


DOT = '[[rule]]\nkind = "double-pair"\ncells = "r4c3 r4c4"\n'


@pytest.mark.parametrize("pair", [(THERMOMETER, WHISPER.format(2)), (CAGE, DOT)])
def test_no_kind_has_a_colour_of_its_own(pair: tuple[str, str]) -> None:
    one, _ = looks(puzzle(*pair), LIGHT)
    other, _ = looks(puzzle(*reversed(pair)), LIGHT)
    assert [(r.look.ink, r.look.width) for r in one] == [(r.look.ink, r.look.width) for r in other]
    assert one[0].look != one[1].look


def test_lines_are_neutral_and_told_apart_by_dash_and_width() -> None:
    drawn, _ = looks(puzzle(CAGE, THERMOMETER, WHISPER.format(2)), LIGHT)
    _, one, other = (rule.look for rule in drawn)
    assert one.dash != other.dash
    assert one.width != other.width
    for look in (one, other):
        parts = channels(look.ink)
        assert max(parts) - min(parts) < 40
    assert drawn[0].look.ink == LIGHT.look(0, "cage").ink


def test_the_same_rule_looks_the_same_through_a_run() -> None:
    run = [puzzle(CAGE, THERMOMETER), puzzle(DOT, WHISPER.format(2), THERMOMETER, CAGE)]
    style = run_style(run, LIGHT)
    first, second = (
        {rule.name.split()[0]: rule.look for rule in looks(one, style)[0]} for one in run
    )
    assert {kind: second[kind] for kind in first} == first
    assert looks(run[1], LIGHT)[0][-1].look != second["cage"]


def test_rules_of_one_kind_and_meaning_share_a_look() -> None:
    drawn, entries = looks(puzzle(CAGE, THERMOMETER, CAGE.replace("r1", "r2")), LIGHT)
    assert drawn[0].look == drawn[2].look != drawn[1].look
    assert len(entries) == 3  # the houses, cages, thermometers


def test_rules_of_one_kind_with_different_meanings_are_told_apart() -> None:
    drawn, _ = looks(puzzle(WHISPER.format(2), WHISPER.format(1).replace("r4", "r3")), LIGHT)
    assert drawn[0].look != drawn[1].look


def test_a_rule_without_a_mark_takes_no_colour_but_is_in_the_legend() -> None:
    both = puzzle(KNIGHT, CAGE)
    drawn, entries = looks(both, LIGHT)
    assert [rule.look for rule in drawn] == [LIGHT.look(0, "cage")]
    assert [entry.text for entry in entries] == list(rule_text(both))
    assert [bool(entry.samples) for entry in entries] == [False, False, True]


def test_tags_of_two_kinds_are_told_apart_without_colour() -> None:
    drawn, _ = looks(puzzle(CAGE, DOT, KNIGHT), LIGHT)
    assert drawn[0].look.plate != drawn[1].look.plate


def test_a_look_has_a_dash_only_where_something_is_dashed() -> None:
    arrow = '[[rule]]\nkind = "arrow"\nbulb = "r1c3"\nshaft = "r2c3 r3c3"\n'
    dot = '[[rule]]\nkind = "double-pair"\ncells = "r4c3 r4c4"\n'
    drawn, entries = looks(puzzle(CAGE, THERMOMETER, arrow, dot), LIGHT)
    assert [bool(one.look.dash) for one in drawn] == [True, True, False, False]
    assert [entry.look for entry in entries[1:]] == [one.look for one in drawn]


@pytest.mark.parametrize("kind", RULES)
def test_a_swatch_is_made_as_the_rule_is_drawn(kind: str) -> None:
    """Round if it is round there, and dashed if it is dashed there."""
    worked = puzzle_of(WORKED / f"{kind}.toml")
    drawn, _ = looks(worked, LIGHT)
    for one in drawn:
        small = swatch(one, LIGHT)
        kinds = {type(mark) for mark in marks_in(small.marks)}
        large = list(_of_rule(picture(worked, legend=False), one.name))
        assert {Disc} & kinds == {Disc} & {type(mark) for mark in large}
        dashes = [
            bool(m.stroke and m.stroke.dash) for m in marks_in(small.marks) if isinstance(m, Lines)
        ]
        assert any(dashes) == any(
            isinstance(m, Lines) and m.stroke and m.stroke.dash for m in large
        )


def _of_rule(drawn: Picture, name: str) -> Iterator[Mark]:
    def inside(marks: tuple[Mark, ...]) -> Iterator[Mark]:
        for mark in marks:
            if isinstance(mark, Group) and mark.role == "rule" and mark.name == name:
                yield from marks_in(mark.marks)
            elif isinstance(mark, Group):
                yield from inside(mark.marks)

    return inside(drawn.marks)


@pytest.mark.parametrize("style", [LIGHT, DARK], ids=["light", "dark"])
def test_black_dots_are_dark_and_white_ones_light_on_any_page(style: Style) -> None:
    both = puzzle(
        '[[rule]]\nkind = "double-pair"\ncells = "r4c3 r4c4"\n',
        '[[rule]]\nkind = "consecutive-pair"\ncells = "r2c3 r2c4"\n',
    )
    drawn = picture(both, style=style, legend=False)
    black, white = (mark for mark in marks_in(drawn.marks) if isinstance(mark, Disc))
    for dot, dark in ((black, True), (white, False)):
        assert dot.fill
        assert dot.stroke
        # As dark as black or as light as white, with an edge to be seen on the page or on the fill.
        assert contrast(dot.fill, "#ffffff" if dark else "#000000") > 15
        against = style.paper if contrast(dot.fill, style.paper) < 3 else dot.fill
        assert contrast(dot.stroke.colour, against) >= 3


def test_a_fixed_look_holds_wherever_the_kind_appears() -> None:
    style = replace(LIGHT, fixed={"cage": FixedLook("#009e73", (4.0, 2.0), 0.0)})
    drawn, _ = looks(puzzle(THERMOMETER, CAGE), style)
    assert (drawn[1].look.ink, drawn[1].look.dash) == ("#009e73", (4.0, 2.0))
    assert drawn[0].look == LIGHT.look(0, "thermometer", line=True)


def test_an_ordinary_grid_needs_no_legend() -> None:
    assert not with_role(picture(puzzle()), "rule text")
    assert with_role(picture(puzzle(CAGE)), "rule text")
    assert with_role(picture(read_document("size = 5\n", "x")), "rule text")
    assert with_role(picture(read_document("size = 4\ndigits = [0, 1, 2, 3]\n", "x")), "rule text")


LAYERS = """digits = "none"
size = 2

[[layer]]
name = "water"
kind = "shading"
values = ["deep", "shallow"]
{}
[[layer]]
name = "parishes"
kind = "regions"
sizes = "free"

[[rule]]
kind = "shapes"
layer = "parishes"
shapes = ["##/#.", "#"]
"""


def test_values_of_a_shading_are_in_the_legend_where_any_is_seen() -> None:
    bare, given = (read_document(LAYERS.format(one)) for one in ("", 'givens = "d..."'))
    assert not any(entry.tint for entry in looks(bare, LIGHT)[1])
    entries = looks(given, LIGHT)[1]
    assert [(entry.text, entry.tint) for entry in entries if entry.tint] == [
        ("deep", (0, 0)),
        ("shallow", (0, 1)),
    ]
    found = View(layers={given.givens[0].variable: 0})
    assert sum(entry.tint is not None for entry in looks(bare, LIGHT, found)[1]) == 2
    boxes = [mark for mark in marks_in(picture(given).marks) if isinstance(mark, Box)]
    shades = [mark.fill for mark in boxes if mark.role == "shade"]
    assert len(shades) == 3
    assert shades[0] == shades[1] != shades[2]


def test_shapes_are_drawn_below_their_sentence() -> None:
    given = read_document(LAYERS.format(""))
    marks = list(marks_in(picture(given).marks))
    pieces = [mark for mark in marks if isinstance(mark, Box) and mark.role == "piece"]
    assert len(pieces) == 4
    words = [mark.y for mark in marks if isinstance(mark, Text) and mark.role == "rule text"]
    assert min(mark.y for mark in pieces) > max(words)
    assert max(mark.y + mark.height for mark in pieces) <= picture(given).height
    narrow = picture(given, width=12.0)
    assert all(m.x + m.width <= 12.0 for m in marks_in(narrow.marks) if isinstance(m, Box))
