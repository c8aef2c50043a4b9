"""A walkthrough as a numbered sequence of pictures, and the words for each.

The puzzle comes first, then every stage of every step, and last the board at the end. All frames
have the same size, with the board in the same place.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import replace
from pathlib import Path
from typing import Literal

from gridassay.encodings.puzzle import Puzzle
from gridassay.verify.draw.cues import cues
from gridassay.verify.draw.marks import Picture
from gridassay.verify.draw.scene import picture, with_margin
from gridassay.verify.draw.stills import Still, ToldStep
from gridassay.verify.draw.style import LIGHT, Style
from gridassay.verify.draw.view import PLAIN, View
from gridassay.verify.saving import save

Format = Literal["png", "svg"]
CUES = "cues.vtt"


def frames(puzzle: Puzzle, steps: Iterable[ToldStep], end: View = PLAIN) -> Iterator[Still]:
    """Pictures and words, frame by frame; ``end`` is the board at the end."""
    yield Still(f"{puzzle.title or 'The puzzle'}.", PLAIN)
    for step in steps:
        yield from step.stages
    if end != PLAIN:
        yield Still("The board at the end.", end)


def frame(
    puzzle: Puzzle, view: View, *, width: float, style: Style = LIGHT, clear: bool = False
) -> Picture:
    """The board alone with its rows and columns numbered; ``clear`` leaves out the paper below it."""
    plain = replace(view, caption="")
    drawn = picture(
        puzzle, plain, width=width, style=style, heading=False, legend=False, numbered=True
    )
    return replace(with_margin(drawn), clear=clear)


def write_frames(
    puzzle: Puzzle,
    stills: Iterable[Still],
    folder: Path,
    *,
    kind: Format = "png",
    width: float = 90,
    dpi: float = 300,
    style: Style = LIGHT,
    clear: bool = False,
    step: Callable[[], None] = lambda: None,
) -> int:
    """Write ``001.png`` and so on with ``cues.vtt`` to a folder; return the number of frames.

    ``step`` is called after each. Frames that an earlier walkthrough left there are deleted. Raises
    OSError if something cannot be written, and ValueError for a font file that cannot be used.
    """
    folder.mkdir(parents=True, exist_ok=True)
    said = []
    for number, still in enumerate(stills, start=1):
        drawn = frame(puzzle, still.view, width=width, style=style, clear=clear)
        save(folder / f"{number:03d}.{kind}", _to_bytes(drawn, kind, dpi))
        said.append(still.said)
        step()
    save(folder / CUES, cues(said))
    for old in folder.iterdir():
        stem, dot, ending = old.name.partition(".")
        if dot and ending in ("png", "svg") and stem.isdecimal() and len(stem) >= 3:
            if ending == kind and int(stem) <= len(said):
                continue
            old.unlink()
    return len(said)


def _to_bytes(drawn: Picture, kind: Format, dpi: float) -> bytes | str:
    if kind == "svg":
        from gridassay.verify.draw.svg import svg

        return svg(drawn) + "\n"
    from gridassay.verify.draw.raster import png

    return png(drawn, dpi=dpi)
