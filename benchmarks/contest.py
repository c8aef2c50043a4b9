"""The peers on one corpus of 9×9 lines: one process each, one time per puzzle, verdicts checked first."""

from __future__ import annotations

import gc
import json
import sys
from time import process_time
from typing import Any

from benchmarks.corpora import known_verdicts, lines
from benchmarks.measure import process
from benchmarks.peers import PEERS

SLOW = {"Z3 per puzzle": 12}
"""Puzzles for peers that take about a second for each."""


def measure(name: str, corpus: str, limit: int) -> dict[str, Any]:
    """Every puzzle once, after a warm-up on the puzzle that follows the last, in this process."""
    count = PEERS[name]()
    asked = lines(corpus)[:limit]
    count(lines(corpus)[limit])
    verdicts, each = "", []
    gc.collect()
    gc.disable()
    for line in asked:
        started = process_time()
        found = count(line)
        each.append(process_time() - started)
        verdicts += "num"[found]
    return {"verdicts": verdicts, "each": [round(seconds, 7) for seconds in each]}


def contest(corpus: str, limit: int, rounds: int) -> list[dict[str, Any]]:
    """Every peer in turn, round after round; the least time of each puzzle counts.

    Raises AssertionError if a peer gives another verdict than the known one.
    """
    best: dict[str, list[float]] = {}
    for _ in range(rounds):
        for name in PEERS:
            number = min(limit, SLOW.get(name, limit))
            program = "from benchmarks.contest import main; main()"
            finished = process("-c", program, name, corpus, str(number))
            if finished.returncode:
                raise RuntimeError(f"{name}: {finished.stderr.strip().splitlines()[-1]}")
            found = json.loads(finished.stdout.splitlines()[-1])
            if found["verdicts"] != known_verdicts(corpus)[:number]:
                raise AssertionError(f"{name} gives other verdicts on {corpus}")
            before = best.get(name, found["each"])
            best[name] = [min(pair) for pair in zip(before, found["each"], strict=True)]
    return [{"corpus": corpus, "peer": name, "each": each} for name, each in best.items()]


def main() -> None:
    """Measure what the arguments say and print it as JSON."""
    name, corpus, limit = sys.argv[1:]
    print(json.dumps(measure(name, corpus, int(limit))))
