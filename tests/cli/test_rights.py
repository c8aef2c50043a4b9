"""Every command run by a user without rights: unreadable files, read-only folders, pipes.

Root may read and write everything, so where the tests run as root the commands run without the
capabilities that allow it (``setpriv``, util-linux).
"""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from random import Random

import pytest

from .run import EXAMPLES
from .test_ending import program

pytestmark = pytest.mark.skipif(
    sys.platform == "win32" or (os.geteuid() == 0 and shutil.which("setpriv") is None),
    reason="needs files that this user may not read",
)

LIGHTS = "harbour-lights.toml"


def run(place: Path, *words: str) -> tuple[int, str, str]:
    """The exit code, standard output and standard error of a command run without rights."""
    caps = "-dac_override,-dac_read_search,-fowner"
    ahead = ["setpriv", "--bounding-set", caps] if os.geteuid() == 0 else []
    done = subprocess.run(
        [*ahead, *program(*words)],
        cwd=place,
        capture_output=True,
        text=True,
        check=False,
        timeout=120,
    )
    return done.returncode, done.stdout, done.stderr


@pytest.fixture
def place(tmp_path: Path) -> Iterator[Path]:
    """A folder with an example, a file and a folder that cannot be read, and a read-only folder."""
    for name in (LIGHTS, "harbour-lights.steps"):
        shutil.copy(EXAMPLES / name, tmp_path / name)
    (tmp_path / "talk.md").write_text("r1c6 has to be 6.\n")
    shut = [(tmp_path / "shut.toml", 0o000), (tmp_path / "shut", 0o000), (tmp_path / "ro", 0o555)]
    shut[0][0].touch()
    for path, _ in shut[1:]:
        path.mkdir()
    for path, mode in shut:
        path.chmod(mode)
    yield tmp_path
    for path, _ in shut:
        path.chmod(0o755)


@pytest.mark.parametrize(
    "words",
    [
        ("check", "shut.toml"),
        ("assay", "shut.toml"),
        ("audit", LIGHTS, "shut.toml"),
        ("answer", LIGHTS, "shut.toml"),
        ("draw", LIGHTS, "-o", "x.svg", "--style", "shut.toml"),
        ("route", LIGHTS, "--from", "shut.toml"),
        ("compare", LIGHTS, "shut.toml"),
        ("recheck", "shut.toml"),
    ],
    ids=" ".join,
)
def test_what_cannot_be_read_is_told_in_one_line(words: tuple[str, ...], place: Path) -> None:
    code, _, said = run(place, *words)
    assert (code, said) == (2, "gridassay: shut.toml: cannot be read: permission denied\n")


@pytest.mark.parametrize(
    ("words", "out"),
    [
        (("draw", LIGHTS, "-o"), "ro/x.svg"),
        (("certify", LIGHTS, "-o"), "ro/x.zip"),
        (("batch", LIGHTS, "--out"), "ro/x.jsonl"),
        (("route", LIGHTS, "--next", "--save"), "ro/x.steps"),
        (("route", LIGHTS, "--next", "--sheet"), "ro/x.html"),
        (("audit", LIGHTS, "talk.md", "--clean"), "ro/x.steps"),
        (("assay", LIGHTS, "--budget", "2", "--page"), "ro/x.html"),
    ],
    ids=str,
)
def test_what_cannot_be_written_is_told_in_one_line(
    words: tuple[str, ...], out: str, place: Path
) -> None:
    code, _, said = run(place, *words, out)
    assert code == 2
    assert said.splitlines()[-1] == f"gridassay: {out}: cannot be written: permission denied"
    assert list((place / "ro").iterdir()) == []


def test_a_folder_that_cannot_be_read_has_a_row_of_its_own(place: Path) -> None:
    code, _, _ = run(place, "batch", ".", "--out", "x.jsonl")
    rows = [json.loads(line) for line in (place / "x.jsonl").read_text().splitlines()]
    said = {row["source"]: row.get("error", row.get("verdict")) for row in rows}
    shut = "cannot be read: permission denied"
    assert code == 2
    assert said == {LIGHTS: "unique", "shut": shut, "shut.toml": shut}


@pytest.mark.parametrize(
    ("words", "file"),
    [
        (("check", "pipe", "--json", "--budget", "60"), LIGHTS),
        (("audit", LIGHTS, "pipe"), "harbour-lights.steps"),
    ],
    ids=str,
)
def test_puzzles_and_steps_come_through_pipes(
    words: tuple[str, ...], file: str, place: Path
) -> None:
    pipe = place / "pipe"
    os.mkfifo(pipe)
    with subprocess.Popen(["sh", "-c", f"cat {file} > pipe"], cwd=place):
        code, said, told = run(place, *words)
    assert (code in {0, 1}, told) == (True, "")
    assert "Harbour Lights" in said


def test_two_processes_add_to_one_catalogue(place: Path) -> None:
    rng = Random(7)
    base = (EXAMPLES / "tide-table.txt").read_text().split()
    line = next(word for word in base if len(word) == 81)
    givens = [n for n, symbol in enumerate(line) if symbol != "."]
    for name in ("one.txt", "two.txt"):
        # Each line lacks other givens, so that no two are the same puzzle.
        lines = []
        for _ in range(12):
            gone = set(rng.sample(givens, 5))
            lines.append("".join("." if n in gone else s for n, s in enumerate(line)))
        (place / name).write_text("\n".join(lines) + "\n")
    command = [
        ("kin", name, "--catalogue", "c.sqlite", "--add", "--budget", "60")
        for name in ("one.txt", "two.txt")
    ]
    with ThreadPoolExecutor(2) as pool:
        both = [*pool.map(lambda words: run(place, *words), command)]
    assert [told for _, _, told in both] == ["", ""]
    code, said, _ = run(place, "kin", "one.txt", "two.txt", "--catalogue", "c.sqlite", "--json")
    found = [json.loads(row) for row in said.splitlines()][:24]
    assert [bool(row["catalogue"]) for row in found] == [True] * 24
    assert code in {0, 1}
