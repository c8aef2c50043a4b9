"""Titles, credits, ids, texts, file names and steps that would act on a terminal are only shown."""

from __future__ import annotations

import csv
import json
from pathlib import Path
from unicodedata import category
from xml.etree import ElementTree

import pytest

from gridassay.verify import picture, read
from gridassay.verify.draw.pdf import pdf
from gridassay.verify.draw.svg import svg

from .run import gridassay

NASTY = "\x1b[2J\x1b[H\nPASSED: all is well\r\x07\x9b\u202e\u2066\u2028\u00ad\ue000"
TEXT = json.dumps(NASTY + "Tide")
ID = NASTY.replace(":", ",")  # an id holds no colon
PUZZLE = f"""
title = {TEXT}
credit = {TEXT}
size = 4
givens = "1234 3412 214. 43.."
[[rule]]
kind = "cage"
id = {json.dumps("quay" + ID)}
cells = "r1c1 r1c2"
sum = 3
[[rule]]
kind = "renban"
id = {json.dumps("mole" + ID)}
cells = "r3c3 r3c4 r4c4"
optional = true
"""
SEVERAL = PUZZLE.replace("1234 3412 214. 43..", ".... .... .... ....")
NONE = PUZZLE.replace("sum = 3", "sum = 4")
STEPS = f"""r3c4 = 3 because naked single: r3c4 # {NASTY.replace(chr(10), " ")}
r4c3 = 2 because \x1b[2J\u202enaked single: r4c3
"""


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    for name, text in {
        "tide.toml": PUZZLE,
        "several.toml": SEVERAL,
        "none.toml": NONE,
        "bad.toml": PUZZLE.replace("renban", "ren\\u001b[2Jban"),
        "bad\x1b[2J\u202e.txt": "12\x1b345\n",
        "tide.steps": STEPS,
    }.items():
        (tmp_path / name).write_text(text, encoding="utf-8")
    return tmp_path


def assert_only_shown(text: str) -> None:
    acting = {letter for letter in text if category(letter) in ("Cc", "Cf", "Cs", "Co", "Zl", "Zp")}
    assert acting <= {"\n"}
    assert not any(
        line.strip().startswith(("PASSED: all", "PASSED, all")) for line in text.splitlines()
    )


COMMANDS = [
    "check tide.toml",
    "check several.toml",
    "check none.toml",
    "check tide.toml several.toml none.toml bad.toml",
    "check bad.toml",
    "check several.toml --blind",
    "assay tide.toml",
    "assay several.toml",
    "assay none.toml",
    "clues tide.toml",
    "clues tide.toml --keepers",
    "route tide.toml",
    "route tide.toml --next",
    "kin tide.toml",
    "kin tide.toml several.toml",
    "compare tide.toml several.toml",
    "answer tide.toml 1234341221434321",
    "answer none.toml 1234341221434321",
    "audit tide.toml tide.steps",
    "rules --text tide.toml",
    "certify tide.toml -o cert.zip",
    "export tide.toml --format dimacs",
]


@pytest.mark.parametrize("command", COMMANDS)
def test_nothing_of_a_file_acts_on_the_terminal(
    command: str, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(folder)
    run = gridassay(*command.split())
    assert run.out + run.err
    assert (run.code == 2) == ("bad.toml" in command)
    assert_only_shown(run.out)
    assert_only_shown(run.err)


def test_a_file_name_does_not_act_either(folder: Path) -> None:
    (bad,) = folder.glob("bad*.txt")
    run = gridassay("check", bad)
    assert run.code == 2
    assert "\\u{1b}[2J" in run.err
    assert_only_shown(run.err)


def test_a_certificate_shows_no_report_but_its_own(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(folder)
    assert gridassay("certify", "tide.toml", "-o", "tide.zip").code == 0
    run = gridassay("recheck", "tide.zip")
    assert run.code == 0
    assert_only_shown(run.out)
    assert run.out.startswith("PASSED: tide.zip")
    assert "\\u{1b}[2J\\u{1b}[H\\u{a}PASSED: all is well\\u{d}\\u{7}" in run.out


def test_a_title_from_right_to_left_is_shown_as_it_is_written(tmp_path: Path) -> None:
    file = tmp_path / "tide.toml"
    title = 'title = "שפל \u202eהמים"\n'
    file.write_text(title + 'size = 4\ngivens = "1234 3412 2143 4321"\n', encoding="utf-8")
    run = gridassay("check", file)
    assert run.out.splitlines()[0] == "שפל \\u{202e}המים"
    (told,) = gridassay("check", "--json", file).objects
    assert told["title"] == "שפל \u202eהמים"


def test_json_says_what_is_in_the_file(folder: Path) -> None:
    told = json.loads(gridassay("check", "--json", folder / "tide.toml").out)
    assert told["title"] == NASTY + "Tide"


def test_tables_of_a_batch_hold_no_formula_and_no_control(tmp_path: Path) -> None:
    folder = tmp_path / "in"
    folder.mkdir()
    for number, sign in enumerate("=+-@"):
        text = f'title = {json.dumps(sign + "1+1" + NASTY)}\nsize = 4\ngivens = "1234 3412 2143 4321"\n'
        (folder / f"{number}.toml").write_text(text, encoding="utf-8")
    out, table, cases = (tmp_path / name for name in ("out.jsonl", "out.csv", "out.xml"))
    run = gridassay("batch", folder, "--out", out, "--csv", table, "--junit", cases)
    assert run.code == 0
    with table.open(encoding="utf-8", newline="") as file:
        titles = [row["title"] for row in csv.DictReader(file)]
    assert [title[:3] for title in titles] == ["'=1", "'+1", "'-1", "'@1"]
    for title in titles:
        assert_only_shown(title)
    rows = [json.loads(line) for line in out.read_text(encoding="utf-8").split("\n")[:-1]]
    assert [row["title"] for row in rows] == [f"{sign}1+1{NASTY}" for sign in "=+-@"]
    ElementTree.parse(cases)


def test_pages_and_pictures_show_it_too(folder: Path) -> None:
    puzzle = read(PUZZLE)
    drawn = svg(picture(puzzle))
    assert_only_shown(drawn)
    assert "\\u{202e}" in drawn
    assert pdf([picture(puzzle)])
    out = folder / "assay.html"
    assert gridassay("assay", folder / "tide.toml", "--page", out).code == 0
    assert_only_shown(out.read_text(encoding="utf-8"))
