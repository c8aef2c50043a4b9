"""``certify``, ``recheck`` and ``export`` on the command line: exit codes, JSON, one-line errors."""

from __future__ import annotations

from pathlib import Path

import pytest

from gridassay.verify.proof.container import pack, unpack
from gridassay.verify.proof.manifest import KNOWN_PARTS

from .run import gridassay

ONE = "1......2..3..4.."
ANSWER = "1243431221343421"
SEVERAL = "1" + "." * 15
NONE = "11" + "." * 14


@pytest.fixture
def tide(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "tide.txt").write_text(ONE)
    return tmp_path


@pytest.mark.parametrize(
    ("puzzle", "code", "claim"),
    [
        (ONE, 0, "exactly one solution"),
        (SEVERAL, 1, "more than one solution"),
        (NONE, 1, "no solution"),
        (f'size = 4\nexpect = "none"\ngivens = "{NONE}"', 0, "no solution"),
    ],
)
def test_certify_and_recheck(tide: Path, puzzle: str, code: int, claim: str) -> None:
    (tide / "tide.txt").write_text(puzzle)
    certified = gridassay("certify", "tide.txt", "-o", "tide.zip")
    assert certified.code == code
    assert certified.out.startswith(claim.upper())
    assert f"({(tide / 'tide.zip').stat().st_size:,} bytes)" in certified.out
    rechecked = gridassay("recheck", "tide.zip")
    assert rechecked.code == 0
    assert rechecked.out.startswith(f"PASSED: tide.zip claims {claim}\n")


def test_certify_in_json(tide: Path) -> None:
    said = gridassay("certify", "tide.txt", "-o", "tide.zip", "--json").objects[0]
    assert said["verdict"] == "unique"
    assert said["source"] == "tide.txt:1"
    assert said["bytes"] == (tide / "tide.zip").stat().st_size
    assert said["parts"]["puzzle.txt"]["bytes"] == len(ONE)


def test_a_certificate_of_another_puzzle_is_not_passed_off(tide: Path) -> None:
    gridassay("certify", "tide.txt", "-o", "tide.zip")
    run = gridassay("recheck", "tide.zip", "tide.txt")
    assert run.code == 0
    assert f"  of        {sum(c not in '. ' for c in ONE)} givens and 0 rules\n" in run.out
    assert "puzzle     passed" in run.out
    (tide / "other.txt").write_text(SEVERAL)
    run = gridassay("recheck", "tide.zip", "other.txt")
    assert run.code == 1
    assert "puzzle     failed        it is about another puzzle than other.txt:1" in run.out
    said = gridassay("recheck", "tide.zip", "--json").objects[0]
    assert said["rules"] == []
    assert len(said["solutions"]) == 1
    assert gridassay("recheck", "tide.zip", "other.txt", "--proof-only").code == 2


def test_recheck_in_json(tide: Path) -> None:
    gridassay("certify", "tide.txt", "-o", "tide.zip")
    said = gridassay("recheck", "tide.zip", "--json").objects[0]
    assert (said["ok"], said["result"], said["source"]) == (True, "passed", "tide.zip")
    assert [check["check"] for check in said["checks"]] == [
        "parts",
        "clauses",
        "solutions",
        "proof",
    ]
    only = gridassay("recheck", "tide.zip", "--json", "--proof-only").objects[0]
    assert [check["check"] for check in only["checks"]] == ["proof"]


def test_recheck_says_what_is_wrong_and_where(tide: Path) -> None:
    gridassay("certify", "tide.txt", "-o", "tide.zip")
    parts = unpack((tide / "tide.zip").read_bytes(), KNOWN_PARTS)
    wrong = parts | {"proof.lrat": parts["proof.lrat"].replace(b" 0\n", b" 0 0\n", 1)}
    (tide / "tide.zip").write_bytes(pack(wrong))
    result = gridassay("recheck", "tide.zip")
    assert result.code == 1
    assert result.out.startswith("FAILED: tide.zip")
    assert "proof.lrat is not the file that the manifest describes" in result.out
    assert "proof.lrat: line 1: " in result.out
    only = gridassay("recheck", "tide.zip", "--proof-only", "--json")
    assert only.code == 1
    assert only.objects[0]["ok"] is False


def test_standard_input(tide: Path) -> None:
    assert gridassay("certify", "-", "-o", "tide.zip", stdin=ONE).code == 0
    assert gridassay("recheck", "-", stdin=(tide / "tide.zip").read_bytes()).code == 0
    assert gridassay("export", "-", stdin=ONE).code == 0


def test_undecided(tide: Path) -> None:
    out = gridassay("certify", "tide.txt", "-o", "tide.zip", "--budget", "0")
    assert out.code == 3
    assert out.err == "gridassay: tide.txt: undecided when the budget ran out\n"
    assert not (tide / "tide.zip").exists()
    said = gridassay("certify", "tide.txt", "-o", "tide.zip", "--budget", "0", "--json")
    assert said.objects[0]["verdict"] == "undecided"
    gridassay("certify", "tide.txt", "-o", "tide.zip")
    late = gridassay("recheck", "tide.zip", "--budget", "0")
    assert late.code == 3
    assert late.out.startswith("INCOMPLETE: ")
    assert gridassay("export", "tide.txt", "--budget", "0").code == 3


@pytest.mark.parametrize(
    ("command", "message"),
    [
        (["certify", "gone.txt", "-o", "x.zip"], "gone.txt: cannot be read: no such file"),
        (["certify", "two.txt", "-o", "x.zip"], "two.txt: this takes one puzzle, but there are 2"),
        (["certify", "tide.txt", "-o", "no/x.zip"], "x.zip: cannot be written: no such file"),
        (["recheck", "gone.zip"], "gone.zip: cannot be read: no such file"),
        (["export", "gone.txt"], "gone.txt: cannot be read: no such file"),
        (["export", "tide.txt", "--blocked", "12"], "--blocked: 2 symbols, but 4 rows of 4"),
    ],
)
def test_bad_input(tide: Path, command: list[str], message: str) -> None:
    (tide / "two.txt").write_text(f"{ONE}\n{ONE}\n")
    result = gridassay(*command)
    assert result.code == 2
    assert message in result.err
    assert result.err.count("\n") == 1
    if command[0] != "export":
        said = gridassay(*command, "--json")
        assert said.code == 2
        assert set(said.objects[0]) == {"source", "error"}


@pytest.mark.parametrize(
    ("format", "header"), [("dimacs", "p cnf 64 "), ("opb", "* #variable= 64 ")]
)
def test_export(tide: Path, format: str, header: str) -> None:
    free = gridassay("export", "tide.txt", "--format", format)
    assert free.code == 0
    assert header in free.out
    blocked = gridassay("export", "tide.txt", "--format", format, "--blocked", ANSWER)
    assert len(blocked.out.splitlines()) == len(free.out.splitlines()) + 2
    said = gridassay("export", "tide.txt", "--format", format, "--json").objects[0]
    assert said["text"] == free.out
    assert said["format"] == format
    assert said["variables"] == 64
