"""Talk with words lost, doubled, swapped and unknown: no fault, and nothing true is called wrong."""

from __future__ import annotations

import random
from pathlib import Path

import pytest

from gridassay.verify import check, read_file
from gridassay.verify.listening.talk import audit_talk

PUZZLES = Path(__file__).parent / "narrations" / "puzzles"
TEXT = """
r1c3 r2c2 r4c1 r47c5 r99c1 two five nine 7 45 it neither both either so because and or not is isn't goes
lose low high even odd likewise nor same suppose if then the bulb tip circle whisper cage of from to
between least most one 3-5 plus minus + - = <> -> : ; , . ? ( ) box row 3 column same box rest only in out
at bigger than
"""


@pytest.mark.parametrize("seed", range(6))
def test_words_in_any_order_are_heard_without_a_fault(seed: int) -> None:
    rng = random.Random(seed)
    puzzle = read_file(PUZZLES / rng.choice(["whispering-gallery.toml", "ships-biscuit.toml"]))
    text = "\n".join(" ".join(rng.choices(TEXT.split(), k=rng.randint(1, 14))) for _ in range(25))
    for form in ("prose", "captions"):
        said = text if form == "prose" else f"WEBVTT\n\n00:01.000 --> 00:09.000\n{text}\n"
        for step in audit_talk(puzzle, said, form=form, budget=60).steps:
            assert step.result != "wrong" or step.means, step


UNKNOWN = ["frobs", "quickly bremmed", "snibbles the", "was never grobbed with", "vexes"]


@pytest.mark.parametrize("seed", range(4))
def test_a_true_statement_is_not_called_wrong_for_a_word_that_is_not_known(seed: int) -> None:
    """Every digit said is the one of the solution, or is denied where the solution has another."""
    rng = random.Random(seed)
    puzzle = read_file(PUZZLES / "whispering-gallery.toml")
    (truth, *_) = check(puzzle).solutions
    index = puzzle.canvas.index
    lines = []
    for _ in range(20):
        cell, other = rng.sample(list(puzzle.canvas.cells), 2)
        holds = {truth[index[cell]], truth[index[other]]}
        wrong = rng.choice([digit for digit in range(1, 10) if digit not in holds])
        said = rng.choice(
            [[f"{cell} is", f"{truth[index[cell]]}."], [f"{cell} isn't", f"{wrong}."]]
        )
        words = [said[0], *rng.choices(UNKNOWN, k=rng.randint(0, 2)), said[1]]
        words.append(rng.choice(["", f"It {rng.choice(UNKNOWN)} {other}.", "So there."]))
        if "isn't" in said[0]:
            words.append(f"Nor is {other}.")
        lines.append(" ".join(words))
    found = audit_talk(puzzle, "\n".join(lines), form="prose", budget=60)
    assert [step for step in found.steps if step.result == "wrong"] == []


def test_what_is_not_a_rule_of_the_board_may_be_spoken_of() -> None:
    """Letters are what a rule may rest on; a classic puzzle has none."""
    said = "The letters are not 4.\nIt is here that the letters cannot be 4.\n"
    assert audit_talk(read_file(PUZZLES / "harbour-lights.toml"), said, budget=60).steps == ()


@pytest.mark.parametrize(
    ("talk", "board"),
    [
        ("148-marlin.vtt", "jetty.toml"),
        ("240-boat-builder.txt", "rigging.txt"),
        ("249-lighthouse.srt", "whispering-gallery.toml"),
    ],
)
def test_a_talk_of_another_puzzle_is_heard_without_a_fault(talk: str, board: str) -> None:
    """Rows that a small grid lacks, letters that stand for nothing."""
    text = (PUZZLES.parent / talk).read_text("utf-8")
    assert audit_talk(read_file(PUZZLES / board), text, budget=60).steps


@pytest.mark.parametrize("form", ["prose", "captions"])
def test_words_for_rules_that_a_puzzle_lacks_are_words(form: str) -> None:
    said = "Three letters and the doublers came in the seven in row two."
    text = said if form == "prose" else f"WEBVTT\n\n00:01.000 --> 00:09.000\n{said}\n"
    found = audit_talk(read_file(PUZZLES / "rigging.txt"), text, form=form, budget=60)
    assert {step.result for step in found.steps} <= {"sound", "early", "unclear"}
