"""Encodings planted in a folder that looks like an installed package, seen by every process."""

from __future__ import annotations

import os
import sys
from dataclasses import replace
from pathlib import Path

import pytest

from benchmarks.cell import Answer, Question, measure, wrong

CODE = '''
"""Encodings made up for tests."""


def slow(writer, literals):
    """Right, and the same clauses as pairwise, after a long think."""
    sum(range(30_000))
    writer.not_both(literals)


def wrong(writer, literals):
    """Forgets the last literal."""
    writer.not_both(literals[:-1])


def plain(writer, literals):
    """Pairwise by another name."""
    writer.not_both(literals)
'''


def plant(folder: Path, monkeypatch: pytest.MonkeyPatch, *names: str) -> None:
    """Install AtMostOne encodings of CODE for this process and those it starts."""
    metadata = folder / "tidal_flats-1.0.dist-info"
    metadata.mkdir()
    (metadata / "METADATA").write_text("Metadata-Version: 2.1\nName: tidal-flats\nVersion: 1.0\n")
    points = "".join(f"AtMostOne.{name} = tidal_flats:{name}\n" for name in names)
    (metadata / "entry_points.txt").write_text(f"[gridassay.encodings]\n{points}")
    (folder / "tidal_flats.py").write_text(CODE)
    before = os.environ.get("PYTHONPATH", "")
    monkeypatch.setenv("PYTHONPATH", os.pathsep.join(filter(None, [str(folder), before])))
    monkeypatch.syspath_prepend(folder)
    monkeypatch.delitem(sys.modules, "tidal_flats", raising=False)


def measure_here(question: Question) -> Answer:
    """As ``measure_apart`` in this process: one that is new has to make its puzzles first."""
    answer = measure(question)
    return replace(answer, problem=wrong(question, answer))
