"""The claims heard, in the form of a steps file."""

from __future__ import annotations

from gridassay.encodings.grid import Canvas
from gridassay.verify.listening.heard import Heard
from gridassay.verify.solving.board.position import Candidate
from gridassay.verify.solving.board.step_reader import Because
from gridassay.verify.solving.board.steps import claim_text
from gridassay.verify.solving.techniques import SINGLES
from gridassay.verify.solving.techniques.names import techniques_meant

ONE_CELL = frozenset(SINGLES)


def steps_line(canvas: Canvas, heard: Heard) -> str:
    """A claim in the form of a steps file."""
    said = claim_text(
        canvas,
        [Candidate(*one) for one in heard.places],
        [Candidate(*one) for one in heard.removes],
    )
    because = because_of(heard)
    if because is None:
        return said
    names = techniques_meant(because.name)
    premises = [
        " ".join(map(str, because.cells)),
        *(f"digit {canvas.symbols[digit]}" for digit in because.digits),
        *because.houses,
        *because.rules,
    ]
    told = ", ".join(filter(None, premises))
    name = names[0] if len(names) == 1 else because.name
    return f"{said} because {name}" + (f": {told}" if told else "")


def because_of(heard: Heard) -> Because | None:
    """The reason given for a claim, as a step gives it."""
    name = heard.technique or ("rule alone" if heard.rules else "")
    if not name:
        return None
    if {*techniques_meant(name)} <= ONE_CELL:
        return Because(name, (), (), heard.houses)
    return Because(name, heard.cells, heard.digits, heard.houses, heard.rules[:1])
