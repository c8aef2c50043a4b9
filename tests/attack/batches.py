"""Batches of random puzzles, complete or cut off anywhere and resumed: one true row for each."""

from __future__ import annotations

import json
import random
import tempfile
from pathlib import Path

from gridassay.verify.batch.run import run_batch

from .cases import Case, random_case
from .failures import Failure, Found


def one(seed: int) -> Found:
    """A batch of a few puzzles; two checks per row, complete and resumed."""
    dice = random.Random(seed)
    cases = [random_case(dice) for _ in range(dice.randint(3, 6))]
    plain = [case for case in cases if case.board.name == "grid" and not case.tables]
    with tempfile.TemporaryDirectory() as folder:
        files = _written(cases, plain, Path(folder))
        try:
            said = _compared(files, Path(folder) / "out.jsonl", dice)
        except Exception as error:
            said = f"{type(error).__name__}: {error}"
    shown = "\n".join(case.text() for case in cases)
    failure = Failure("batches", seed, said, shown) if said else None
    return Found(2 * (len(cases) + len(plain)), failure)


def _written(cases: list[Case], plain: list[Case], folder: Path) -> dict[str, str]:
    """The files of a batch, and the verdict on each puzzle by its source."""
    wanted = {}
    for number, case in enumerate(cases):
        path = folder / f"{number}.toml"
        path.write_text(case.text(), encoding="utf-8")
        wanted[str(path)] = _verdict(case)
    lines = folder / "lines.txt"
    for number, case in enumerate(plain, start=1):
        wanted[f"{lines}:{number}"] = _verdict(case)
    if plain:
        lines.write_text("".join(f"{_line(case)}\n" for case in plain), encoding="utf-8")
    return wanted


def _verdict(case: Case) -> str:
    return ("none", "unique", "multiple")[min(len(case.solutions), 2)]


def _line(case: Case) -> str:
    return "".join(str(case.givens.get(cell, ".")) for cell in case.board.cells)


def _compared(wanted: dict[str, str], out: Path, dice: random.Random) -> str:
    files = list(dict.fromkeys(source.rpartition(":")[0] or source for source in wanted))
    run_batch(files, out)
    said = _rows(out, wanted)
    if said:
        return f"whole: {said}"
    # As a kill leaves it: cut off anywhere.
    data = out.read_bytes()
    out.write_bytes(data[: dice.randrange(len(data) + 1)])
    run_batch(files, out, resume=True)
    said = _rows(out, wanted)
    return f"resumed: {said}" if said else ""


def _rows(out: Path, wanted: dict[str, str]) -> str:
    rows = [json.loads(line) for line in out.read_text(encoding="utf-8").splitlines()]
    found = {row["source"]: row.get("verdict", row.get("error")) for row in rows}
    if len(rows) != len(wanted):
        return f"{len(rows)} rows for {len(wanted)} puzzles"
    wrong = {source: verdict for source, verdict in found.items() if wanted.get(source) != verdict}
    return f"{wrong}, and it is {[wanted.get(source) for source in wrong]}" if wrong else ""
