"""A walkthrough in stages, as frames and as captions: what is said and shown, and for how long."""

from __future__ import annotations

import io
from pathlib import Path

import pytest
import webvtt
from PIL import Image

from gridassay.encodings.grid import Cell
from gridassay.verify import read, route
from gridassay.verify.draw.cues import captions_of, cues, seconds_of
from gridassay.verify.draw.frames import frames, write_frames
from gridassay.verify.draw.stills import stills, written_stills
from gridassay.verify.draw.view import PLAIN

from .pictures import EXAMPLES, puzzle_of

FOUR = read("1......2..3..4..")


def test_every_step_has_its_pattern_and_then_its_conclusion() -> None:
    found = route(FOUR)
    told = list(stills(found))
    assert len(told) == len(found.steps)
    for one, step in zip(told, found.steps, strict=True):
        seen, concluded = one.stages
        (place,) = step.places
        assert not seen.view.placed
        assert not seen.view.struck
        assert concluded.view.placed == {place.unknown: place.value}
        assert concluded.said == f"So {place.unknown} is {place.value}."
        # Both together say what the step says, word by word.
        words = f"{seen.said[:-1]}, s{concluded.said[1:]}"
        assert words.lower() == one.text.lower()


def test_a_story_is_told_link_by_link_on_the_board_that_is_supposed() -> None:
    steps = (
        "r1c2 not 4 because suppose r1c2 = 4:\n"
        "    r1c3 = 3 because naked single: r1c3\n"
        "    nothing for r1c4\n"
    )
    (told,) = written_stills(FOUR, steps)
    assert told.name == "story"
    assert told.stages[-1].view.struck == [(Cell(1, 2), 4)]
    found = route(puzzle_of(EXAMPLES / "boiler-room.toml"), most=25)
    told = next(one for one in stills(found) if one.name == "story")
    story = next(step.story for step in found.steps if step.story)
    ends = sum(bool(branch.ends) for branch in story.branches)
    assert len(told.stages) == len(story.branches) + story.length + ends + 1
    assert told.stages[0].said.startswith("Suppose")


def test_what_somebody_wrote_is_said_in_their_own_words() -> None:
    steps = (
        "r1c2 = 2 because naked single: r1c2  # look at row 1 & box 1, so it is 2\nr1c3 = 4\n?\n"
    )
    first, second = written_stills(FOUR, steps)
    assert [one.said for one in first.stages] == ["Look at row 1 & box 1.", "So it is 2."]
    assert [one.said for one in second.stages] == ["R1c3 = 4."] or second.stages[0].said
    # A step that is wrong leaves the board as it was.
    applied = [*written_stills(FOUR, "r1c2 = 2\nr1c3 = 4\n")][1].stages[-1].view
    left = [*written_stills(FOUR, "r1c2 = 2\nr1c3 = 4\n", {1})][1].stages[-1].view
    assert Cell(1, 2) in applied.digits
    assert Cell(1, 2) not in left.digits


def test_cues_last_as_long_as_they_take_to_say() -> None:
    long = "one " * 25
    assert seconds_of(long) == 10  # 25 words at 150 a minute
    assert seconds_of("so it is 2") == 2
    said = ["Short.", long.strip(), "1 < 2 & 3 > 2 -->"]
    found = webvtt.from_buffer(io.StringIO(cues(said)))
    times = [(one.start, one.end) for one in found]
    assert times == [
        ("00:00:00.000", "00:00:02.000"),
        ("00:00:02.000", "00:00:12.000"),
        ("00:00:12.000", "00:00:15.200"),
    ]
    assert found[2].raw_text == "1 &lt; 2 &amp; 3 &gt; 2 --&gt;"
    assert captions_of(stills(route(FOUR))).count("-->") == 2 * len(route(FOUR).steps)


@pytest.mark.parametrize("kind", ["png", "svg"])
def test_frames_are_of_one_size_and_have_a_cue_each(tmp_path: Path, kind: str) -> None:
    told = list(frames(FOUR, stills(route(FOUR, most=2))))
    assert told[0].view == PLAIN
    (tmp_path / f"009.{kind}").write_text("of an earlier walkthrough")
    count = write_frames(FOUR, told, tmp_path, kind=kind, dpi=60, clear=True)  # type: ignore[arg-type]
    names = sorted(path.name for path in tmp_path.iterdir())
    assert names == [*(f"{n:03d}.{kind}" for n in range(1, count + 1)), "cues.vtt"]
    assert len(webvtt.read(str(tmp_path / "cues.vtt"))) == count == 5
    if kind == "png":
        images = [Image.open(tmp_path / name) for name in names[:-1]]
        assert len({image.size for image in images}) == 1
        # Nothing below: the middle of an empty cell shows what it is laid over.
        assert all(image.mode == "RGBA" and image.getpixel((1, 1))[3] == 0 for image in images)
    else:
        assert all('<rect width="90"' not in (tmp_path / n).read_text() for n in names[:-1])


def test_a_step_about_a_layer_is_told_where_there_are_no_such_digits() -> None:
    cave = (
        'rows = 2\ncolumns = 3\ndigits = "none"\n[[layer]]\nname = "water"\nkind = "shading"\n'
        'values = ["deep", "shallow"]\ngivens = "d..s.d"\n'
        '[[rule]]\nkind = "connected"\nlayer = "water"\nvalue = "deep"\n'
        '[[rule]]\nkind = "count-in"\nlayer = "water"\nvalue = "deep"\ncells = "r1c3 r2c2"\ncount = 1\n'
        '[[rule]]\nkind = "no-square"\nlayer = "water"\nvalues = ["deep"]\n'
        '[[rule]]\nkind = "seen-of"\nlayer = "water"\nvalue = "deep"\ncell = "r1c1"\ncount = 3\n'
    )
    found = route(read(cave, "cave.toml"))
    assert found.solved
    assert any(len(step.places) == 1 and not step.removes for step in found.steps)
    told = list(stills(found))
    assert len(told) == len(found.steps)
    last = told[-1].stages[-1].view
    assert len(last.layers) == 6
    assert last.layers_new
    first = told[0].stages
    assert (
        set(first[-1].view.layers_new) == first[-1].view.layers.keys() - first[0].view.layers.keys()
    )
