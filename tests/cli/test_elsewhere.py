"""Windows and macOS, by simulation: no timers, no fork, no file locks, cp1252, CRLF, odd paths.

Commands run in processes of their own in which what those systems lack has been taken away.
"""

from __future__ import annotations

import ast
import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent.parent
GRIDASSAY = Path(sys.executable).with_name("gridassay")

LACKING = """
import multiprocessing, os, signal, sys
for name in ("setitimer", "getitimer", "SIGALRM", "pthread_sigmask", "sigwait", "SIGHUP"):
    if hasattr(signal, name):
        delattr(signal, name)
sys.modules["fcntl"] = sys.modules["resource"] = sys.modules["termios"] = None
del os.fork
spawn = multiprocessing.get_context("spawn")
multiprocessing.get_all_start_methods = lambda: ["spawn"]
spawn.get_all_start_methods = lambda: ["spawn"]
"""
"""What is run at the start of every process: Python's names for what only Unix has are gone."""

PUZZLE = """title = "Kärntner Straße, №\u202f9"
size = 4
givens = \"\"\"
1..4
3412
2143
....
\"\"\"

[[rule]]
kind = "cage"
cells = "r1c2 r1c3"
sum = 5
"""


@pytest.fixture
def elsewhere(tmp_path: Path):
    """Runs a command on a machine that lacks what Windows lacks, in a folder with an odd name."""
    site = tmp_path / "site"
    site.mkdir()
    (site / "sitecustomize.py").write_text(LACKING, encoding="utf-8")
    folder = tmp_path / "Eigene Dateien (C)"
    folder.mkdir()
    (folder / "puzzle one.toml").write_bytes(PUZZLE.replace("\n", "\r\n").encode())
    (folder / "lines.txt").write_bytes(
        b"\xef\xbb\xbf# two\r\n1..4341221434...\r\n12..............\r\n"
    )
    plain = {key: value for key, value in os.environ.items() if not key.startswith(("LC_", "LANG"))}
    environment = plain | {
        "PYTHONPATH": str(site),
        "PYTHONIOENCODING": "cp1252",
        "PYTHONUTF8": "0",
        "LC_ALL": "C",
        "NO_COLOR": "1",
    }

    def run(*arguments: str) -> subprocess.CompletedProcess[bytes]:
        return subprocess.run(
            [GRIDASSAY, *arguments], cwd=folder, env=environment, capture_output=True, check=False
        )

    return run


@pytest.mark.parametrize(
    "arguments",
    [
        ["check", "puzzle one.toml"],
        ["check", "lines.txt"],
        ["assay", "puzzle one.toml", "--page", "a page.html"],
        ["route", "puzzle one.toml", "--save", "a route.steps"],
        ["clues", "puzzle one.toml"],
        ["kin", "puzzle one.toml", "--catalogue", "the book.sqlite", "--add"],
        ["draw", "puzzle one.toml", "-o", "a picture.pdf"],
        ["rules", "cage"],
    ],
    ids=lambda arguments: arguments[0],
)
def test_a_command_says_what_can_be_shown(elsewhere, arguments: list[str]) -> None:
    ended = elsewhere(*arguments)
    said = ended.stdout.decode("cp1252") + ended.stderr.decode("cp1252")
    assert ended.returncode in (0, 1), said
    assert "fault" not in said


def test_frames_become_plain_ones(elsewhere) -> None:
    said = elsewhere("check", "puzzle one.toml").stdout.decode("cp1252")
    assert "+" in said
    assert "|" in said
    assert "┌" not in said


def test_json_loses_nothing(elsewhere) -> None:
    said = json.loads(elsewhere("check", "puzzle one.toml", "--json").stdout.decode("cp1252"))
    assert said["title"] == "Kärntner Straße, №\u202f9"


def test_a_batch_by_processes_and_its_resumption(elsewhere, tmp_path: Path) -> None:
    arguments = ["batch", "lines.txt", "puzzle one.toml", "--out", "out.jsonl", "--workers", "2"]
    first = elsewhere(*arguments)
    assert first.returncode == 1, first.stderr
    rows = (tmp_path / "Eigene Dateien (C)" / "out.jsonl").read_text(encoding="utf-8").splitlines()
    # Written as they are known, so by two processes in any order.
    verdicts = {one["source"]: one["verdict"] for one in map(json.loads, rows)}
    assert [verdicts[source] for source in sorted(verdicts)] == ["unique", "multiple", "unique"]
    assert elsewhere(*arguments, "--resume").returncode == 1


def test_a_certificate_is_made_and_rechecked(elsewhere) -> None:
    assert elsewhere("certify", "puzzle one.toml", "-o", "a proof.zip").returncode == 0
    ended = elsewhere("recheck", "a proof.zip", "puzzle one.toml")
    assert ended.returncode == 0, ended.stdout
    assert ended.stdout.startswith(b"PASSED")


def test_a_drive_letter_is_part_of_a_name(tmp_path: Path) -> None:
    # A colon may not be taken for the number of a line.
    (tmp_path / "C:puzzle.txt").write_text("12..............\n", encoding="utf-8")
    ended = subprocess.run(
        [GRIDASSAY, "check", "C:puzzle.txt", "--json"],
        cwd=tmp_path,
        capture_output=True,
        check=False,
    )
    assert json.loads(ended.stdout)["source"] == "C:puzzle.txt:1"


@pytest.mark.parametrize("folder", ["encodings", "verify", "examples"])
def test_texts_are_opened_with_their_encoding(folder: str) -> None:
    # The encoding that a machine has by itself is cp1252 on many of them.
    bare = [
        f"{path.relative_to(ROOT)}:{node.lineno}"
        for path in (ROOT / folder).rglob("*.py")
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(node, ast.Call) and _opens_text(node)
    ]
    assert bare == []


def _opens_text(call: ast.Call) -> bool:
    """Whether a call opens a file as text and leaves its encoding to the machine."""
    if not isinstance(call.func, ast.Attribute) or any(k.arg == "encoding" for k in call.keywords):
        return False
    modes = [a.value for a in call.args if isinstance(a, ast.Constant) and isinstance(a.value, str)]
    match call.func.attr:
        case "read_text":
            return not call.args
        case "write_text":
            return len(call.args) < 2
        case "open":
            named = isinstance(call.func.value, ast.Name) and call.func.value.id in (
                "webbrowser",
                "archive",
                "Image",
                "zipfile",
                "os",
            )
            return not named and not any("b" in mode for mode in modes)
    return False
