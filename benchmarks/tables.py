"""Every encoding × solver × corpus: which cells there are, and their figures side by side.

A corpus belongs to the constraints it is made of. Its baseline is the cell with the configured
encodings and solver; every other cell is measured in the same round, next to it in time, and told as
a ratio to it. Encodings of other packages take part like built-in ones.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import asdict
from statistics import median
from typing import Any

from benchmarks.cell import Answer, Question, measure_apart
from benchmarks.corpora import RULE_OFF, text
from benchmarks.measure import spread
from gridassay.encodings.cnf.plugins import every_encoding
from gridassay.verify.engines.sat import DEFAULT_SOLVER

CORPORA: Mapping[str, tuple[str, ...]] = {
    "AtMostOne": ("hard9", "easy9", "damaged9", "seventeen", "irregular9", "large16", "large25"),
    "Permutation": ("hard9", "large16", "large25"),
    "AllDifferent": ("cages9",),
    "Sum": ("cages9",),
    "Table": ("pairs9", "triples9"),
    "Compare": ("greater9",),
    "Count": ("crossings9",),
}
"""The corpora that tell the encodings of a constraint apart."""

SOLVERS = (
    "cadical103",
    "cadical153",
    "cadical195",
    "cadical300",
    "glucose3",
    "glucose4",
    "glucose42",
    "gluecard4",
    "kissat404",
    "lingeling",
    "maplechrono",
    "maplecm",
    "maplesat",
    "mergesat3",
    "minicard",
    "minisat22",
)
"""Solvers of python-sat by its names, also those that turn out to be unfit."""

NATIVE = frozenset({"gluecard3", "gluecard4", "minicard"})
"""Solvers with cardinality constraints of their own."""

Cell = tuple[str, str, str]
"""Constraint, encoding and solver; "" and "" if all is as configured."""
Record = dict[str, Any]
"""A cell with its figures, as it stands in the JSON."""


def alternatives(kind: str) -> list[str]:
    """The names of a constraint's encodings if there is a choice."""
    names = list(every_encoding().get(kind, {}))
    return names if len(names) > 1 else []


def cells_of(corpus: str) -> Iterator[Cell]:
    """The cells of a corpus, its baseline first, then those that differ from it in one thing only."""
    kinds = [kind for kind, corpora in CORPORA.items() if corpus in corpora]
    for name in sorted(SOLVERS, key=lambda name: name != DEFAULT_SOLVER):
        yield "", "", name
    for kind in kinds:
        for encoding in alternatives(kind):
            native = (kind, encoding) == ("AtMostOne", "native")
            solvers = [name for name in SOLVERS if not native or name in NATIVE]
            for name in sorted(solvers, key=lambda name: name != DEFAULT_SOLVER):
                yield kind, encoding, name


def question(corpus: str, cell: Cell, base: Mapping[str, str], limit: int | None) -> Question:
    """The command for a cell; ``base`` names encodings used in place of the configured ones."""
    kind, encoding, solver = cell
    return Question(corpus, {**base, **({kind: encoding} if kind else {})}, solver, limit=limit)


def side_by_side(
    corpus: str,
    cells: list[Cell],
    rounds: int,
    base: Mapping[str, str] | None = None,
    limit: int | None = None,
) -> list[Record]:
    """Measure cells round after round, and tell each as a ratio to the first of its own round."""
    answers: dict[Cell, list[Answer]] = {cell: [] for cell in cells}
    for _ in range(rounds):
        for cell, so_far in answers.items():
            if not (so_far and so_far[-1].problem):
                so_far.append(measure_apart(question(corpus, cell, base or {}, limit)))
    baseline = answers[cells[0]]
    return [_record(corpus, cell, found, baseline) for cell, found in answers.items()]


def _record(corpus: str, cell: Cell, found: list[Answer], baseline: list[Answer]) -> Record:
    kind, encoding, solver = cell
    record: Record = {"corpus": corpus, "kind": kind, "encoding": encoding, "solver": solver}
    last = found[-1]
    if last.problem or baseline[-1].problem:
        return {**record, "problem": last.problem or f"the baseline: {baseline[-1].problem}"}
    pairs = zip(found, baseline, strict=False)
    against = spread([ours.total / theirs.total for ours, theirs in pairs])
    times = ("build", "load", "first", "second", "total", "megabytes")
    counts = ("clauses", "variables", "literals", "conflicts", "propagations")
    return {
        **record,
        **{name: _short(median(asdict(answer)[name] for answer in found)) for name in times},
        **{name: asdict(last)[name] for name in counts},
        "ratio": _short(against.value),
        "low": _short(against.low),
        "high": _short(against.high),
        "rounds": len(found),
        "puzzles": len(last.verdicts),
    }


def _short(value: float) -> float:
    """Four significant digits: more is noise, and makes the file long."""
    return float(f"{value:.4g}")


FAR_LIMIT = 4
"""Puzzles of a corpus of documents for cells far from the configured one, where models are many."""


def every_cell(
    quick: bool, tell: Callable[[str], None] = lambda line: None
) -> Iterator[tuple[str, list[Record]]]:
    """The whole table, corpus by corpus.

    Cells that differ from the baseline in one thing get three rounds, the others one, and
    none at all when ``quick``.
    """
    for corpus in dict.fromkeys(name for corpora in CORPORA.values() for name in corpora):
        cells = list(cells_of(corpus))
        near = [cell for cell in cells if not cell[0] or cell[2] == _home(cell)]
        tell(f"{corpus}: {len(near)} cells near the configured one")
        records = side_by_side(corpus, near, rounds=1 if quick else 3)
        far = [cell for cell in cells if cell not in near]
        if far and not quick:
            tell(f"{corpus}: {len(far)} cells far from it")
            limit = FAR_LIMIT if RULE_OFF in text(corpus) else None
            records += side_by_side(corpus, [cells[0], *far], rounds=1, limit=limit)[1:]
        yield corpus, records


def _home(cell: Cell) -> str:
    """The solver on which an encoding is compared first."""
    return "minicard" if cell[1] == "native" else DEFAULT_SOLVER
