"""``python -m benchmarks``: speed figures on the terminal, the page of docs/, the gate of CI."""

from __future__ import annotations

import argparse
import gc
import json
import sys
from collections.abc import Sequence
from dataclasses import asdict
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from rich.console import Console
from rich.table import Table

from benchmarks import gate
from benchmarks.machine import describe, slowness
from benchmarks.measure import ROOT, Measured, NotMeasured, Row
from benchmarks.rows import every_row

SECTIONS = ("rows", "peers", "cells", "growth", "layers")
HELP = """\
python -m benchmarks [WORD ...]            the speed figures whose name has one of the words
python -m benchmarks --page [SECTION ...]  measure (only those sections) and write docs/benchmarks.md
python -m benchmarks --write               write that page again from what was measured
python -m benchmarks --gate                hold ratios and counts to the recorded bands
python -m benchmarks --update-gate --because REASON    record new bands
"""


def main() -> int:
    """Do what the arguments say; return 1 if the gate fails, 2 for arguments that make no sense."""
    parser = argparse.ArgumentParser(
        prog="python -m benchmarks",
        description=HELP,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.add_argument("words", nargs="*", metavar="WORD", help=f"sections: {', '.join(SECTIONS)}")
    parser.add_argument("--quick", action="store_true", help="fewer rounds")
    parser.add_argument("--page", action="store_true")
    parser.add_argument("--write", action="store_true")
    parser.add_argument("--docs", type=Path, default=ROOT / "docs", help="where the page is")
    parser.add_argument("--gate", action="store_true")
    parser.add_argument("--update-gate", action="store_true")
    parser.add_argument("--because", default="", help="why the bands are to change")
    parser.add_argument("--gate-file", type=Path, default=gate.FILE, help="the recorded bands")
    parser.add_argument(
        "--choose",
        action="append",
        default=[],
        metavar="CONSTRAINT=ENCODING",
        help="hold this encoding to the bands in place of the configured one",
    )
    asked = parser.parse_args()
    console = Console(stderr=True, soft_wrap=True)  # a line is a line, however long its paths
    if asked.update_gate and not asked.because.strip():
        parser.error("--update-gate needs a reason: --because REASON")
    if any(len(one.split("=")) != 2 for one in asked.choose):
        parser.error("--choose is CONSTRAINT=ENCODING, as in AtMostOne=product")
    if asked.gate or asked.update_gate:
        return _gate(asked, console)
    if asked.write:
        _page((), asked.quick, asked.docs, console)
        return 0
    if asked.page:
        unknown = set(asked.words) - set(SECTIONS)
        if unknown:
            parser.error(f"there is no section {sorted(unknown)[0]!r}: {', '.join(SECTIONS)}")
        _page(asked.words or SECTIONS, asked.quick, asked.docs, console)
        return 0
    _terminal(_measured(asked.words, asked.quick, console))
    yardstick = describe()["yardstick"]
    console.print(f"yardstick: {yardstick}", highlight=False)
    return 0


def _measured(words: list[str], quick: bool, console: Console) -> list[tuple[Row, Measured, float]]:
    """Rows with their figures, and how slow the machine was just before."""

    chosen = [row for row in every_row() if not words or any(word in row.name for word in words)]
    found = []
    with console.status("measuring") as status:
        for row in chosen:
            status.update(row.name)
            gc.collect()
            gc.freeze()  # else every round collects all that earlier rows left: half an hour in all
            try:
                slow = slowness()
                found.append((row, row.run(quick), slow))
            except NotMeasured as missing:
                console.print(f"{row.name}: not measured: {missing}", highlight=False)
            except AssertionError as wrong:  # the other rows are worth keeping
                console.print(f"{row.name}: FAILED: {wrong}", highlight=False)
    return found


def _terminal(found: list[tuple[Row, Measured, float]]) -> None:
    table = Table("issue", "what", "measured", "quartiles", "target", "", "note")
    for row, got, slow in found:
        table.add_row(
            str(row.issue),
            row.name,
            f"{got.value:.3g} {row.unit}",
            f"{got.low:.3g} to {got.high:.3g}",
            f"{row.sense} {row.target:g} {row.unit}",
            "met" if row.met(got, slow) else "NOT met",
            got.note,
        )
    Console().print(table)


def _page(sections: tuple[str, ...] | list[str], quick: bool, docs: Path, console: Console) -> None:
    """Measure sections again, keep the others as they were last measured, and write the page."""
    from benchmarks import contest, growth, layer_growth, page, tables
    from benchmarks.corpora import INDEX

    file = docs / "benchmarks" / "results.json"
    results: dict[str, Any] = json.loads(file.read_text("utf-8")) if file.exists() else {}
    if sections:
        results.update(machine=describe(), corpora=json.loads(INDEX.read_text("utf-8")))
    results.setdefault("measured", {})
    tell = console.print
    for section in sections:
        tell(f"[bold]{section}[/]")
        if section == "rows":
            results["rows"] = [
                {
                    **{name: getattr(row, name) for name in _ROW_FIELDS},
                    **asdict(got),
                    "slowness": round(slow, 2),
                    "met": row.met(got, slow),
                }
                for row, got, slow in _measured([], quick, console)
            ]
        elif section == "peers":
            rounds = 1 if quick else 3
            results["peers"] = [
                line
                for corpus in ("hard9", "easy9", "damaged9")
                for line in contest.contest(corpus, 10 if quick else 60, rounds)
            ]
        elif section == "cells":
            for corpus, records in tables.every_cell(quick, tell):
                others = [one for one in results.get("cells", []) if one["corpus"] != corpus]
                results["cells"] = others + records
                _keep(file, results)
        elif section == "growth":
            results["growth"] = growth.growth(quick, tell)
        else:
            results["layers"] = layer_growth.layer_growth(quick, tell)
        results["measured"][section] = _today() + (" (quick)" if quick else "")
        _keep(file, results)
    page.write(results, docs)
    tell(f"written: {docs / 'benchmarks.md'}")


_ROW_FIELDS = ("issue", "name", "sense", "target", "unit")


def _today() -> str:
    return datetime.now(UTC).date().isoformat()


def _keep(file: Path, results: dict[str, Any]) -> None:
    """Write what has been measured so far: a long run that is stopped loses little."""
    file.parent.mkdir(parents=True, exist_ok=True)
    file.write_text(_compact(results), encoding="utf-8")


def _compact(results: dict[str, Any]) -> str:
    """JSON with a line for each record, which is short and still gives readable differences."""
    parts = []
    for key, value in results.items():
        if isinstance(value, list):
            lines = ",\n".join(f"  {json.dumps(one, ensure_ascii=False)}" for one in value)
            parts.append(f' "{key}": [\n{lines}\n ]')
        else:
            parts.append(f' "{key}": {json.dumps(value, ensure_ascii=False)}')
    return "{\n" + ",\n".join(parts) + "\n}\n"


def _gate(asked: argparse.Namespace, console: Console) -> int:
    """Measure; then compare with the record, or make a new one."""
    before = gate.read(asked.gate_file)
    choices = dict(one.split("=") for one in asked.choose)
    with console.status("measuring") as status:
        rounds = 3 if asked.quick else 7

        def measured(contests: Sequence[gate.Contest]) -> gate.Figures:
            figures = gate.measure(rounds, contests, choices, status.update)
            return gate.against_the_loop(figures, asked.quick)

        figures = measured(gate.CONTESTS)
        if before and asked.gate:
            figures = gate.measured_again(figures, before, measured)
    if asked.update_gate:
        found = gate.record(figures, asked.because, _today(), before)
        asked.gate_file.write_text(json.dumps(found, indent=1) + "\n", encoding="utf-8")
        console.print(f"recorded: {len(found['bands'])} bands")
        return 0
    if not before:
        console.print(
            f"{asked.gate_file}: nothing is recorded yet; record it with --update-gate --because REASON",
            markup=False,
            highlight=False,
        )
        return 2
    judgement = gate.judge(figures, before)
    for note in judgement.notes:
        console.print(f"note: {note}", markup=False, highlight=False)
    for failure in judgement.failures:
        console.print(f"FAILED: {failure}", markup=False, highlight=False)
    if not judgement.failures:
        console.print(f"the gate holds: {len(before['bands'])} bands")
    return 1 if judgement.failures else 0


if __name__ == "__main__":
    sys.exit(main())
