"""Writes docs/benchmarks.md from the measured results; nothing is measured here."""

from __future__ import annotations

import tomllib
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path
from statistics import median
from typing import Any

from benchmarks.charts import Results, draw
from benchmarks.layer_growth import LIMIT
from benchmarks.tables import CORPORA, SOLVERS
from gridassay.verify.engines.sat import DEFAULT_SOLVER

INTRODUCTION = """\
# Benchmarks

Written by `python -m benchmarks --page`; do not edit. The figures are in
[results.json](benchmarks/results.json), and what was tried where a target is not met in
[tried.toml](../benchmarks/tried.toml), which is written by hand.

Times are processor time. A ratio is the median over rounds in which both sides were measured one
after the other, so it says more than the times on either side; its quartiles are given with it.
Every cell of a table is measured in its own process. No time counts unless the verdicts are correct.
Clauses, conflicts and propagations do not depend on the machine.
"""

TRIED = Path(__file__).with_name("tried.toml")
"""Written by hand: by name of a row, what was tried to meet its target. It is shown if it is not met."""

CHARTS_SAY = {
    "cactus": "Share of hard9 answered within a time, for each peer",
    "encodings": "Time of at-most-one encodings by solver, relative to the configured cell",
    "growth": "Clauses, building and answering by size of the grid",
}


def page(results: Results) -> str:
    """The whole page."""
    parts = [
        INTRODUCTION,
        *_section("Machine", _machine(results)),
        *_section("Speed figures asked for", _targets(results)),
        *_section("Peers", _peers(results)),
        *_section("Encodings", _encodings(results)),
        *_section("Solvers", _solvers(results)),
        *_section("Growth", _growth(results)),
        *_section("Growth of layers", _layer_growth(results)),
        *_section("Corpora", _corpora(results)),
    ]
    return "\n".join(parts)


def _section(title: str, body: Iterable[str]) -> Iterator[str]:
    lines = list(body)
    if lines:
        yield f"## {title}\n"
        yield "\n".join(lines) + "\n"


def table(head: Sequence[str], rows: Iterable[Sequence[str]]) -> Iterator[str]:
    """A Markdown table."""
    yield "| " + " | ".join(head) + " |"
    yield "| " + " | ".join("---" for _ in head) + " |"
    for row in rows:
        yield "| " + " | ".join(cell.replace("|", "\\|") for cell in row) + " |"


def _chart(name: str) -> Iterator[str]:
    yield f"![{CHARTS_SAY[name]}](benchmarks/{name}.svg) ([PNG](benchmarks/{name}.png))\n"


def _machine(results: Results) -> Iterator[str]:
    yield from table(("", ""), results["machine"].items())
    when = ", ".join(f"{section} {date}" for section, date in results["measured"].items())
    yield f"\nMeasured: {when}."


def _targets(results: Results) -> Iterator[str]:
    rows = results.get("rows", [])
    if not rows:
        return
    met = sum(row["met"] for row in rows)
    slow = median(row["slowness"] for row in rows)
    yield (
        f"{met} of {len(rows)} are met. Times are asked for on a machine on which the yardstick is"
        f" 0.2 ms. This one was {slow:.2g} times as slow by it while they were measured, and times"
        " are held to as many times the target.\n"
    )
    yield from table(
        ("issue", "what", "measured", "quartiles", "target", "", "note"),
        [
            (
                str(row["issue"]),
                row["name"],
                f"{row['value']:.3g} {row['unit']}",
                f"{row['low']:.3g} to {row['high']:.3g}",
                f"{row['sense']} {row['target']:g} {row['unit']}",
                "met" if row["met"] else "**not met**",
                row["note"],
            )
            for row in rows
        ],
    )
    unmet = [row["name"] for row in rows if not row["met"]]
    if unmet:
        tried = what_was_tried()
        yield "\nWhat was tried where the target is not met:\n"
        for name in unmet:
            yield f"- **{name}**: {tried.get(name, 'nothing is on record.')}"


def what_was_tried() -> dict[str, str]:
    """By name of a row, what was tried to meet its target, as TRIED says."""
    written: dict[str, str] = tomllib.loads(TRIED.read_text("utf-8"))
    return {name: " ".join(text.split()) for name, text in written.items()}


def _peers(results: Results) -> Iterator[str]:
    peers = results.get("peers", [])
    for corpus in dict.fromkeys(line["corpus"] for line in peers):
        lines = [line for line in peers if line["corpus"] == corpus]
        ours = median(lines[0]["each"])
        yield f"On {corpus}, milliseconds per verdict, including the reading of the line:\n"
        yield from table(
            ("peer", "puzzles", "median", "slowest", "× gridassay"),
            [
                (
                    line["peer"],
                    str(len(line["each"])),
                    _ms(median(line["each"])),
                    _ms(max(line["each"])),
                    f"{median(line['each']) / ours:.3g}",
                )
                for line in lines
            ],
        )
        yield ""
    if peers:
        yield from _chart("cactus")


