"""Captions about Harbour Lights: claims over several cues, misheard numbers, cells pointed at.

The truth beside each is the puzzle's solution and its singles.
"""

from __future__ import annotations

from pathlib import Path

import pytest
import webvtt

from gridassay.encodings.lines import PuzzleError
from gridassay.verify import read_file
from gridassay.verify.listening.captions import write_cues
from gridassay.verify.listening.forms import form_of
from gridassay.verify.listening.talk import audit_talk

from ...cli.run import EXAMPLES, gridassay
from .cues import spoken_of

PUZZLE = read_file(EXAMPLES / "harbour-lights.toml")

TALK = [
    ("so let's start here in box two the only place", None),
    ("for the six is row one column six", ("00:00:00.000", "r1c6 = 6", "sound")),
    ("and then nine goes in row three column five", ("00:00:08.000", "r3c5 = 9", "sound")),
    ("so in box eight six has to go here in row seven", ("00:00:12.000", "r7c5 = 6", "sound")),
    ("and row nine column for is a seven", ("00:00:16.000", "r9c4 = 7", "sound")),
    ("what a lovely evening for it, and the tide is out", None),
    ("so row eight column one is nine and then", ("00:00:24.000", "r8c1 = 9", "sound")),
    ("so row nine column two is ate", ("00:00:28.000", "r9c2 = 8", "wrong")),
]


def captions(*, srt: bool = False) -> str:
    point = "," if srt else "."
    cues = [
        f"{number + 1}\n00:00:{4 * number:02}{point}000 --> 00:00:{4 * number + 3:02}{point}500\n{said}\n"
        for number, (said, _) in enumerate(TALK)
    ]
    return ("" if srt else "WEBVTT\n\n") + "\n".join(cues)


@pytest.mark.parametrize("srt", [False, True], ids=["WebVTT", "SRT"])
def test_captions_are_judged_at_the_time_of_their_first_cue(srt: bool) -> None:
    text = captions(srt=srt)
    assert form_of(text, PUZZLE) == "captions"
    told = [
        (step.time, (step.means or "").partition(" because ")[0], step.result)
        for step in audit_talk(PUZZLE, text).steps
    ]
    assert told == [truth for _, truth in TALK if truth]


def test_results_are_written_as_captions() -> None:
    found = audit_talk(PUZZLE, captions())
    cues = webvtt.WebVTT.from_string(write_cues(found.steps)).captions
    assert [cue.start for cue in cues] == [step.time for step in found.steps]
    assert cues[-1].text.startswith("wrong: r9c2 = 8")


@pytest.mark.parametrize("text", ["", "WEBVTT\n", "1\n00:00:01,000 --> nothing\nsix\n"])
def test_captions_that_cannot_be_read_say_so(text: str) -> None:
    with pytest.raises(PuzzleError, match="captions"):
        audit_talk(PUZZLE, text, form="captions")


def test_the_command_names_the_file_that_holds_no_captions(tmp_path: Path) -> None:
    talk = tmp_path / "talk.vtt"
    talk.write_text("WEBVTT\n")
    run = gridassay("audit", EXAMPLES / "harbour-lights.toml", talk)
    assert (run.code, run.err.strip()) == (2, f"gridassay: {talk}: there are no captions in it")


def test_the_command_writes_what_it_understood_and_when(tmp_path: Path) -> None:
    talk, steps, cues = (tmp_path / name for name in ("talk.vtt", "clean.steps", "results.vtt"))
    talk.write_text(captions())
    lights = EXAMPLES / "harbour-lights.toml"
    run = gridassay("audit", lights, talk, "--clean", steps, "--captions", cues)
    assert run.code == 1
    assert "00:00:28.000  wrong" in run.out
    assert cues.read_text().startswith("WEBVTT")
    assert gridassay("audit", lights, steps).code == 0


def test_a_digit_that_is_said_of_its_house_and_then_of_its_cell_is_said_once() -> None:
    said = ("six in box two", "row one column six is the six", "row one column six is six")
    assert spoken_of(PUZZLE, *said) == [
        ("r1c6 = 6", "sound"),
        ("r1c6 = 6", "idle"),
    ]


@pytest.mark.parametrize(
    "said",
    [
        "the nine in box two is in row two or row three",
        "in box two the six is in column five or in column six",
    ],
)
def test_a_digit_in_one_house_or_another_places_nothing(said: str) -> None:
    assert spoken_of(PUZZLE, said) == []
