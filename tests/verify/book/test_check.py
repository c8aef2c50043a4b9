"""A book checked: what breaks, moves and repeats is told, and only what changed is asked again."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pytest

from gridassay.encodings.files import read_text
from gridassay.encodings.puzzle import Puzzle
from gridassay.verify import certify, clues, kin_groups, read
from gridassay.verify.book.checking import Asking
from gridassay.verify.book.reading import read_book
from gridassay.verify.book.record import Record, record_path
from gridassay.verify.book.results import (
    BookCheck,
    check_book,
    github_lines,
    levels_row,
    write_junit,
)
from gridassay.verify.book.wants import Wants, hold
from gridassay.verify.counting.verdict import check
from gridassay.verify.kin import Catalogue

from .shelf import ALL, LINES, NAMES, book, four, puzzle, written


class Counted(Asking):
    """Counts how many puzzles are looked at."""

    asked = 0

    def __init__(self, **options: Any) -> None:
        super().__init__(**options)
        self.begin = self._begin

    def _begin(self, count: int) -> None:
        self.asked += count


def checked(path: Path, asking: Asking | None = None, **more: Any) -> BookCheck:
    with Record(record_path(str(path))) as record:
        return check_book(read_book(str(path), record.facts), record, asking, **more)


def told(found: BookCheck) -> list[str]:
    return [f"{one.weight}: {one.where}: {one.what}" for one in found.problems]


def test_a_book_that_is_as_wanted(tmp_path: Path) -> None:
    wants = 'wasted = 0\nlevel = ["singles", "singles"]\ncertificate = true'
    found = checked(written(tmp_path, {**four(), "book.toml": book(ALL, wants=wants)}))
    assert found.ok
    assert told(found) == []
    assert levels_row(found) == "▁▁▁▁"
    data = found.to_json()
    assert data["duplicates"] == []
    assert [one["number"] for one in data["puzzles"]] == [1, 2, 3, 4]
    for one in data["puzzles"]:
        assert (one["verdict"], one["level"], one["certificate"]) == (
            "unique",
            "singles",
            "current",
        )
        assert {want["want"]: want["met"] for want in one["wants"]} == dict.fromkeys(
            ("verdict", "wasted", "level", "fresh", "certificate"), True
        )
    assert set(data["first_needed"].values()) <= {1, 2, 3, 4}


def test_one_broken_two_swapped_and_one_disguised_are_all_told(tmp_path: Path) -> None:
    path = written(tmp_path, {**four(), "book.toml": book(ALL)})
    assert checked(path).ok
    broken = LINES[0].replace("1", ".", 1)
    # Rows 1 and 2 exchanged, and the digits 1 and 4: the third puzzle again.
    rows = [LINES[2][n : n + 4] for n in range(0, 16, 4)]
    disguised = "".join([rows[1], rows[0], *rows[2:]]).translate(str.maketrans("14", "41"))
    swapped = {
        "bollard.toml": puzzle(LINES[2], "Mooring"),
        "mooring.toml": puzzle(LINES[1], "Bollard"),
    }
    written(tmp_path, {**four(Slipway=broken, Breakwater=disguised), **swapped})
    found = checked(path)
    assert not found.ok
    said = told(found)
    assert "wrong: 1 Slipway: it has several solutions, and the book wants one solution" in said
    (way,) = [
        one for one in said if one.startswith("wrong: 4 Breakwater: is 2 Mooring in disguise")
    ]
    assert way.endswith("rows 2 1 3 4 become rows 1 to 4; rename digits 1↔4")
    assert "note: 2 Mooring and 3 Bollard: have changed places since the last check" in said
    assert [[e.number for e in group] for group in found.duplicates] == [[2, 4]]
    assert [row.ok for row in found.rows] == [False, False, True, False]


def test_only_what_changed_is_asked_again(tmp_path: Path) -> None:
    path = written(tmp_path, {**four(), "book.toml": book(ALL)})

    def asked(**options: Any) -> int:
        asking = Counted(**options)
        checked(path, asking)
        return asking.asked

    assert asked() == 4
    assert asked() == 0
    assert asked(budget=1000.0) == 0, "what was not cut short is not asked again"
    written(tmp_path, four(Mooring=LINES[2].replace("4", ".")))
    assert asked() == 1
    written(tmp_path, {"book.toml": book(ALL, wants="wasted = 0")})
    assert asked() == 4
    reordered = ALL.replace("'slipway.toml', 'bollard.toml'", "'bollard.toml', 'slipway.toml'")
    written(tmp_path, {"book.toml": book(reordered, wants="wasted = 0")})
    assert asked() == 0
    Path(record_path(str(path))).unlink()
    assert asked() == 4


def test_what_a_budget_cut_short_is_open_and_asked_again_when_there_is_more(tmp_path: Path) -> None:
    path = written(
        tmp_path, {**four(), "book.toml": book(ALL, wants='level = ["singles", "sets"]')}
    )
    found = checked(path, Asking(budget=0.0))
    assert not found.ok
    assert all(row.open for row in found.rows)
    assert {row.verdict for row in found.rows} == {"undecided"}
    again = Counted(budget=0.0)
    checked(path, again)
    assert again.asked == 0
    more = Counted(budget=10.0)
    assert checked(path, more).ok
    assert more.asked == 4


def test_an_answer_of_another_release_is_not_taken(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = written(tmp_path, {**four(), "book.toml": book(ALL)})
    checked(path)
    monkeypatch.setattr("gridassay.verify.book.record.made_by", lambda: "9.9 of another make")
    asking = Counted()
    checked(path, asking)
    assert asking.asked == 4


def test_workers_answer_as_one_process_does(tmp_path: Path) -> None:
    files = {**four(Mooring="1" * 16), "book.toml": book(ALL, wants="wasted = 0")}
    alone = checked(written(tmp_path / "a", files)).to_json()
    with ThreadPoolExecutor(2) as pool:
        shared = checked(written(tmp_path / "b", files), Asking(executor=pool, window=2)).to_json()
    assert alone["puzzles"] == shared["puzzles"]


WANTED = {
    "wasted = 0": (
        "1..43..2....43..",
        "it wastes 1 given (r2c2=4), and the book wants no given wasted",
    ),
    "symmetric = 'half turn'": (
        LINES[0],
        "it has the pattern falling diagonal mirror, and the book wants half turn",
    ),
    "needs = ['X-wing']": (
        LINES[0],
        "it can be solved without X-wing, and the book wants a puzzle that needs X-wing",
    ),
    "level = ['fish', 'beyond']": (
        LINES[0],
        "its level is singles, and the book wants a level from fish to beyond",
    ),
    "verdict = 'none'": (LINES[0], "it has one solution, and the book wants no solution"),
}


@pytest.mark.parametrize("wants", WANTED)
def test_a_want_that_is_not_met_is_told_with_what_there_is(tmp_path: Path, wants: str) -> None:
    line, said = WANTED[wants]
    files = {"a.toml": puzzle(line, "A"), "book.toml": book("puzzles = ['a.toml']", wants=wants)}
    found = checked(written(tmp_path, files))
    (problem,) = found.problems
    assert problem.weight == "wrong"
    assert problem.what.startswith(said.partition("(")[0])
    if not wants.startswith("wasted"):
        assert problem.what == said


def test_the_wasted_givens_are_those_that_can_go(tmp_path: Path) -> None:
    line = "12344321........"
    files = {"a.toml": puzzle(line), "book.toml": book("puzzles = ['a.toml']", wants="wasted = 99")}
    written(tmp_path, {"a.toml": puzzle("1234432121433412"), "book.toml": files["book.toml"]})
    found = checked(tmp_path / "book.toml")
    (held,) = [one for one in found.rows[0].held if one.want == "wasted"]
    assert held.found.startswith("16 givens (")


def test_titles_credits_wording_and_order_of_rules_are_looked_at(tmp_path: Path) -> None:
    def cage(total: str, text: str = "") -> str:
        said = f'text = "{text}"\n' if text else ""
        return f'[[rule]]\nkind = "cage"\ncells = "r1c1 r1c2"\n{total}\n{said}'

    files = {
        "a.toml": puzzle(LINES[0], "A", cage("sum = 3")),
        "b.toml": puzzle(LINES[1], "", cage("sum = 7", "Add them.")),
        "c.toml": puzzle(LINES[2], "C", cage(""), credit=""),
    }
    chapters = ("puzzles = ['a.toml']", "puzzles = ['b.toml', 'c.toml']\nexplains = ['cage']")
    path = written(tmp_path, {**files, "book.toml": book(*chapters)})
    said = [one.removeprefix("note: ") for one in told(checked(path)) if one.startswith("note")]
    assert "2 b.toml: no title" in said
    assert "3 C: no credit" in said
    assert "1 A: has the rule 'cage', which is explained only in Part 2" in said
    (worded,) = [one for one in said if one.startswith("rule cage: is worded in several ways: ")]
    assert worded.endswith("in 1; 'Add them.' in 2")
    one_sentence = book(*chapters) + '[wording]\ncage = "Add up."\n'
    written(tmp_path, {"book.toml": one_sentence})
    (several,) = [one for one in told(checked(path)) if "one sentence" in one]
    assert several.startswith(
        "note: wording of cage: the book has one sentence for what means several"
    )


def test_what_the_catalogue_holds_in_disguise_is_told_and_nothing_is_added(tmp_path: Path) -> None:
    path = written(tmp_path, {**four(), "book.toml": book(ALL)})
    kept = str(tmp_path / "kept.sqlite")
    with Catalogue(kept) as catalogue:
        for old in read_text(f"{LINES[0]}\n{LINES[1].translate(str.maketrans('12', '21'))}", "old"):
            assert isinstance(old, Puzzle)
            catalogue.search(old, add=True)
    before = Path(kept).read_bytes()
    found = checked(path, catalogue=kept)
    assert Path(kept).read_bytes() == before
    missed = {
        row.entry.title: [h.found for h in row.held if h.result != "met"] for row in found.rows
    }
    assert missed["Bollard"] == ["the same as entry 2 of the catalogue, old:2"]
    assert missed["Mooring"] == missed["Breakwater"] == []


def test_a_certificate_is_current_until_its_puzzle_changes(tmp_path: Path) -> None:
    path = written(tmp_path, {**four(), "book.toml": book(ALL)})
    file = tmp_path / "slipway.toml"
    (tmp_path / "slipway.zip").write_bytes(certify(file.read_bytes(), str(file)).to_bytes())
    (tmp_path / "mooring.zip").write_bytes(b"no zip")

    def states() -> list[str]:
        return [row.certificate for row in checked(path).rows]

    assert states() == ["current", "none", "old", "none"]
    written(tmp_path, {"slipway.toml": puzzle(LINES[0], "Another Title")})
    assert states()[0] == "current", "the title is not part of what is certified"
    written(tmp_path, four(Slipway=LINES[3].translate(str.maketrans("12", "21"))))
    assert states()[0] == "old"
    written(tmp_path, {"book.toml": book(ALL, wants="certificate = true")})
    assert states() == ["old", "current", "old", "current"]
    folder = tmp_path / "out"
    found = checked(path, Asking(certificates=folder))
    assert [row.certificate for row in found.rows] == ["current"] * 4
    assert len(list(folder.iterdir())) == 4


def test_a_certificate_that_was_not_made_in_time_is_open() -> None:
    known = {"verdict": {"verdict": "unique"}, "certify": None}
    *_, held = hold(Wants(certificate=True), known, certificate="old")
    assert (held.result, held.to_json()["met"]) == ("open", False)
    made = {**known, "certify": {"sha256": "ab"}}
    *_, held = hold(Wants(certificate=True), made, certificate="old")
    assert held.result == "not met", "what is handed out is of an earlier version"


def test_reports_for_other_programs(tmp_path: Path) -> None:
    files = {**four(Mooring="1" + "." * 15), "book.toml": book(ALL)}
    path = written(tmp_path, files)
    found = checked(path)
    write_junit(found, tmp_path / "junit.xml")
    suite = ElementTree.parse(tmp_path / "junit.xml").getroot()
    assert suite.attrib["tests"] == "4"
    assert [case.attrib["name"] for case in suite if case.find("failure") is not None] == [
        "3 Mooring"
    ]
    lines = list(github_lines(found, path.read_text()))
    assert lines[0] == (
        f"::error file={path},line=8,title=gridassay book::"
        "3 Mooring: it has several solutions, and the book wants one solution"
    )


def test_the_four_are_what_the_tests_take_them_for() -> None:
    puzzles = [read(line) for line in LINES]
    assert all(check(one).status == "unique" for one in puzzles)
    assert all(clues(one, deep=False).irreducible for one in puzzles)
    assert len(kin_groups(puzzles)) == len(NAMES) == 4
