"""Questions about a puzzle, answered by asking a compiled model.

The public face of the library: read a puzzle, ask about it, get a frozen result with ``to_json``.

>>> from gridassay.verify import check, read
>>> check(read("1..." "...2" "..3." ".4..")).status
'unique'

Every function here may be called from several threads at once, about the same puzzle or different ones:
an engine, and whatever else has a solver inside, belongs to the thread that made it. What is read and
what is answered is frozen and may be shared. A position, a catalogue and a clock are changed by their
use: let one thread at a time have them. Threads make nothing quicker, since solvers hold Python's global
lock while they work; processes do.

Every name is loaded when it is first used, so that a verdict does not wait for modules it has no use
for. The names and their places are written once, in ``__init__.pyi``, which editors and type checkers
read too. A function here must not be called what a module or package is, or that would hide it.
"""

from __future__ import annotations

import re
import sys
from importlib import import_module
from pathlib import Path
from typing import Any

from gridassay.encodings.puzzle import Puzzle
from gridassay.verify.in_short import InShort


def _places() -> dict[str, tuple[str, str]]:
    """Each public name with its module and its name there, read from the stub."""
    stub = Path(__file__).with_suffix(".pyi").read_text(encoding="utf-8")
    return {
        shown: (module, name)
        for module, names in re.findall(r"^from (\S+) import ([^(\n]+|\([^)]+\))$", stub, re.M)
        for name, shown in re.findall(r"(\w+) as (\w+)", names)
    }


_PLACES = _places()

__all__ = sorted(_PLACES)


def __getattr__(name: str) -> Any:
    if name == "__version__":
        from importlib.metadata import version

        return version("gridassay")
    if name not in _PLACES:
        raise AttributeError(
            f"module {__name__!r} has no attribute {name!r}", name=name, obj=sys.modules[__name__]
        )
    module, there = _PLACES[name]
    found = globals()[name] = getattr(import_module(module), there)
    return found


def __dir__() -> list[str]:
    return [*__all__, "__version__"]


def _svg(puzzle: Puzzle) -> str:
    from gridassay.verify.draw.scene import picture
    from gridassay.verify.draw.svg import svg

    return svg(picture(puzzle))


def _html(result: InShort) -> str:
    from gridassay.verify.notebook import html

    return html(result)


Puzzle.drawn_by = _svg
InShort.notebook = _html
