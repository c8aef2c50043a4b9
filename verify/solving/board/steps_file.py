"""Reading steps files.

One step per line: ``r3c2 = 4`` places, ``r3c2 not 4 6`` strikes, ``;`` joins several; ``A = 12``,
``A not 3, 5`` and ``doubler r1c4 = yes`` are about letters and doublers. Then, if the step says
why, ``because NAME: PREMISE, PREMISE, …``; a premise is cells (``r1c2 r5c2``), ``digit 4``, a house
(``row 6``), a rule (its id, or kind and cells), ``letter A`` or ``doubler r1c4``. ``#`` after a
space begins a comment.

A story takes several lines, which are indented deeper than its head (``story_reader.py``)::

    r4c7 not 3 because suppose r4c7 = 3:
        r4c8 = 2 because rule alone: quay
        nothing for digit 2, column 9
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from gridassay.encodings.grid import GridError
from gridassay.encodings.puzzle import Puzzle
from gridassay.verify.budget import looking_at_arguments
from gridassay.verify.solving.board.position import layout_of
from gridassay.verify.solving.board.step_reader import FileLine, StepReader, Unreadable, WrittenStep
from gridassay.verify.solving.board.story_reader import block_below, read_story, tells_story


@looking_at_arguments
def read_steps(text: str, puzzle: Puzzle) -> Iterator[WrittenStep]:
    """Read a steps file. A step that cannot be read is returned with its trouble, in its place."""
    reader = StepReader(layout_of(puzzle))
    lines = list(_lines(text))
    place = 0
    while place < len(lines):
        line = lines[place]
        place += 1
        if not tells_story(line.text):
            yield reader.step(line)
            continue
        block = block_below(line, lines[place:])
        place += len(block)
        try:
            yield read_story(reader, line, block)
        except (Unreadable, GridError) as error:
            yield WrittenStep(line.number, line.text, trouble=str(error))


def _lines(text: str) -> Iterator[FileLine]:
    for number, raw in enumerate(text.splitlines(), start=1):
        said = re.sub(r"(^|\s)#.*", "", raw).rstrip()
        if said.strip():
            before = said[: len(said) - len(said.lstrip())]
            yield FileLine(number, len(before), said.strip(), "\t" in before)
