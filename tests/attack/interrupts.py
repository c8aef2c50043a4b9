"""Signals and kills at random moments: nothing is half-written, and a resumed run gives the same."""

from __future__ import annotations

import json
import os
import random
import signal
import subprocess
import tempfile
import time
from functools import cache
from pathlib import Path

from .commands import KILLED_AFTER, run, start
from .failures import Failure, Found

ROOT = Path(__file__).parents[2]
INTERRUPTED = 130
LONG = ("assay", "route", "clues", "certify", "check", "draw")
_BUDGET = ("--budget", "600")
"""So much that none runs out, however busy the machine is: signals are tried here."""

SLOW = 'size = 16\n[[rule]]\nkind = "nonconsecutive"\n[[rule]]\nkind = "anti-knight"\n'


def one(seed: int) -> Found:
    """One command stopped at some moment."""
    # Where this process was started with signals ignored, as a shell starts what runs beside it, children
    # would ignore them too until they block them.
    signal.signal(signal.SIGINT, signal.default_int_handler)
    dice = random.Random(seed)
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        ended = _resumed if dice.random() < 0.5 else _interrupted
        said = ended(dice, folder)
    return Found(1, Failure("interrupts", seed, said) if said else None)


def _interrupted(dice: random.Random, folder: Path) -> str:
    """The fault after Ctrl-C; empty if all is well."""
    path, out = folder / "slow.toml", folder / "out"
    path.write_text(SLOW, encoding="utf-8")
    command = dice.choice(LONG)
    arguments = [command, str(path), *_BUDGET]
    if command == "certify":
        out = folder / "out.zip"
    if command == "draw":
        out = folder / "out.svg"
        arguments += ["--show", "possible"]
    if command in ("certify", "draw"):
        arguments += ["-o", str(out)]
    before = b"what was there before\n"
    out.write_bytes(before)
    child = start(arguments)
    time.sleep(dice.uniform(0.5, 5))
    if child.poll() is not None:
        child.communicate()
        return ""
    os.killpg(child.pid, signal.SIGINT)
    try:
        _, errors = child.communicate(timeout=KILLED_AFTER / 4)
    except subprocess.TimeoutExpired:
        os.killpg(child.pid, signal.SIGKILL)
        _, errors = child.communicate()
        return f"{command} goes on after Ctrl-C: {errors[-300:]!r}"
    # Before its first line, Python itself handles the signal.
    early = child.returncode in (-signal.SIGINT, 1) and b"KeyboardInterrupt" in errors
    if child.returncode != INTERRUPTED and not early and child.returncode != -signal.SIGINT:
        return f"{command} ends with {child.returncode} after Ctrl-C: {errors[-300:]!r}"
    if b"Traceback" in errors and not early:
        return f"{command} ends with a traceback: {errors[-500:]!r}"
    if out.exists() and out.read_bytes() != before:
        return f"{command} left {out.name} half-written"
    left = [one.name for one in folder.iterdir() if one not in (path, out)]
    return f"{command} left {left} behind" if left else ""


@cache
def _puzzles() -> str:
    dice = random.Random(7)
    base = "8.7.4.1......8792......3..65......1....631....2......84..9......1835......3.1.2.9"
    lines = []
    for _ in range(300):
        names = dict(zip("123456789", dice.sample("123456789", 9), strict=True))
        lines.append("".join(names.get(symbol, ".") for symbol in base))
    return "\n".join(lines) + "\n"


@cache
def _rows(asked: str) -> tuple[str, ...]:
    """The output of a batch that nobody stopped."""
    with tempfile.TemporaryDirectory() as folder:
        return _batch(Path(folder), asked, resume=False)


def _arguments(folder: Path, asked: str) -> list[str]:
    path = folder / "puzzles.txt"
    path.write_text(_puzzles(), encoding="utf-8")
    more = ["--ask", asked] if asked else []
    return [
        "batch",
        str(path),
        "--out",
        str(folder / "out.jsonl"),
        "--workers",
        "2",
        *_BUDGET,
        *more,
    ]


def _batch(folder: Path, asked: str, *, resume: bool) -> tuple[str, ...]:
    arguments = _arguments(folder, asked)
    ended = run([*arguments, "--resume"] if resume else arguments)
    assert ended.code in (0, 1), ended.errors
    return _told(folder / "out.jsonl", folder)


def _told(path: Path, folder: Path) -> tuple[str, ...]:
    """The rows in order, without the parts that may differ from run to run."""
    rows = [json.loads(line) for line in path.read_text(encoding="utf-8").splitlines()]
    for row in rows:
        row.pop("seconds", None)
        row.pop("row", None)  # a digest, also of where the puzzle came from
    kept = [json.dumps(row, sort_keys=True).replace(str(folder), "") for row in rows]
    return tuple(sorted(kept))


def _resumed(dice: random.Random, folder: Path) -> str:
    """The fault in a batch that was stopped, perhaps several times, and resumed."""
    asked = dice.choice(("", "kin"))
    for _ in range(dice.choice((1, 1, 2))):
        child = start([*_arguments(folder, asked), "--resume"])
        time.sleep(dice.uniform(0.3, 4))
        ending = dice.choice((signal.SIGINT, signal.SIGKILL, signal.SIGTERM))
        os.killpg(child.pid, ending)
        try:
            child.communicate(timeout=KILLED_AFTER / 4)
        except subprocess.TimeoutExpired:
            os.killpg(child.pid, signal.SIGKILL)
            _, errors = child.communicate()
            return f"a batch goes on after {ending.name}: {errors[-300:]!r}"
    rows = _batch(folder, asked, resume=True)
    whole = _rows(asked)
    if rows != whole:
        extra, missing = set(rows) - set(whole), set(whole) - set(rows)
        return f"a resumed batch has {len(rows)} rows, {len(extra)} others, {len(missing)} missing"
    return ""
