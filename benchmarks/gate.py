"""The gate: ratios and counts against the bands recorded in ``gate.json``.

Ratios are of processor time, measured side by side, so that they mean the same on another machine;
their bands are wide. Counts (clauses, conflicts …) do not depend on the machine; their bands are
narrow, and those that depend on the solver are compared only with the version that was recorded.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from importlib.metadata import version
from pathlib import Path
from typing import Any

from benchmarks.rows.verdict import warm_against_bare_loop
from benchmarks.tables import Cell, alternatives, side_by_side
from gridassay.verify.engines.sat import DEFAULT_SOLVER

FILE = Path(__file__).parent / "gate.json"

RATIO_BAND = 1.7
"""A ratio may be this many times the recorded one, or its inverse. Two noisy cores were seen
to move a ratio of medians by a quarter."""
AGAIN = 2
"""How often a figure that depends on time and is outside its band is measured again before it counts:
what else the machine does goes by, a change of ours stays."""
EFFORT_BAND = 1.1
"""The same for conflicts and propagations: the solver is deterministic, but long questions are asked
in slices whose size follows the clock."""

EXACT = ("clauses", "variables", "literals")
EFFORT = ("conflicts", "propagations")


@dataclass(frozen=True)
class Contest:
    """The configured encodings against the others of one constraint on a part of a corpus."""

    kind: str
    corpus: str
    limit: int | None = None


CONTESTS = (
    Contest("AtMostOne", "hard9"),
    Contest("AtMostOne", "large16"),
    Contest("Sum", "cages9", 6),
    Contest("Table", "pairs9", 6),
    Contest("Table", "triples9", 6),
    Contest("Compare", "greater9", 6),
    Contest("Count", "crossings9", 6),
)


@dataclass(frozen=True)
class Figures:
    """The figures measured: ratios and counts by name, and answers that were wrong."""

    ratios: Mapping[str, float]
    counts: Mapping[str, int]
    wrong: tuple[str, ...] = ()


def measure(
    rounds: int,
    contests: Sequence[Contest],
    choices: Mapping[str, str],
    tell: Callable[[str], None] = lambda line: None,
) -> Figures:
    """Measure. ``choices`` names encodings to check against the bands in place of the configured ones."""
    ratios: dict[str, float] = {}
    counts: dict[str, int] = {}
    wrong: list[str] = []
    for contest in contests:
        tell(f"{contest.kind} on {contest.corpus}")
        others = [
            (contest.kind, name, "minicard" if name == "native" else DEFAULT_SOLVER)
            for name in alternatives(contest.kind)
        ]
        cells: list[Cell] = [("", "", DEFAULT_SOLVER), *others]
        ours, *theirs = side_by_side(contest.corpus, cells, rounds, choices, contest.limit)
        if "problem" in ours:
            wrong.append(f"{contest.corpus}, as configured: {ours['problem']}")
            continue
        for name in (*EXACT, *EFFORT):
            counts[f"{contest.corpus}: {name}"] = ours[name]
        for other in theirs:
            named = f"{contest.kind} {other['encoding']}"
            if "problem" in other:
                wrong.append(f"{contest.corpus}, {named}: {other['problem']}")
            else:
                ratios[f"{contest.corpus}: configured / {named}"] = 1 / other["ratio"]
    return Figures(ratios, counts, tuple(wrong))


def against_the_loop(figures: Figures, quick: bool) -> Figures:
    """The figures with the ratio of a verdict to the bare loop's."""
    loop = warm_against_bare_loop(quick).value
    return replace(figures, ratios={"a verdict / the bare loop's": loop, **figures.ratios})


def measured_again(
    figures: Figures,
    recorded: Mapping[str, Any],
    measure_some: Callable[[Sequence[Contest]], Figures],
) -> Figures:
    """The figures, after those that depend on time and are outside their bands were measured again.

    ``measure_some`` measures the contests it is given, and the loop.
    """
    for _ in range(AGAIN):
        outside = {
            name
            for name, figure in {**figures.ratios, **figures.counts}.items()
            if not name.endswith(EXACT)
            and name in recorded["bands"]
            and not _inside(figure, recorded["bands"][name])
        }
        if not outside:
            break
        corpora = {name.partition(":")[0] for name in outside}
        new = measure_some([one for one in CONTESTS if one.corpus in corpora])
        figures = replace(
            figures,
            ratios={**figures.ratios, **{n: r for n, r in new.ratios.items() if n in outside}},
            counts={**figures.counts, **{n: c for n, c in new.counts.items() if n in outside}},
            wrong=figures.wrong + new.wrong,
        )
    return figures


def _inside(figure: float, band: Sequence[float]) -> bool:
    least, most = band
    return least <= figure <= most


@dataclass(frozen=True)
class Judgement:
    """The figures outside their bands, and those that could not be compared."""

    failures: tuple[str, ...]
    notes: tuple[str, ...]


def judge(figures: Figures, recorded: Mapping[str, Any]) -> Judgement:
    """Compare figures with the recorded bands. Wrong answers fail whatever the times are."""
    failures, notes = list(figures.wrong), []
    same_solver = recorded["python-sat"] == version("python-sat")
    if not same_solver:
        notes.append(
            f"recorded with python-sat {recorded['python-sat']}, this is {version('python-sat')}: "
            "conflicts and propagations are not compared"
        )
    measured: dict[str, float] = {**figures.ratios, **figures.counts}
    for name, band in recorded["bands"].items():
        if name not in measured:
            failures.append(f"{name}: was not measured")
        elif not _inside(measured[name], band) and (same_solver or not name.endswith(EFFORT)):
            least, most = band
            failures.append(f"{name}: {measured[name]:.4g} is outside {least:.4g} to {most:.4g}")
    unknown = [name for name in measured if name not in recorded["bands"]]
    notes += [f"{name}: {measured[name]:.4g}, no band is recorded" for name in unknown]
    return Judgement(tuple(failures), tuple(notes))


def record(figures: Figures, because: str, date: str, before: Mapping[str, Any]) -> dict[str, Any]:
    """The bands around these figures, with the reason added to those of earlier records."""
    if figures.wrong:
        raise ValueError(f"wrong answers are not recorded: {figures.wrong[0]}")
    bands = {name: _band(value, RATIO_BAND) for name, value in figures.ratios.items()}
    for name, count in figures.counts.items():
        bands[name] = _band(count, EFFORT_BAND) if name.endswith(EFFORT) else [count, count]
    return {
        "python-sat": version("python-sat"),
        "reasons": [*before.get("reasons", []), {"date": date, "because": because}],
        "bands": bands,
    }


def _band(value: float, width: float) -> list[float]:
    return [float(f"{value / width:.4g}"), float(f"{value * width:.4g}")]


def read(file: Path = FILE) -> dict[str, Any]:
    """The recorded bands; none if nothing is recorded yet."""
    found: dict[str, Any] = json.loads(file.read_text(encoding="utf-8")) if file.exists() else {}
    return found
