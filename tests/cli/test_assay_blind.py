"""``--blind`` gives nothing away: every line that it prints is one of a few, and numbers only count."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest

from gridassay.encodings.files import read_puzzles
from gridassay.encodings.grid import classic
from gridassay.encodings.puzzle import Puzzle
from gridassay.verify.examination.examination import Assay, Listener, Part, assay
from gridassay.verify.examination.words import part_words

from ..verify.minimal import minimal
from .run import EXAMPLES, gridassay

# Names of techniques have no digit in them, and letters of cells only inside words.
_NAME = r"[A-Za-z][A-Za-z-]*(?: [A-Za-z-]+)*"
_COUNTS = (
    r"(?:each of the \d+ could be removed|\d+ of \d+ could each be removed|"
    r"(?:none|1) of \d+ can be removed)"
    r"(?:, \d+ undecided within the budget)?"
)
_TOGETHER = (
    r"(?:both|all of them|at least \d+ of these clues) can be removed together|not both together"
)
_AT_ONCE = _TOGETHER.replace("these clues", "them").replace(" can be removed", "")
LINES = {
    "givens": _COUNTS,
    "rules": _COUNTS,
    "": rf"{_TOGETHER}|this is usual when cages cover the grid: [a-z ]+|{_NAME} \d+(?:; {_NAME} \d+)*",
    "pattern": r"(?:not symmetric|symmetric \([a-z, -]+\)), (?:not mirrored|MIRRORED: [a-z ,]+)",
    "echoes": r"\d+ pairs? of boxes with givens in the same places and digits that repeat",
    "route": r"\d+ steps? (?:to the end|before the budget ran out|and then no technique helps)",
    "crux": rf"none: singles alone solve it|a step that no technique has a name for|{_NAME}",
    "narrow": r"nowhere: [a-z ]+|at \d+ steps? there is no alternative",
}
"""What may follow each caption; any of them may be undecided."""

_REMARK = (
    rf"(?:one clue is wasted|\d+ clues could each be removed(?:, (?:and|but) (?:{_AT_ONCE}))?"
    r"|it looks mirrored: [a-z ]+|the catalogue already has it, in disguise"
    r"|the route does not reach the end"
    r"|\d+ steps? of the route would be hard to say aloud|undecided within the budget: [a-z, ]+)"
)
CONCLUSION = (
    rf"Fit to publish\.|Sound, but look at this first: {_REMARK}(?:; {_REMARK})*\."
    r"|(?:Not fit to publish|Not known yet|As its file expects): [a-z ,]+\."
)

MADE = [minimal(classic(9), seed) for seed in range(4)]
BROKEN = [
    Puzzle(puzzle.canvas, puzzle.givens[number:], source="broken")
    for number, puzzle in enumerate(MADE, start=1)
]


class Blind(Listener):
    """Hears the lines of an assay."""

    def __init__(self) -> None:
        self.lines: list[tuple[str, str]] = []

    def on_answer(self, part: Part, answer: Any) -> None:
        """Keep the lines of one part."""
        self.lines += part_words(part, answer, blind=True)


def _only_counts(result: Assay, heard: Blind) -> None:
    for caption, text in heard.lines:
        allowed = LINES.get(caption, "(?!)")
        assert re.fullmatch(rf"{allowed}|undecided within the budget", text), (caption, text)
    assert re.fullmatch(CONCLUSION, result.conclusion(blind=True)), result.conclusion(blind=True)


QUICK = ("five-islands", "harbour-lights", "ropewalk", "sandbanks", "ships-biscuit", "two-piers")


@pytest.mark.parametrize(
    "file",
    [
        pytest.param(file, id=file.stem, marks=() if file.stem in QUICK else pytest.mark.slow)
        for number, file in enumerate(sorted(EXAMPLES.glob("*.toml")))
        if file.stem in QUICK or number % 4 == 0
    ],
)
def test_of_the_examples_only_counts_and_names_are_told(file: Path) -> None:
    heard = Blind()
    (puzzle,) = read_puzzles(str(file))
    assert isinstance(puzzle, Puzzle)
    _only_counts(assay(puzzle, budget=1, listener=heard), heard)


@pytest.mark.parametrize("puzzle", [*MADE, *BROKEN], ids=lambda puzzle: str(len(puzzle.givens)))
def test_of_made_grids_only_counts_and_names_are_told(puzzle: Puzzle) -> None:
    heard = Blind()
    result = assay(puzzle, budget=5, listener=heard)
    assert result.verdict.status == ("unique" if puzzle in MADE else "multiple")
    _only_counts(result, heard)


@pytest.mark.parametrize("name", ["harbour-lights", "ships-biscuit", "two-piers"])
def test_the_screen_has_no_other_lines(name: str) -> None:
    run = gridassay("assay", "--blind", EXAMPLES / f"{name}.toml")
    title, verdict, expected, *rest = run.out.splitlines()
    assert "The Slack Tide no. " in title
    assert (verdict, expected) == ("ONE SOLUTION (sat, TIME)", "as the file expects (unique)")
    captions = {line.split()[0] for line in rest if line[:1].strip() and not line[0].isupper()}
    assert captions <= LINES.keys()
    assert not re.search(r"[=│┌]|r\d+c\d+|\brow|\bcolumn|\bbox \d", "\n".join(rest))


@pytest.mark.parametrize("line", ["11" + "." * 14, "." * 16, "12343412" + "." * 8])
def test_of_what_is_not_unique_only_that_is_told(line: str) -> None:
    run = gridassay("assay", "--blind", "-", stdin=line)
    heading, _, conclusion = run.out.splitlines()
    assert heading in ("NO SOLUTION (sat, TIME)", "SEVERAL SOLUTIONS (sat, TIME)")
    assert re.fullmatch(CONCLUSION, conclusion)
    (result,) = gridassay("assay", "--blind", "--json", "-", stdin=line).objects
    assert set(result) == {
        "title", "source", "verdict", "engine", "met", "ran_out", "seconds", "conclusion",
    }  # fmt: skip


def test_json_tells_counts_alone() -> None:
    (result,) = gridassay("assay", "--blind", "--json", EXAMPLES / "harbour-lights.toml").objects
    route = result.pop("route")
    assert set(route) == {"solved", "steps", "techniques"}
    assert route["techniques"] == {"last cell": 19, "hidden single": 35}
    assert re.fullmatch(CONCLUSION, result["conclusion"])
    assert not {"solutions", "clues", "kin", "certificate", "remarks"} & set(result)


def test_the_scan_finds_what_gives_something_away() -> None:
    for caption, text in (
        ("givens", "7 of 27 could each be removed: r1c1=8"),
        ("crux", "step 3, X-wing: 8 can be removed from r2c3"),
        ("narrow", "at 1 step nothing else is open: 12"),
    ):
        assert not re.fullmatch(LINES[caption], text)
    assert not re.fullmatch(CONCLUSION, "Sound, but look at this first: r3c8=1 is wasted.")
