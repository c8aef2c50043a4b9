from __future__ import annotations

import re
from pathlib import Path

import pytest

from gridassay.encodings.lines import PuzzleError
from gridassay.verify.draw.pdf import font_files, pdf
from gridassay.verify.draw.scene import picture
from gridassay.verify.draw.starter_style import starter
from gridassay.verify.draw.style import DARK, LIGHT, FixedLook, Style
from gridassay.verify.draw.style_files import (
    FontDocument,
    LookDocument,
    StyleDocument,
    read_style,
)

from .pictures import WORKED, puzzle_of

DOCS = Path(__file__).parents[3] / "docs"


def read(tmp_path: Path, text: str) -> Style:
    file = tmp_path / "style.toml"
    file.write_text(text)
    return read_style(str(file))


def test_an_empty_style_file_changes_nothing(tmp_path: Path) -> None:
    assert read(tmp_path, "") == LIGHT
    assert read(tmp_path, 'base = "dark"') == DARK


def test_a_style_file_fixes_colours_dashes_and_fonts(tmp_path: Path) -> None:
    regular, bold, _ = font_files(LIGHT.font)
    (tmp_path / "mine.ttf").write_bytes(bold.read_bytes())
    style = read(
        tmp_path,
        'paper = "#FFF8E7"\npalette = ["#0072b2"]\ndashes = [[2, 1]]\nhatches = [30]\n'
        '[font]\nfamily = "Mine"\nregular = "mine.ttf"\n'
        '[rule.thermometer]\ncolour = "#009e73"\ndash = []\nhatch = 0\n',
    )
    assert (style.paper, style.palette, style.hatches) == ("#fff8e7", ("#0072b2",), (30,))
    assert style.fixed == {"thermometer": FixedLook("#009e73", (), 0)}
    assert font_files(style.font)[:2] == (tmp_path / "mine.ttf", tmp_path / "mine.ttf") != regular
    drawn = picture(puzzle_of(WORKED / "thermometer.toml"), style=style)
    assert drawn.font.family == "Mine"
    assert pdf([drawn]).startswith(b"%PDF")


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("paper = 3", "paper: input should be a valid string"),
        ('paper = "white"', "paper: 'white' is not a colour such as #0072b2"),
        ('papier = "#ffffff"', "papier: there is no such key; did you mean 'paper'"),
        ('[rule.cage]\ncolor = "#ffffff"', r"rule\.cage\.color: there is no such key; .* 'colour'"),
        ("[rule.thermo]", r"rule\.thermo: there is no such kind of rule; .* 'thermometer'"),
        ("widths = [5]", r"widths\.0: input should be less than or equal to 2"),
        ('ink = "#dddddd"', r"ink: #dddddd on #ffffff cannot be read: their contrast is 1\.4"),
        ("dashes = [[0, 1]]", r"dashes\.0\.0: input should be greater than 0"),
        ('[font]\nregular = "none.ttf"', r"font\.regular: there is no file none\.ttf"),
        ("paper =", "not TOML"),
    ],
)
def test_a_style_file_at_fault_is_told_in_a_line(tmp_path: Path, text: str, message: str) -> None:
    with pytest.raises(PuzzleError, match=message) as error:
        read(tmp_path, text)
    assert "\n" not in str(error.value)
    assert error.value.source == str(tmp_path / "style.toml")


def test_a_font_file_that_is_none_is_told(tmp_path: Path) -> None:
    (tmp_path / "bad.ttf").write_text("no font")
    style = read(tmp_path, '[font]\nregular = "bad.ttf"\n')
    with pytest.raises(ValueError, match=r"bad\.ttf cannot be used"):
        pdf([picture(puzzle_of(WORKED / "cage.toml"), style=style)])


def test_the_starter_changes_nothing_and_names_every_key(tmp_path: Path) -> None:
    assert read(tmp_path, starter()) == LIGHT
    # With the marks of its remarks taken away it says something of every key there is.
    told = re.sub(r"(?m)^# (?=[\[a-z]+[\].= ])", "", starter())
    page = (DOCS / "picture-styles.md").read_text(encoding="utf-8")
    for document in (StyleDocument, FontDocument, LookDocument):
        for key in document.model_fields:
            assert re.search(rf"(?m)^(\[)?{key}\b", told), key
            assert f"`{key}`" in page or f"[{key}" in page, key
