"""The page and its charts from small made-up results."""

from __future__ import annotations

from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pytest

from benchmarks import page as page_module
from benchmarks.page import page, table
from benchmarks.rows import every_row

FIGURES = {"build": 0.1, "load": 0.2, "first": 0.01, "second": 0.02, "total": 0.5, "megabytes": 30}
COUNTS = {"clauses": 1234567, "variables": 9, "literals": 9, "conflicts": 9, "propagations": 9}
CELL = {**FIGURES, **COUNTS, "ratio": 2.0, "low": 1.9, "high": 2.1, "corpus": "hard9"}
SERIES = {name: [1.0, 8.0] for name in ("build", "load", "answer", "clauses", "conflicts")}
ROW = {"issue": 2, "unit": "×", "low": 1, "high": 3, "sense": "at most", "target": 1.5, "note": ""}
ROW["slowness"] = 1.25
RESULTS: dict[str, Any] = {
    "machine": {"processor": "an abacus"},
    "measured": {"rows": "2024-05-01"},
    "corpora": {"hard9": {"sha256": "ab" * 32, "puzzles": 3, "verdicts": "umn"}},
    "rows": [
        {**ROW, "name": "quick | enough", "value": 1.2, "met": True},
        {**ROW, "name": "too slow", "value": 2, "met": False},
    ],
    "cells": [
        {**CELL, "kind": "", "encoding": "", "solver": "cadical153"},
        {**CELL, "kind": "AtMostOne", "encoding": "plain", "solver": "cadical153"},
        {
            "corpus": "hard9",
            "kind": "AtMostOne",
            "encoding": "odd",
            "solver": "cadical153",
            "problem": "WRONG on 3 of 5",
        },
    ],
    "peers": [
        {"corpus": "hard9", "peer": "gridassay", "each": [0.001, 0.002, 0.003]},
        {"corpus": "hard9", "peer": "another", "each": [0.004, 0.004, 0.004]},
    ],
    "growth": [
        {
            "encoding": "plain",
            "sizes": [9, 16],
            **SERIES,
            "slopes": {"clauses": 3.61, "conflicts": None},
        }
    ],
    "layers": [
        {
            "puzzle": "a loop",
            "member": "Connected",
            "encoding": "levels",
            "sizes": [6, 8],
            "clauses": [1200, 3400],
            "build": [0.1, 0.2],
            "answer": [0.0123, None],
        },
        {
            "puzzle": "a loop",
            "member": "Connected",
            "encoding": "large",
            "sizes": [6],
            "clauses": [None],
            "build": [None],
            "answer": [None],
        },
    ],
}


def test_targets_are_marked_honestly() -> None:
    text = page(RESULTS)
    assert "1 of 2 are met" in text
    assert "| 2 | quick \\| enough | 1.2 × | 1 to 3 | at most 1.5 × | met |" in text
    assert "| 2 | too slow | 2 × | 1 to 3 | at most 1.5 × | **not met** |" in text


def test_every_section_is_there() -> None:
    text = page(RESULTS)
    assert "| another | 3 | 4 | 4 | 2 |" in text
    assert "| plain | 2.00 (1.90 to 2.10) | 500 | 100 | 200 | 10 | 20 | 1,234,567 |" in text
    assert "| odd | WRONG on 3 of 5 |" in text
    assert "| plain | 3.61 | – | 8 | 1.6e+04 | 8e+03 |" in text
    assert "| a loop | Connected | levels | 1,200: 12.3 | 3,400: out of time |" in text
    assert "| a loop | Connected | large | out of time | – |" in text
    assert "| hard9 | 3 | 1 | 1 | 1 | `abababababababab…` |" in text


def test_what_is_not_measured_is_left_out() -> None:
    bare = {name: RESULTS[name] for name in ("machine", "measured", "corpora")}
    assert "## Growth" not in page(bare)


def test_a_table_is_a_table() -> None:
    assert list(table(("a", "b"), [("1", "2")])) == ["| a | b |", "| --- | --- |", "| 1 | 2 |"]


def test_charts(tmp_path: Path) -> None:
    pytest.importorskip("matplotlib")
    from benchmarks.charts import draw

    draw(RESULTS, tmp_path)
    for name in ("cactus", "encodings", "growth"):
        ElementTree.parse(tmp_path / f"{name}.svg")
        assert (tmp_path / f"{name}.png").read_bytes().startswith(b"\x89PNG")
    assert "another" in (tmp_path / "cactus.svg").read_text()


def test_rows_are_found_by_themselves() -> None:
    for library in ("clingo", "cpmpy", "matplotlib"):
        pytest.importorskip(library)
    rows = every_row()
    assert {2, 4, 6, 8, 10} <= {row.issue for row in rows}
    names = [row.name for row in rows]
    assert len(set(names)) == len(names)


def test_what_was_tried_is_told_of_rows_that_are_not_met(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    tried = tmp_path / "tried.toml"
    tried.write_text('"too slow" = """\nA longer\nlever."""\n"quick | enough" = "Oil."\n', "utf-8")
    monkeypatch.setattr(page_module, "TRIED", tried)
    text = page(RESULTS)
    assert "- **too slow**: A longer lever.\n" in text
    assert "Oil" not in text
    tried.write_text("", "utf-8")
    assert "- **too slow**: nothing is on record." in page(RESULTS)


def test_what_was_tried_is_said_of_rows_that_exist() -> None:
    for library in ("clingo", "cpmpy", "matplotlib"):
        pytest.importorskip(library)
    assert set(page_module.what_was_tried()) <= {row.name for row in every_row()}
