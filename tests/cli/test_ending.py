"""How commands end: Ctrl-C at any moment, a fault of our own, a full disk."""

from __future__ import annotations

import os
import re
import resource
import signal
import subprocess
import sys
import time
from contextlib import suppress
from pathlib import Path

import pytest

from gridassay.verify.faults import fault_words
from gridassay.verify.saving import save, saving

from ..hard import LONG_HAUL
from .run import EXAMPLES

PROGRAM = "from gridassay.verify.cli import main; main()"
AT_FAULT = "import gridassay.verify.cli.{0} as c; c.{1} = lambda *a, **k: 1 / 0; " + PROGRAM
# As slow as a busy machine may make it: all that counts is that nothing else is said.
LONGEST = 120


def program(*arguments: str | Path, code: str = PROGRAM) -> list[str]:
    return [sys.executable, "-c", code, *map(str, arguments)]


def gone(group: int) -> bool:
    """Whether every process of a group ends within some time."""
    try:
        for _ in range(20 * LONGEST):
            os.killpg(group, 0)
            time.sleep(0.05)
    except ProcessLookupError:
        return True
    return False


@pytest.mark.parametrize(
    ("arguments", "seconds"),
    [
        (["check", EXAMPLES / "five-islands.toml", "--engine", "cp"], 2.5),
        (["assay", LONG_HAUL], 1.0),
        (["assay", LONG_HAUL], 2.0),
        (["assay", LONG_HAUL], 3.0),
        (["clues", LONG_HAUL], 2.0),
        (["route", LONG_HAUL], 2.0),
        (["batch", EXAMPLES, "--out", "out.jsonl", "--ask", "clues,route", "--workers", "2"], 3.0),
        (["check", "-"], 1.0),
    ],
)
def test_ctrl_c_ends_it_at_once(
    arguments: list[str | Path], seconds: float, tmp_path: Path
) -> None:
    # A quick machine may be at its last words just then, or past them: it is stopped sooner.
    ends = (stopped(arguments, seconds / 2**again, tmp_path) for again in range(4))
    assert next((end for end in ends if end != (0, "")), None) == (130, "gridassay: stopped\n")


def stopped(arguments: list[str | Path], seconds: float, folder: Path) -> tuple[int, str]:
    """How a command ends, and what it says, that gets Ctrl-C some seconds after it handles signals."""
    child = subprocess.Popen(
        program(*arguments),
        stdin=subprocess.PIPE,
        stdout=subprocess.DEVNULL,
        stderr=subprocess.PIPE,
        text=True,
        start_new_session=True,
        cwd=folder,
    )
    # Once it handles the signal, whatever it is doing, as at a terminal: every process gets it.
    status = Path(f"/proc/{child.pid}/status")
    while not int(re.search(r"SigBlk:\s*(\w+)", status.read_text())[1], 16) & 2:  # type: ignore[index]
        time.sleep(0.01)
    time.sleep(seconds)
    if child.poll() is None:
        os.killpg(child.pid, signal.SIGINT)
    _, said = child.communicate(timeout=LONGEST)
    assert gone(child.pid)  # no worker is left behind
    return child.returncode, said


def test_a_fault_of_our_own_is_one_line_and_code_4() -> None:
    code = AT_FAULT.format("route", "ask")
    run = subprocess.run(
        program("route", EXAMPLES / "lobster-pots.toml", code=code),
        capture_output=True,
        text=True,
        check=False,
    )
    assert (run.returncode, run.stdout) == (4, "")
    assert re.fullmatch(
        r"gridassay: a fault in gridassay, please report it with the puzzle: "
        r"ZeroDivisionError: division by zero \(.*, line \d+\)\n",
        run.stderr,
    )


@pytest.mark.parametrize(("options", "at"), [((), "check"), (("--json",), "check_json")])
def test_a_fault_at_one_of_many_puzzles_ranks_above_bad_input(
    tmp_path: Path, options: tuple[str, ...], at: str
) -> None:
    (tmp_path / "bad.txt").write_text("12345\n")
    (tmp_path / "good.txt").write_text("1234341221434...\n")
    code = AT_FAULT.format(at, "ask")
    run = subprocess.run(
        program("check", "bad.txt", "good.txt", "bad.txt", *options, code=code),
        capture_output=True,
        text=True,
        check=False,
        cwd=tmp_path,
    )  # fmt: skip
    assert run.returncode == 4
    lines = (run.stdout if options else run.stderr).splitlines()
    assert len(lines) == 3
    assert "please report it with the puzzle, good.txt:1: ZeroDivisionError" in lines[1]


def test_a_fault_is_told_in_one_line_whatever_it_says() -> None:
    assert "\n" not in fault_words(ValueError("one\ntwo"), "a.toml")


@pytest.mark.parametrize(
    "words",
    [
        ("certify", "crab-pots.toml", "--out", "out.zip"),
        ("draw", "lobster-pots.toml", "--out", "out.svg"),
        ("draw", "lobster-pots.toml", "--bare", "--out", "out.png"),
        ("route", "lobster-pots.toml", "--next", "--save", "out.steps"),
        ("route", "lobster-pots.toml", "--next", "--sheet", "out.html"),
        ("batch", "no-such.toml", "--out", "out.jsonl"),
    ],
    ids=" ".join,
)
def test_a_full_disk_leaves_nothing(words: tuple[str, ...], tmp_path: Path) -> None:
    def full() -> None:
        resource.setrlimit(resource.RLIMIT_FSIZE, (0, 0))

    command, file, *options = words
    run = subprocess.run(
        program(command, EXAMPLES / file, *options),
        preexec_fn=full,
        capture_output=True,
        text=True,
        check=False,
        cwd=tmp_path,
    )
    assert run.returncode == 2
    # A proof is kept in a temporary file, which has no room either.
    said = "no usable temporary" if command == "certify" else f"{options[-1]}: cannot be written: "
    assert re.fullmatch(f"gridassay: .*{said}.*\n", run.stderr)
    assert list(tmp_path.iterdir()) == []


def test_standard_output_that_is_full_is_told() -> None:
    full = Path("/dev/full")
    if not full.exists():
        pytest.skip("this system has no /dev/full")
    with full.open("w") as out:
        run = subprocess.run(
            program("export", EXAMPLES / "crab-pots.toml"),
            stdout=out,
            stderr=subprocess.PIPE,
            text=True,
            check=False,
        )
    said = "gridassay: cannot be written: no space left on device\n"
    assert (run.returncode, run.stderr) == (2, said)


def test_a_file_is_replaced_whole_or_stays_as_it_was(tmp_path: Path) -> None:
    out, link = tmp_path / "out.txt", tmp_path / "link.txt"
    out.write_text("before")
    out.chmod(0o640)
    link.symlink_to(out)
    with suppress(ZeroDivisionError), saving(link) as part:
        part.write_text("half")
        assert out.read_text() == "before"
        raise ZeroDivisionError
    assert sorted(tmp_path.iterdir()) == [link, out]
    save(link, "after")
    assert (link.is_symlink(), out.read_text(), out.stat().st_mode & 0o777) == (
        True,
        "after",
        0o640,
    )
    assert sorted(tmp_path.iterdir()) == [link, out]


def test_what_is_no_ordinary_file_is_written_to_and_not_replaced() -> None:
    save(Path(os.devnull), "into the sea")
    assert not Path(os.devnull).is_file()
