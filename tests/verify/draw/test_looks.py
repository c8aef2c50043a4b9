"""Colours are given out in order of appearance, and the legend says to what."""

from __future__ import annotations

from dataclasses import replace

from gridassay.encodings.documents import read_document
from gridassay.encodings.puzzle import Puzzle
from gridassay.verify.draw.looks import looks
from gridassay.verify.draw.scene import picture
from gridassay.verify.draw.style import LIGHT, FixedLook
from gridassay.verify.reference import rule_text

from .pictures import with_role

CAGE = '[[rule]]\nkind = "cage"\ncells = "r1c1 r1c2"\nsum = 5\n'
THERMOMETER = '[[rule]]\nkind = "thermometer"\ncells = "r3c1 r3c2"\n'
WHISPER = '[[rule]]\nkind = "whisper"\ncells = "r4c1 r4c2"\ndifference = {}\n'
KNIGHT = '[[rule]]\nkind = "anti-knight"\n'


def puzzle(*rules: str) -> Puzzle:
    return read_document("size = 4\n" + "".join(rules), "x")


def test_no_kind_has_a_colour_of_its_own() -> None:
    one, _ = looks(puzzle(CAGE, THERMOMETER), LIGHT)
    other, _ = looks(puzzle(THERMOMETER, CAGE), LIGHT)
    assert [rule.look for rule in one] == [rule.look for rule in other]
    assert one[0].look != one[1].look


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
    drawn, _ = looks(puzzle(CAGE, THERMOMETER, KNIGHT), LIGHT)
    assert drawn[0].look.plate != drawn[1].look.plate


def test_a_fixed_look_holds_wherever_the_kind_appears() -> None:
    style = replace(LIGHT, fixed={"cage": FixedLook("#009e73", (4.0, 2.0), 0.0)})
    drawn, _ = looks(puzzle(THERMOMETER, CAGE), style)
    assert (drawn[1].look.ink, drawn[1].look.dash) == ("#009e73", (4.0, 2.0))
    assert drawn[0].look == LIGHT.look(0, "thermometer")


def test_an_ordinary_grid_needs_no_legend() -> None:
    assert not with_role(picture(puzzle()), "rule text")
    assert with_role(picture(puzzle(CAGE)), "rule text")
    assert with_role(picture(read_document("size = 5\n", "x")), "rule text")
    assert with_role(picture(read_document("size = 4\ndigits = [0, 1, 2, 3]\n", "x")), "rule text")
