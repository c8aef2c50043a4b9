"""``gridassay kin``: exit codes, the JSON contract and what is printed."""

from __future__ import annotations

import json
from pathlib import Path
from random import Random
from typing import Any

import pytest
from typer.testing import CliRunner, Result

from gridassay.verify.cli import app_for

from ... import published
from .disguise import disguise, follow

LINE = published.ENCYCLOPAEDIA.replace("0", ".")
OTHER = published.LIBRARY.replace("0", ".")


@pytest.fixture
def files(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    rng = Random(1)
    texts = {
        "june.txt": LINE,
        "july.txt": disguise(LINE, 9, (3, 3), rng),
        "other.txt": OTHER,
        "near.txt": disguise(_with_one_more(LINE), 9, (3, 3), rng),
        "both.txt": f"{LINE}\n{disguise(LINE, 9, (3, 3), rng)}",
        "bad.txt": "12345",
    }
    for name, text in texts.items():
        (tmp_path / name).write_text(text + "\n")
    return tmp_path


def _with_one_more(line: str) -> str:
    """The puzzle with its first open cell given."""
    place = line.index(".")
    return line[:place] + published.ENCYCLOPAEDIA_SOLUTION[place] + line[place + 1 :]


def run(*arguments: str) -> Result:
    return CliRunner().invoke(app_for(["kin"]), ["kin", *arguments])


def objects(result: Result) -> list[dict[str, Any]]:
    return [json.loads(line) for line in result.stdout.splitlines()]


@pytest.mark.usefixtures("files")
def test_one_puzzle() -> None:
    result = run("--json", "june.txt")
    (told,) = objects(result)
    assert result.exit_code == 0
    assert told["source"] == "june.txt:1"
    assert told["patterns"] == ["half turn"]
    assert (told["automorphisms"], told["solution_automorphisms"]) == (1, 1)
    assert len(told["canonical"]) == 81
    assert "SYMMETRIC PATTERN: half turn" in run("june.txt").stdout


@pytest.mark.usefixtures("files")
def test_several_puzzles_end_with_their_groups_and_the_way_back() -> None:
    result = run("--json", "june.txt", "other.txt", "july.txt")
    *each, last = objects(result)
    assert result.exit_code == 1
    assert [told["source"] for told in each] == ["june.txt:1", "other.txt:1", "july.txt:1"]
    assert last["groups"] == [["june.txt:1", "july.txt:1"], ["other.txt:1"]]
    (way,) = last["ways"]
    assert (way["from"], way["to"]) == ("july.txt:1", "june.txt:1")
    disguised = Path("july.txt").read_text().strip()
    assert follow(way["words"], disguised, 9) == LINE
    printed = run("june.txt", "other.txt", "july.txt").stdout.splitlines()
    assert printed[0] == "ONE PUZZLE: june.txt:1, july.txt:1"
    assert printed[1] == f"  july.txt:1 becomes june.txt:1: {way['words']}"
    assert printed[2] == "3 puzzles: 2 different, 1 in disguise"


@pytest.mark.usefixtures("files")
def test_different_puzzles_pass() -> None:
    result = run("june.txt", "other.txt")
    assert (result.exit_code, result.stdout) == (0, "2 puzzles: 2 different, 0 in disguise\n")


@pytest.mark.usefixtures("files")
def test_lines_of_one_file_are_compared() -> None:
    assert objects(run("--json", "both.txt"))[-1]["groups"] == [["both.txt:1", "both.txt:2"]]


@pytest.mark.usefixtures("files")
def test_solutions_bring_near_kin_together() -> None:
    assert run("june.txt", "near.txt").exit_code == 0
    result = run("--json", "--solutions", "june.txt", "july.txt", "near.txt", "other.txt")
    last = objects(result)[-1]
    assert result.exit_code == 1
    assert last["groups"] == [["june.txt:1", "july.txt:1", "near.txt:1"], ["other.txt:1"]]
    assert last["near"] == [[["june.txt:1", "july.txt:1"], ["near.txt:1"]]]
    printed = run("--solutions", "june.txt", "near.txt").stdout
    assert "near kin, different puzzles: june.txt:1; near.txt:1" in printed


@pytest.mark.usefixtures("files")
def test_a_bad_puzzle_stands_in_its_place() -> None:
    result = run("--json", "june.txt", "bad.txt", "july.txt")
    told = objects(result)
    assert result.exit_code == 2
    assert set(told[1]) == {"source", "error"}
    assert told[-1]["groups"] == [["june.txt:1", "july.txt:1"]]


@pytest.mark.usefixtures("files")
def test_a_catalogue_remembers() -> None:
    assert run("--catalogue", "kept.sqlite", "june.txt").exit_code == 2  # there is none yet
    first = run("--catalogue", "kept.sqlite", "--add", "june.txt")
    assert first.exit_code == 0
    assert "the catalogue holds nothing like it" in first.stdout
    assert first.stderr == ""
    assert run("--catalogue", "kept.sqlite", "june.txt").exit_code == 0
    looked = run("--json", "--catalogue", "kept.sqlite", "july.txt")
    assert looked.exit_code == 1
    (told,) = objects(looked)
    assert [match["source"] for match in told["catalogue"]["kin"]] == ["june.txt:1"]
    found = run("--catalogue", "kept.sqlite", "--add", "july.txt")
    assert found.stdout.startswith("IN THE CATALOGUE: july.txt:1 is entry 1 (june.txt:1)")
    # The disguise was not taken in, or June would now be found to be one of July.
    assert run("--catalogue", "kept.sqlite", "june.txt").exit_code == 0
    assert run("--catalogue", "bad.txt", "june.txt").exit_code == 2
    assert run("--add", "june.txt").exit_code == 2


@pytest.mark.usefixtures("files")
def test_looking_does_not_write() -> None:
    run("--catalogue", "kept.sqlite", "--add", "june.txt")
    kept = Path("kept.sqlite")
    before, when = kept.read_bytes(), kept.stat().st_mtime_ns
    Path("other.txt").write_text("1234341221434...\n")
    looked = run("--catalogue", "kept.sqlite", "other.txt")
    assert looked.exit_code == 0
    assert looked.stderr == "gridassay: nothing is added to kept.sqlite; --add adds what is new\n"
    assert (kept.read_bytes(), kept.stat().st_mtime_ns) == (before, when)


@pytest.mark.usefixtures("files")
def test_no_time_is_undecided() -> None:
    result = run("--budget", "0", "june.txt")
    assert (result.exit_code, result.stdout) == (
        3,
        "UNDECIDED when the budget ran out: june.txt:1\n",
    )
    told = objects(run("--json", "--budget", "0", "june.txt", "july.txt"))
    assert told[0] == {"source": "june.txt:1", "undecided": True}
    assert told[-1]["groups"] == [["june.txt:1"], ["july.txt:1"]]
