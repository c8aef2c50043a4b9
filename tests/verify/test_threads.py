"""Threads: what several are told at once is what one is told, and nothing ends the process."""

from __future__ import annotations

import random
from collections.abc import Callable, Mapping
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from threading import Thread
from typing import Any

import pytest

from gridassay import verify
from gridassay.encodings.puzzle import Puzzle
from gridassay.verify import read
from gridassay.verify.batch.run import run_batch
from gridassay.verify.draw.pdf import pdf
from gridassay.verify.draw.raster import png
from gridassay.verify.engines import forget_engines, sat_engine_for
from gridassay.verify.solving.rule_meaning.fillings import fillings_of

from .minimal import CLOCK

THREADS = 8
LONG = 300.0
"""Seconds: eight threads wait for one another, and no answer is to depend on that."""

SMALL = ["1....4....4...23", "1...............", "12..34..........", "11.............."]
NINE = [
    "53..7....6..195....98....6.8...6...34..8.3..17...2...6.6....28....419..5....8..79",
    "..3.2.6..9..3.5..1..18.64....81.29..7.......8..67.82....26.95..8..2.3..9..5.1.3..",
]
RULED = """
size = 4
givens = "1... .... .... ...."
[[rule]]
kind = "palindrome"
cells = "r1c2 r2c3 r3c4"
[[rule]]
kind = "cage"
cells = "r3c1 r3c2 r4c1"
sum = {}
[[rule]]
kind = "thermometer"
cells = "r4c2 r4c3"
"""
PUZZLES = [read(text) for text in (*SMALL, *NINE, RULED.format(8), RULED.format(7))]

Question = Callable[[Puzzle], Any]
QUESTIONS: Mapping[str, Question] = {
    # By the engine that is the same each time: "any" may show another two of several solutions.
    "check": lambda puzzle: verify.check(puzzle, engine="sat", budget=LONG),
    "explain": lambda puzzle: verify.explain(
        verify.check(puzzle, engine="sat", budget=LONG), budget=LONG
    ),
    "clues": lambda puzzle: verify.clues(puzzle, budget=LONG),
    "route": lambda puzzle: verify.route(puzzle, budget=LONG),
    "symmetries": lambda puzzle: verify.symmetries(puzzle, budget=LONG),
    "export": lambda puzzle: verify.export(puzzle, budget=LONG),
}


def told(question: str, puzzle: Puzzle) -> Any:
    """The answer of engines that remember nothing: what they learnt decides between right ones."""
    forget_engines()
    answer = without_seconds(QUESTIONS[question](puzzle).to_json())
    if "solutions" in answer and answer["verdict"] == "multiple":
        # Which of several solutions are shown may depend on how the solver's time was cut.
        kept = ("verdict", "differs_fewest", "solution_count", "possible")
        return {key: answer[key] for key in kept if key in answer}
    return answer


def without_seconds(told: Any) -> Any:
    if isinstance(told, dict):
        return {key: without_seconds(value) for key, value in told.items() if key != "seconds"}
    return [without_seconds(one) for one in told] if isinstance(told, list | tuple) else told


def test_eight_threads_are_told_what_one_is_told() -> None:
    """All kinds of questions about puzzles that the threads share, hundreds of them, mixed."""
    cases = [(question, puzzle) for question in QUESTIONS for puzzle in PUZZLES]
    alone = [told(*case) for case in cases]
    asked = list(range(len(cases))) * 6
    random.Random(16).shuffle(asked)
    with ThreadPoolExecutor(THREADS) as threads:
        answers = list(threads.map(lambda number: told(*cases[number]), asked))
    assert len(answers) > 200
    for number, answer in zip(asked, answers, strict=True):
        assert answer == alone[number], cases[number][0]


def test_grids_without_rules_are_checked_at_once() -> None:
    """These share a compiled canvas: an engine shared with it ended the process."""
    lines = [NINE[0].replace(digit, ".") for digit in "123456789"]
    alone = [verify.check(read(line), budget=LONG).status for line in lines]
    with ThreadPoolExecutor(THREADS) as threads:
        found = list(threads.map(lambda line: verify.check(read(line), budget=LONG), lines * 30))
    assert [verdict.status for verdict in found] == alone * 30


def test_a_batch_by_threads_is_a_batch_by_one(tmp_path: Path) -> None:
    lines = tmp_path / "harbour.txt"
    lines.write_text("\n".join(NINE * 12) + "\n", encoding="utf-8")
    folder = tmp_path / "more"
    folder.mkdir()
    for number in range(12):
        (folder / f"{number:02}.toml").write_text(RULED.format(number), encoding="utf-8")
    files = [str(lines), *map(str, sorted(folder.glob("*.toml")))]
    run_batch(files, tmp_path / "alone.jsonl")
    with ThreadPoolExecutor(THREADS) as threads:
        run_batch(files, tmp_path / "threads.jsonl", executor=threads)
    alone, by_threads = (
        [line.split('"seconds"')[0] for line in out.read_text(encoding="utf-8").splitlines()]
        for out in (tmp_path / "alone.jsonl", tmp_path / "threads.jsonl")
    )
    assert by_threads == alone


@pytest.mark.parametrize("keeper", [lambda puzzle: sat_engine_for(puzzle, CLOCK), "fillings"])
def test_what_has_a_solver_inside_is_not_shared(keeper: Any) -> None:
    puzzle = read(RULED.format(8))
    if keeper == "fillings":
        layout = verify.Position.start(puzzle).layout
        keeper = lambda puzzle: fillings_of(layout)  # noqa: E731
    elsewhere = []
    thread = Thread(target=lambda: elsewhere.append(keeper(puzzle)))
    thread.start()
    thread.join()
    assert keeper(puzzle) is keeper(puzzle)
    assert keeper(puzzle) is not elsewhere[0]


def test_pictures_are_drawn_at_once() -> None:
    pictures = [verify.picture(puzzle) for puzzle in PUZZLES]
    alone = [(pdf([picture]), png(picture, dpi=40)) for picture in pictures]
    with ThreadPoolExecutor(THREADS) as threads:
        found = list(threads.map(lambda one: (pdf([one]), png(one, dpi=40)), pictures * 5))
    assert found == alone * 5
