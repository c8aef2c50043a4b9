"""``gridassay assay``: the screen, blind, strict, the page, and what a person would do next."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from gridassay.verify import read
from gridassay.verify.examination import assay
from gridassay.verify.kin import Catalogue
from gridassay.verify.proof.recheck import recheck

from .. import published
from .run import EXAMPLES, gridassay

LIGHTS = EXAMPLES / "harbour-lights.toml"
LEAN = "1... ...2 ..3. .4.."

# Thirteen cells that differ and twelve digits: hard to refute.
PIGEONS = """
rows = 1
columns = 13
houses = "none"
digits = [1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12]
[[rule]]
kind = "cage"
cells = "r1c1..r1c13"
"""

SCREEN = """\
Harbour Lights, Maren Oltway, The Slack Tide no. 1
ONE SOLUTION (sat, TIME)
as the file expects (unique)

positions  symmetric: half turn
mirrored   no
givens     27, 7 of them wasted: r1c1=8, r1c3=7, r2c5=8, r3c6=3, r8c4=3, r9c5=1, r9c9=9
           3 can be dropped together (gridassay clues tells which)
route      54 steps to its end
           last cell 19; hidden single 35
crux       step 1, hidden single: 6 in box 2: column 4 and row 3 block the rest, so r1c6
narrow     nowhere: more than one step is open at every moment

Sound, and look at this first: 7 clues are wasted, and 3 can go together.
"""


def test_the_screen() -> None:
    run = gridassay("assay", LIGHTS)
    assert (run.code, run.out) == (0, SCREEN)


def test_strict_wants_nothing_to_look_at(tmp_path: Path) -> None:
    assert gridassay("assay", LIGHTS, "--strict").code == 1
    run = gridassay("assay", "-", "--strict", stdin=published.SEVENTEEN[2])
    assert run.out.endswith("Fit to publish.\n")
    assert run.code == 0


@pytest.mark.parametrize(("line", "verdict"), [("11" + "." * 14, "none"), ("." * 16, "multiple")])
def test_what_is_not_unique_is_mended_first(line: str, verdict: str) -> None:
    run = gridassay("assay", "-", stdin=line)
    assert run.code == 1
    assert "What would mend it" in run.out
    assert "route" not in run.out
    assert run.out.endswith(
        f"Not fit to publish: the verdict is {verdict}, and unique is wanted.\n"
    )


@pytest.mark.parametrize(
    "file", [*sorted(EXAMPLES.glob("*.toml"))[:4], LIGHTS], ids=lambda f: f.name
)
def test_blind_shows_no_digit_and_no_cell(file: Path) -> None:
    # Numbers that count are no digits of the grid: what follows is every other use of one.
    run = gridassay("assay", "--blind", file)
    body = "\n".join(line for line in run.out.splitlines() if "The Slack Tide" not in line)
    assert not re.search(r"r\d+c\d+", body)
    assert "=" not in body
    assert "│" not in body
    (result,) = gridassay("assay", "--blind", "--json", file).objects
    assert "solutions" not in result
    assert isinstance(result["route"]["steps"], int)


def test_json_gathers_the_parts() -> None:
    (result,) = gridassay("assay", "--json", LIGHTS).objects
    assert result["verdict"] == "unique"
    assert result["route"]["solved"] is True
    assert len(result["clues"]["givens"]) == 27
    assert result["kin"]["patterns"] == ["half turn"]
    assert result["conclusion"].startswith("Sound, and look at this first")


def test_evidence_is_written_and_holds(tmp_path: Path) -> None:
    out = tmp_path / "evidence.zip"
    run = gridassay("assay", LIGHTS, "--certificate", out)
    assert f"evidence   written to {out}"[:40] in run.out
    assert recheck(out.read_bytes()).result == "passed"


def test_a_disguise_in_the_catalogue_is_told(tmp_path: Path) -> None:
    shelf = tmp_path / "printed.sqlite"
    from gridassay.verify import Clock

    with Catalogue(str(shelf), Clock(60)) as catalogue:
        catalogue.search(read("2... ...1 ..3. .4..", "week 3"), Clock(60), add=True)
    run = gridassay("assay", "-", "--strict", "--catalogue", shelf, stdin=LEAN)
    assert run.code == 1
    assert "in disguise" in run.out


@pytest.mark.parametrize("name", ["page.html", "page.pdf"])
def test_the_page(tmp_path: Path, name: str) -> None:
    out = tmp_path / name
    assert gridassay("assay", LIGHTS, "--page", out).code == 0
    data = out.read_bytes()
    if name.endswith("pdf"):
        assert data.startswith(b"%PDF")
    else:
        text = data.decode()
        assert "Harbour Lights" in text
        assert "7 clues are wasted" in text
        assert re.search(r"SHA-256 [0-9a-f]{32}", text)
        assert not re.search(r"(src|href)=\"?http", text)


def test_a_page_of_another_kind_is_refused(tmp_path: Path) -> None:
    run = gridassay("assay", LIGHTS, "--page", tmp_path / "page.doc")
    assert run.code == 2
    assert "ends in .html or .pdf" in run.err


def test_markup_in_a_title_is_text(tmp_path: Path) -> None:
    file = tmp_path / "x.toml"
    file.write_text(f'title = "<script>alert(1)</script>"\nsize = 4\ngivens = "{LEAN}"\n')
    gridassay("assay", file, "--page", tmp_path / "x.html")
    assert "<script>" not in (tmp_path / "x.html").read_text()


def test_what_ran_out_is_said() -> None:
    result = assay(read(LIGHTS.read_text()), budget=0.3)
    assert result.verdict.status in ("unique", "undecided")
    assert result.ran_out or result.route or result.verdict.status == "undecided"
    assert not list(result.remarks()) or not result.strictly_fine


def test_undecided(tmp_path: Path) -> None:
    file = tmp_path / "pigeons.toml"
    file.write_text(PIGEONS)
    run = gridassay("assay", file, "--budget", "0.2")
    assert run.code == 3
    assert "Not fit to publish: the verdict is undecided" in run.out


def test_bad_input(tmp_path: Path) -> None:
    run = gridassay("assay", tmp_path / "none.txt")
    assert run.code == 2
    assert len(run.err.splitlines()) == 1
