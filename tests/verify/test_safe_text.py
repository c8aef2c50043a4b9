"""Characters that act on a terminal or a page are written out; those that are only read stay.

The characters and their categories: The Unicode Standard, UnicodeData.
"""

from __future__ import annotations

import sys
from unicodedata import category

import pytest

from gridassay.verify.safe_text import cell, marked_up, printable


@pytest.mark.parametrize(
    ("text", "seen"),
    [
        ("Slack Tide", "Slack Tide"),
        ("\x1b[2J\x07", "\\u{1b}[2J\\u{7}"),
        ("one\ntwo\rthree\tfour", "one\\u{a}two\\u{d}three\\u{9}four"),
        ("\x85\x9b1m", "\\u{85}\\u{9b}1m"),
        ("abc\u202edef\u2066", "abc\\u{202e}def\\u{2066}"),
        ("soft\u00adhyphen\ufeff", "soft\\u{ad}hyphen\\u{feff}"),
        ("\u2028\u2029", "\\u{2028}\\u{2029}"),
        ("\ue000\U000f0000", "\\u{e000}\\u{f0000}"),
        ("\udc80", "\\u{dc80}"),
        ("\U000e0041", "\\u{e0041}"),
        ("no\u00a0break", "no\u00a0break"),
        ("שפל המים", "שפל המים"),
        ("مدّ", "مدّ"),
        ("می\u200cخواهم", "می\u200cخواهم"),
        ("क्\u200dष", "क्\u200dष"),
        ("満潮 🌊", "満潮 🌊"),
    ],
)
def test_text_as_it_is_shown(text: str, seen: str) -> None:
    assert printable(text) == seen


def test_no_letter_of_any_script_is_touched_and_no_control_is_left() -> None:
    for code in range(sys.maxunicode + 1):
        letter = chr(code)
        kind = category(letter)
        if kind[0] in "LMNPS" or kind == "Zs" or code in (0x200C, 0x200D):
            assert printable(letter) == letter
        elif kind != "Cn":
            assert printable(letter) == f"\\u{{{code:x}}}"


@pytest.mark.parametrize("text", ["=1+1", "+1", "-1", "@sum"])
def test_no_cell_of_a_table_is_a_formula(text: str) -> None:
    assert cell(text) == f"'{text}"
    assert cell(f" {text}") == f" {text}"
    assert cell(-1) == -1


def test_markup_is_text() -> None:
    assert marked_up("<b>\x1b&") == "&lt;b&gt;\\u{1b}&amp;"
