"""Stories in steps files: a head that supposes something, and a block of lines below it.

::

    story  = "suppose" claim ":" BLOCK( {link} end )  |  "either" about ":" BLOCK( branch{2,3} )
    branch = "if" claim ":" BLOCK( {link} ( conclusion | end ) )
    link   = claims "because" why
    end    = "nothing for" ( CELL | "digit" symbol "," HOUSE | "letter" LETTER | "doubler" CELL | RULE )
    BLOCK  = lines deeper than the head, all alike, spaces only

``suppose X = 3 5`` means one of these, and concludes ``X not 3 5``; so does ``suppose X Y = 3``,
which concludes ``X Y not 3``. ``suppose X not 3`` concludes ``X = 3``. A link that cannot be read
has its own trouble; if the block itself is damaged, all of it is one step that cannot be read.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from gridassay.verify.solving.board.step_reader import (
    About,
    FileLine,
    Said,
    StepReader,
    Unreadable,
    WrittenBranch,
    WrittenStep,
    WrittenStory,
)
from gridassay.verify.solving.board.supposed import can_be_supposed

_HEAD = re.compile(r"(.*?)\bbecause\s+(suppose|either)\b(.*)", re.IGNORECASE)
_IF = re.compile(r"if\b(.*)", re.IGNORECASE)
_END = re.compile(r"nothing\s+for\b(.*)", re.IGNORECASE)


def tells_story(text: str) -> bool:
    """Whether a line is the head of a story."""
    return _HEAD.fullmatch(text) is not None


def block_below(head: FileLine, lines: Sequence[FileLine]) -> Sequence[FileLine]:
    """The lines below a head that are deeper than it; a line with a tab belongs to it as well."""
    count = 0
    while count < len(lines) and (lines[count].depth > head.depth or lines[count].tab):
        count += 1
    return lines[:count]


def read_story(reader: StepReader, head: FileLine, block: Sequence[FileLine]) -> WrittenStep:
    """A story with all its lines. Raises Unreadable or GridError if its block is damaged."""
    found = _HEAD.fullmatch(head.text)
    assert found
    claims, form, rest = found[1], found[2].casefold(), found[3].strip()
    if not rest.endswith(":"):
        raise Unreadable("a story's head ends in a colon")
    if not block:
        raise Unreadable("there is nothing below the head of this story")
    if any(line.tab for line in (head, *block)):
        raise Unreadable("indent the lines of a story with spaces, not tabs")
    places, removes = reader.claims(claims)
    said = rest[:-1].strip()
    if form == "suppose":
        branch = _branch(reader, head, reader.claim(said), block, ends=True)
        story = WrittenStory("suppose", (replace(branch, text=said),))
    else:
        story = WrittenStory("either", tuple(_branches(reader, block)), reader.about(said))
    return WrittenStep(head.number, head.text, places, removes, story=story)


def _branches(reader: StepReader, block: Sequence[FileLine]) -> list[WrittenBranch]:
    heads = [place for place, line in enumerate(block) if line.depth == block[0].depth]
    if any(line.depth < block[0].depth for line in block):
        raise Unreadable("the branches of this story are not indented alike")
    branches = []
    for place, until in zip(heads, [*heads[1:], len(block)], strict=True):
        line = block[place]
        found = _IF.fullmatch(line.text)
        if not found or not found[1].rstrip().endswith(":"):
            raise Unreadable(f"line {line.number}: a branch begins with if and ends in a colon")
        said = reader.claim(found[1].strip()[:-1].strip())
        branches.append(_branch(reader, line, said, block[place + 1 : until], ends=False))
    if not 2 <= len(branches) <= 3:
        raise Unreadable("an either has two or three branches")
    return branches


def _branch(
    reader: StepReader, head: FileLine, said: Said, block: Sequence[FileLine], *, ends: bool
) -> WrittenBranch:
    """The links of a block and its end; with ``ends`` it must end in ``nothing for``."""
    if not block:
        raise Unreadable(f"line {head.number}: there is nothing below it")
    if any(line.depth != block[0].depth for line in block):
        raise Unreadable("the lines of this story are not indented alike")
    marks = reader.layout.marks(said.candidates)
    several = len({unknown for unknown, _ in marks}) > 1
    if not can_be_supposed(reader.layout, marks) or (several and not said.positive):
        raise Unreadable(f"line {head.number}: one thing is supposed, not several")
    links: list[WrittenStep] = []
    end: About | None = None
    end_line = 0
    for line in block:
        if end is not None:
            raise Unreadable(f"line {line.number}: nothing stands after the end of a branch")
        found = _END.fullmatch(line.text)
        if found:
            end, end_line = reader.about(found[1].strip()), line.number
        else:
            links.append(_link(reader, line))
    if end is None and ends:
        raise Unreadable("this story has no end: its last line begins with 'nothing for'")
    return WrittenBranch(
        head.number, head.text, said.candidates, said.positive, tuple(links), end, end_line
    )


def _link(reader: StepReader, line: FileLine) -> WrittenStep:
    if tells_story(line.text):
        return WrittenStep(line.number, line.text, trouble="there is no story inside a story")
    link = reader.step(line)
    if not link.trouble and link.because is None:
        return replace(link, trouble="a link of a story says why it holds")
    return link