def _encodings(results: Results) -> Iterator[str]:
    cells = results.get("cells", [])
    for kind, corpora in CORPORA.items():
        for corpus in corpora:
            own = [
                cell
                for cell in cells
                if cell["corpus"] == corpus
                and cell["kind"] == kind
                and (cell["solver"] == DEFAULT_SOLVER or cell["encoding"] == "native")
            ]
            if own:
                configured = next(c for c in cells if c["corpus"] == corpus and not c["kind"])
                yield f"### {kind} on {corpus}\n"
                yield from table(_CELL_HEAD, map(_cell, [configured, *own]))
                yield ""
    if cells:
        yield from _chart("encodings")


_CELL_HEAD = (
    "encoding",
    "ratio (quartiles)",
    "total ms",
    "build",
    "load",
    "first",
    "second",
    "clauses",
    "variables",
    "literals",
    "conflicts",
    "propagations",
    "MB",
)


def _cell(cell: dict[str, Any]) -> Sequence[str]:
    name = cell["encoding"] or "as configured"
    if cell["solver"] != DEFAULT_SOLVER:
        name += f" ({cell['solver']})"
    if "problem" in cell:
        return (name, cell["problem"], *[""] * (len(_CELL_HEAD) - 2))
    counts = ("clauses", "variables", "literals", "conflicts", "propagations")
    return (
        name,
        f"{cell['ratio']:.2f} ({cell['low']:.2f} to {cell['high']:.2f})",
        *[_ms(cell[time]) for time in ("total", "build", "load", "first", "second")],
        *[f"{cell[count]:,}" for count in counts],
        f"{cell['megabytes']:.0f}",
    )


def _solvers(results: Results) -> Iterator[str]:
    cells = [cell for cell in results.get("cells", []) if not cell["kind"]]
    if not cells:
        return
    corpora = list(dict.fromkeys(cell["corpus"] for cell in cells))
    yield f"Encodings as configured; the time of a corpus as a ratio to {DEFAULT_SOLVER}'s.\n"
    at = {(cell["solver"], cell["corpus"]): cell for cell in cells}
    notes: dict[str, str] = {}
    rows = []
    for solver in SOLVERS:
        row = [solver]
        for corpus in corpora:
            cell = at.get((solver, corpus), {})
            if "problem" in cell:
                notes[solver] = cell["problem"]
            row.append(f"{cell['ratio']:.2f}" if "ratio" in cell else "–")
        rows.append(row)
    yield from table(("solver", *corpora), rows)
    for solver, problem in notes.items():
        yield f"\n{solver}: {problem}"


def _growth(results: Results) -> Iterator[str]:
    lines = results.get("growth", [])
    if not lines:
        return
    yield "Half of the cells given. The exponents by which figures grow with the size, from 9×9 on:\n"
    figures = list(lines[0]["slopes"])
    yield from table(
        ("encoding", *figures, "25×25: clauses", "build and load, ms", "answer, ms"),
        [
            (
                line["encoding"],
                *[
                    "–" if line["slopes"][f] is None else f"{line['slopes'][f]:.2f}"
                    for f in figures
                ],
                f"{line['clauses'][-1]:,.0f}",
                _ms(line["build"][-1] + line["load"][-1]),
                _ms(line["answer"][-1]),
            )
            for line in lines
        ],
    )
    yield ""
    yield from _chart("growth")


def _layer_growth(results: Results) -> Iterator[str]:
    lines = results.get("layers", [])
    if not lines:
        return
    yield (
        "A third of a known solution given. Clauses, and milliseconds to count to two once loaded. "
        f"Building has {LIMIT:g} s, and so have loading and counting together; an encoding that takes "
        "longer is not asked at larger sizes (–):\n"
    )
    sizes = max((line["sizes"] for line in lines), key=len)
    yield from table(
        ("to be found", "member", "encoding", *(f"{size}×{size}" for size in sizes)),
        [
            (
                line["puzzle"],
                line["member"],
                line["encoding"],
                *map(_grown, line["clauses"], line["answer"]),
                *("–" for _ in sizes[len(line["sizes"]) :]),
            )
            for line in lines
        ],
    )


def _grown(clauses: int | None, answer: float | None) -> str:
    written = "" if clauses is None else f"{clauses:,}: "
    return written + ("out of time" if answer is None else _ms(answer))


def _corpora(results: Results) -> Iterator[str]:
    yield from table(
        ("corpus", "puzzles", "unique", "multiple", "none", "SHA-256"),
        [
            (
                name,
                str(entry["puzzles"]),
                *[str(Counter(entry["verdicts"])[letter]) for letter in "umn"],
                f"`{entry['sha256'][:16]}…`",
            )
            for name, entry in results["corpora"].items()
        ],
    )
    yield (
        "\nMade from seeds by `benchmarks/corpora/make*.py`, except seventeen.txt, which names its "
        "source. Both engines agree on every verdict up to 10×10."
    )


def _ms(seconds: float) -> str:
    return f"{1e3 * seconds:.3g}"


def write(results: Results, docs: Path) -> None:
    """Write the page and its charts."""
    draw(results, docs / "benchmarks")
    (docs / "benchmarks.md").write_text(page(results), encoding="utf-8")
