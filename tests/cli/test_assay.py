"""``gridassay assay``: the screen, blind, strict, the page, and what a person would do next."""

from __future__ import annotations

import re
import subprocess
import sys
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from gridassay.verify import Clock, read
from gridassay.verify.clue_worth.effects import Clues
from gridassay.verify.examination.examination import Assay, Listener, Part, assay
from gridassay.verify.examination.words import part_words
from gridassay.verify.kin import Catalogue
from gridassay.verify.proof.recheck import recheck

from .. import published
from ..hard import PIGEONS
from .goldens import kept
from .run import EXAMPLES, gridassay

LIGHTS = EXAMPLES / "harbour-lights.toml"
LEAN = "1... ...2 ..3. .4.."


@pytest.mark.parametrize("path", [path for path, _, _ in kept()], ids=lambda path: path.name)
def test_screens_and_pages_are_those_that_were_looked_at(path: Path) -> None:
    (made,) = [make(file) for golden, make, file in kept() if golden == path]
    assert made == path.read_text(encoding="utf-8")


def test_strict_wants_nothing_to_look_at(tmp_path: Path) -> None:
    assert gridassay("assay", LIGHTS, "--strict").code == 1
    run = gridassay("assay", "-", "--strict", stdin=published.SEVENTEEN[2])
    assert run.out.endswith("Fit to publish.\n")
    assert run.code == 0


@pytest.mark.parametrize(
    ("line", "end"),
    [
        ("11" + "." * 14, "Not fit to publish: it has no solution.\n"),
        ("12343412" + "." * 8, "leaves one.\n"),
        ("." * 16, "leaves one.\n"),
    ],
)
def test_what_is_not_unique_is_mended_first(line: str, end: str) -> None:
    run = gridassay("assay", "-", stdin=line)
    assert run.code == 1
    verdict, _, mend, *_ = run.out.splitlines()
    assert verdict.endswith("(sat, TIME)")
    assert mend == "What would repair it:"
    assert "route" not in run.out
    assert run.out.endswith(end)


@pytest.mark.parametrize(
    ("givens", "expect", "code", "end"),
    [
        ("." * 16, "multiple", 0, "As its file expects: several solutions."),
        ("11" + "." * 14, "none", 0, "As its file expects: no solution."),
        (".", "multiple", 1, "it has one solution, and its file expects several solutions."),
    ],
)
def test_the_file_says_what_is_wanted(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, givens: str, expect: str, code: int, end: str
) -> None:
    # The output names these files, without a folder that may have any name.
    monkeypatch.chdir(tmp_path)
    file, out = Path("p.toml"), Path("out.zip")
    drawn = LEAN if givens == "." else givens
    file.write_text(f'expect = "{expect}"\nsize = 4\ngivens = "{drawn}"\n')
    run = gridassay("assay", file, "--certificate", out)
    assert run.code == code
    assert run.out.endswith(f"{end}\n")
    assert "mend" not in run.out
    # Evidence is given only for a puzzle that is as it should be.
    assert out.exists() == (code == 0)


def _clues(wasted: int, together: int | None) -> Clues:
    known = assay(read(LIGHTS.read_text()), budget=30).clues
    assert known is not None
    effects = [replace(effect, wasted=n < wasted) for n, effect in enumerate(known.givens)]
    dropped = None if together is None else tuple(e.clue for e in effects[:together])
    return replace(known, givens=tuple(effects), droppable=dropped)


@pytest.mark.parametrize(
    ("wasted", "together", "remark", "line"),
    [
        (0, 0, "Fit to publish.", "none of 27 can be removed"),
        (1, 1, "r1c1=8 is wasted.", "1 of 27 can be removed: r1c1=8"),
        (
            2,
            1,
            "2 clues could each be removed, but not both together.",
            "2 of 27 could each be removed: r1c1=8, r1c3=7",
        ),
        (
            2,
            2,
            "2 clues could each be removed, and both together.",
            "both can be removed together: ",
        ),
        (
            3,
            3,
            "3 clues could each be removed, and all of them together.",
            "all of them can be removed together: ",
        ),
        (
            3,
            2,
            "3 clues could each be removed, and at least 2 of them together.",
            "at least 2 of these clues can be removed together: ",
        ),
        (
            3,
            None,
            "3 clues could each be removed.",
            "3 of 27 could each be removed: r1c1=8, r1c3=7, r1c5=4",
        ),
        (
            27,
            2,
            "27 clues could each be removed, and at least 2 of them together.",
            "each of the 27 could be removed",
        ),
    ],
)
def test_one_and_several(wasted: int, together: int | None, remark: str, line: str) -> None:
    known = _clues(wasted, together)
    assert Assay(known.verdict, clues=known).conclusion().endswith(remark)
    assert any(text.startswith(line) for _, text in part_words("clues", known))


def test_json_gathers_the_parts() -> None:
    (result,) = gridassay("assay", "--json", LIGHTS).objects
    assert result["verdict"] == "unique"
    assert result["route"]["solved"] is True
    assert len(result["clues"]["givens"]) == 27
    assert result["kin"]["patterns"] == ["half turn"]
    assert result["conclusion"].startswith("Sound, but look at this first")


