"""The profile of a route as a chart: how much each step rests on, in bars, black on white.

One bar per step, as high as the number of premises of its reason. The crux is black; a
dot below marks a step without an alternative.
"""

from __future__ import annotations

from collections.abc import Collection

from gridassay.verify.draw.marks import Box, Disc, Lines, Mark, Stroke, Text
from gridassay.verify.draw.style import LIGHT
from gridassay.verify.solving.results import Route

_HIGH, _WIDEST = 16.0, 3.0
_SIZE = 2.6
_GREY = "#bdbdbd"


def route_chart(found: Route, only: Collection[int], width: float) -> tuple[list[Mark], float]:
    """The marks of the chart, at most this wide, its top left corner at 0, and its height in mm.

    ``only`` holds the indexes of the steps without an alternative.
    """
    sizes = [sum(step.size) for step in found.steps]
    most = max(sizes)
    left = 7.0
    pitch = min(_WIDEST, (width - left) / len(sizes))
    hair = Stroke(LIGHT.quiet, 0.15)
    end = left + pitch * len(sizes)
    marks: list[Mark] = [
        Lines((((left, _HIGH), (end, _HIGH)),), hair),
        Text(left - 1.5, 0.7 * _SIZE, str(most), _SIZE, LIGHT.quiet, False, "end"),
        Text(left - 1.5, _HIGH, "0", _SIZE, LIGHT.quiet, False, "end"),
    ]
    for number, size in enumerate(sizes):
        high = _HIGH * size / most
        crux = number == found.crux
        marks.append(
            Box(
                left + pitch * (number + 0.12),
                _HIGH - high,
                0.76 * pitch,
                high,
                fill=LIGHT.ink if crux else _GREY,
                role="crux" if crux else "step",
            )
        )
        if number in only:
            at = left + pitch * (number + 0.5)
            marks.append(Disc(at, _HIGH + 1.3, 0.4, fill=LIGHT.ink, role="narrow"))
    told = "Number of premises that each step rests on"
    told += "" if found.crux is None else "; the crux is black"
    told += ", a dot marks a step without an alternative." if only else "."
    marks.append(Text(left, _HIGH + 5.2, told, _SIZE, LIGHT.quiet, False, "start", role="words"))
    return marks, _HIGH + 6
