"""Writes index.json: the hash, the size and the verdicts of every corpus, by both engines.

``python -m benchmarks.corpora.index``; a corpus that has not changed keeps its entry.
"""

from __future__ import annotations

import json

from benchmarks.corpora import FOLDER, INDEX, fingerprint, puzzles
from gridassay.encodings.puzzle import Puzzle
from gridassay.verify import Verdict, check

CP_UP_TO = 100
"""Cells up to which CP-SAT gives its second opinion; on larger grids it takes minutes.

On layers the peer of ``rows/layers.py`` gives it while they are measured."""


def _large(puzzle: Puzzle) -> bool:
    return len(puzzle.canvas.cells) > CP_UP_TO


def main() -> None:
    """Index the corpora."""
    known = json.loads(INDEX.read_text(encoding="utf-8")) if INDEX.exists() else {}
    index = {}
    for path in sorted(FOLDER.glob("*.txt")):
        name = path.stem
        entry = known.get(name, {})
        if entry.get("sha256") != fingerprint(name):
            verdicts = [
                _letter(
                    check(
                        puzzle,
                        engine="sat" if puzzle.layers or _large(puzzle) else "both",
                        budget=120,
                    )
                )
                for puzzle in puzzles(name)
            ]
            entry = {
                "sha256": fingerprint(name),
                "puzzles": len(verdicts),
                "verdicts": "".join(verdicts),
            }
        index[name] = entry
    INDEX.write_text(json.dumps(index, indent=1) + "\n", encoding="utf-8")


def _letter(verdict: Verdict) -> str:
    return "?" if verdict.status == "undecided" else verdict.status[0]


if __name__ == "__main__":
    main()
