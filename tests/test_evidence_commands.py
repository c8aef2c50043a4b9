"""``certify``, ``recheck`` and ``export`` on the command line: exit codes, JSON, one-line errors."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from typer.testing import CliRunner, Result

from gridassay.verify.cli import app
from gridassay.verify.proof.container import pack, unpack
from gridassay.verify.proof.manifest import KNOWN_PARTS

ONE = "1......2..3..4.."
ANSWER = "1243431221343421"
SEVERAL = "1" + "." * 15
NONE = "11" + "." * 14


def run(*arguments: str, given: str | bytes | None = None) -> Result:
    return CliRunner().invoke(app, list(arguments), input=given)


def as_json(result: Result) -> dict[str, Any]:
    loaded: dict[str, Any] = json.loads(result.stdout)
    return loaded


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
    certified = run("certify", "tide.txt", "-o", "tide.zip")
    assert certified.exit_code == code
    assert certified.stdout.startswith(claim.upper())
    assert f"({(tide / 'tide.zip').stat().st_size:,} bytes)" in certified.stdout
    rechecked = run("recheck", "tide.zip")
    assert rechecked.exit_code == 0
    assert rechecked.stdout.startswith(f"PASSED: tide.zip claims {claim}\n")


def test_certify_in_json(tide: Path) -> None:
    said = as_json(run("certify", "tide.txt", "-o", "tide.zip", "--json"))
    assert said["verdict"] == "unique"
    assert said["source"] == "tide.txt:1"
    assert said["bytes"] == (tide / "tide.zip").stat().st_size
    assert said["parts"]["puzzle.txt"]["bytes"] == len(ONE)


def test_recheck_in_json(tide: Path) -> None:
    run("certify", "tide.txt", "-o", "tide.zip")
    said = as_json(run("recheck", "tide.zip", "--json"))
    assert (said["ok"], said["result"], said["source"]) == (True, "passed", "tide.zip")
    assert [check["check"] for check in said["checks"]] == [
        "parts",
        "clauses",
        "solutions",
        "proof",
    ]
    only = as_json(run("recheck", "tide.zip", "--json", "--proof-only"))
    assert [check["check"] for check in only["checks"]] == ["proof"]


def test_recheck_says_what_is_wrong_and_where(tide: Path) -> None:
    run("certify", "tide.txt", "-o", "tide.zip")
    parts = unpack((tide / "tide.zip").read_bytes(), KNOWN_PARTS)
    wrong = parts | {"proof.lrat": parts["proof.lrat"].replace(b" 0\n", b" 0 0\n", 1)}
    (tide / "tide.zip").write_bytes(pack(wrong))
    result = run("recheck", "tide.zip")
    assert result.exit_code == 1
    assert result.stdout.startswith("FAILED: tide.zip")
    assert "proof.lrat is not the file that the manifest describes" in result.stdout
    assert "proof.lrat: line 1: " in result.stdout
    only = run("recheck", "tide.zip", "--proof-only", "--json")
    assert only.exit_code == 1
    assert as_json(only)["ok"] is False


def test_standard_input(tide: Path) -> None:
    assert run("certify", "-", "-o", "tide.zip", given=ONE).exit_code == 0
    assert run("recheck", "-", given=(tide / "tide.zip").read_bytes()).exit_code == 0
    assert run("export", "-", given=ONE).exit_code == 0


def test_undecided(tide: Path) -> None:
    out = run("certify", "tide.txt", "-o", "tide.zip", "--budget", "0")
    assert out.exit_code == 3
    assert out.stderr == "gridassay: tide.txt: no certificate: undecided when the budget ran out\n"
    assert not (tide / "tide.zip").exists()
    said = run("certify", "tide.txt", "-o", "tide.zip", "--budget", "0", "--json")
    assert as_json(said)["verdict"] == "undecided"
    run("certify", "tide.txt", "-o", "tide.zip")
    late = run("recheck", "tide.zip", "--budget", "0")
    assert late.exit_code == 3
    assert late.stdout.startswith("INCOMPLETE: ")
    assert run("export", "tide.txt", "--budget", "0").exit_code == 3


@pytest.mark.parametrize(
    ("command", "message"),
    [
        (["certify", "gone.txt", "-o", "x.zip"], "gone.txt: cannot be read: no such file"),
        (["certify", "two.txt", "-o", "x.zip"], "two.txt: this takes one puzzle, and here are 2"),
        (["certify", "tide.txt", "-o", "no/x.zip"], "x.zip: cannot be written: no such file"),
        (["recheck", "gone.zip"], "gone.zip: cannot be read: no such file"),
        (["export", "gone.txt"], "gone.txt: cannot be read: no such file"),
        (["export", "tide.txt", "--blocked", "12"], "--blocked: 2 symbols, and 4 rows of 4"),
    ],
)
def test_bad_input(tide: Path, command: list[str], message: str) -> None:
    (tide / "two.txt").write_text(f"{ONE}\n{ONE}\n")
    result = run(*command)
    assert result.exit_code == 2
    assert message in result.stderr
    assert result.stderr.count("\n") == 1
    if command[0] != "export":
        said = run(*command, "--json")
        assert said.exit_code == 2
        assert set(as_json(said)) == {"source", "error"}


@pytest.mark.parametrize(
    ("format", "header"), [("dimacs", "p cnf 64 "), ("opb", "* #variable= 64 ")]
)
def test_export(tide: Path, format: str, header: str) -> None:
    free = run("export", "tide.txt", "--format", format)
    assert free.exit_code == 0
    assert header in free.stdout
    blocked = run("export", "tide.txt", "--format", format, "--blocked", ANSWER)
    assert len(blocked.stdout.splitlines()) == len(free.stdout.splitlines()) + 2
    said = as_json(run("export", "tide.txt", "--format", format, "--json"))
    assert said["text"] == free.stdout
    assert said["format"] == format
    assert said["variables"] == 64