def test_evidence_is_written_and_holds(tmp_path: Path) -> None:
    out = tmp_path / "evidence.zip"
    run = gridassay("assay", LIGHTS, "--certificate", out)
    assert "evidence   written to" in run.out
    assert recheck(out.read_bytes()).result == "passed"


def test_a_disguise_in_the_catalogue_is_told(tmp_path: Path) -> None:
    shelf = tmp_path / "printed.sqlite"
    with Catalogue(shelf, budget=60) as catalogue:
        catalogue.search(read("2... ...1 ..3. .4..", "week 3"), add=True, budget=60)
    run = gridassay("assay", "-", "--strict", "--catalogue", shelf, stdin=LEAN)
    assert run.code == 1
    assert "it has this one in disguise once" in run.out
    assert "the catalogue already has it" in run.out
    # A name with no file behind it is an error, not an empty catalogue.
    assert gridassay("assay", "-", "--catalogue", tmp_path / "gone", stdin=LEAN).code == 2
    assert not (tmp_path / "gone").exists()


def test_a_page_of_another_kind_is_refused(tmp_path: Path) -> None:
    run = gridassay("assay", LIGHTS, "--page", tmp_path / "page.doc")
    assert run.code == 2
    assert "ends in .html or .pdf" in run.err


def test_markup_in_a_title_is_text(tmp_path: Path) -> None:
    file = tmp_path / "x.toml"
    file.write_text(f'title = "<script>alert(1)</script>"\nsize = 4\ngivens = "{LEAN}"\n')
    gridassay("assay", file, "--page", tmp_path / "x.html")
    assert "<script>" not in (tmp_path / "x.html").read_text()


class Slow(Listener):
    """Lets the time run out once a part has been reported."""

    def __init__(self, after: Part, clock: Clock) -> None:
        self.after, self.clock = after, clock
        self.words: list[tuple[str, str]] = []

    def on_answer(self, part: Part, answer: Any) -> None:
        """Keep what is said, and stop the clock."""
        self.words += part_words(part, answer)
        if part == self.after:
            self.clock.ends = 0


@pytest.mark.parametrize("after", ["verdict", "clues", "kin"])
def test_what_ran_out_is_said(after: Part) -> None:
    clock = Clock(60)
    heard = Slow(after, clock)
    result = assay(read(LIGHTS.read_text()), budget=clock, listener=heard)
    assert result.verdict.status == "unique"
    assert not result.strictly_fine
    undecided = [
        caption for caption, text in heard.words if "ran out" in text or "undecided" in text
    ]
    assert undecided[-1] == "route"
    assert "undecided within the budget: " in result.conclusion()
    assert ("which clues are wasted" in result.conclusion()) == (after == "verdict")


def test_evidence_that_was_not_made_in_time_is_no_success(tmp_path: Path) -> None:
    out = tmp_path / "out.zip"
    run = gridassay(
        "assay", EXAMPLES / "double-catch.toml", "--budget", "0.5", "--certificate", out
    )
    assert run.code == 3
    assert not out.exists()
    assert "undecided within the budget" in run.out


def test_undecided(tmp_path: Path) -> None:
    file = tmp_path / "pigeons.toml"
    file.write_text(PIGEONS)
    run = gridassay("assay", file, "--budget", "0.2")
    assert run.code == 3
    assert run.out.endswith(
        "Not known yet: whether it has one solution is undecided within the budget.\n"
    )


def test_bad_input(tmp_path: Path) -> None:
    run = gridassay("assay", tmp_path / "none.txt")
    assert run.code == 2
    assert len(run.err.splitlines()) == 1


class Order(Listener):
    """Keeps the order in which parts are asked and reported."""

    def __init__(self) -> None:
        self.heard: list[str] = []

    def asking(self, part: Part) -> None:
        """Keep that it is asked."""
        self.heard.append(f"{part}?")

    def on_answer(self, part: Part, answer: Any) -> None:
        """Keep that it is told."""
        self.heard.append(part)


def test_every_part_is_told_before_the_next_is_asked() -> None:
    order = Order()
    assay(read(LEAN), document=LEAN.encode(), listener=order)
    parts = ["verdict", "certificate", "clues", "kin", "route", "only steps"]
    assert order.heard == [said for part in parts for said in (f"{part}?", part)]
    broken = Order()
    assay(read("." * 16), document=b"." * 16, listener=broken)
    assert broken.heard == ["verdict?", "verdict", "explanation?", "explanation"]


def test_the_verdict_waits_for_nothing_else() -> None:
    code = f"""
import sys
from gridassay.verify import read
from gridassay.verify.examination.examination import Listener, assay
from gridassay.verify.cli.show_assay import Screen

class First(Listener):
    def on_answer(self, part, answer):
        late = ("igraph", "gridassay.verify.solving.techniques", "gridassay.verify.kin")
        late += ("pydantic", "numpy")
        print(part, *[name for name in late if name in sys.modules])
        sys.exit()

assay(read({LEAN!r}), listener=First())
"""
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert (run.stdout, run.stderr) == ("verdict\n", "")


def test_digits_beyond_nine_are_as_printed() -> None:
    run = gridassay("assay", EXAMPLES / "long-quay.txt", "--budget", "3")
    assert re.search(r"18 of \d+ could each be removed", run.out)
    assert "r1c10=F" in run.out
