"""How a cell sees others, in words: "r1c6 sees r1c7 in row 1 and r3c7 a knight's move away"."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from gridassay.verify.engines.questions import Switch
from gridassay.verify.solving.board.ideas import cell_names, premise_name, word_list
from gridassay.verify.solving.board.position import Layout
from gridassay.verify.solving.techniques.facts import every


def move_of(layout: Layout, switch: Switch) -> str:
    """The move that a rule keeps equal digits from being apart: ``a knight's move``; mostly none."""
    way = layout.sights.get(layout.premise_of(switch).name, "")
    return way if " " in way else ""


def way_said(layout: Layout, switch: Switch) -> str:
    """How cells see each other by a premise: ``in row 3``, ``on the rising diagonal``."""
    if move := move_of(layout, switch):
        return f"{move} away"
    premise = layout.premise_of(switch)
    name = premise_name(layout, switch)
    if premise.kind == "house":
        return f"in {name}"
    if len(premise.parts) > 1 and any(zone.switch == switch for zone in layout.zones):
        name = premise.parts[switch[1]].label if isinstance(switch, tuple) else name
    return f"{layout.sights.get(premise.name, 'by')} {name}"


def apart_said(layout: Layout, one: int, other: int) -> str:
    """Two cells that see each other: ``r1c1 and r2c3 are a knight's move apart``."""
    way = way_said(layout, layout.link(one, other))
    names = cell_names(layout, (one, other))
    if way.endswith(" away"):
        return f"{names} are {way.removesuffix('away')}apart"
    if way.startswith("by "):
        return f"{names} differ, {way}"
    return f"{names} are both {way}"


def sight_said(layout: Layout, cell: int, others: Sequence[int]) -> str:
    """Which cells a cell sees, and how: ``r1c6 sees r1c7 in row 1 and r3c7 a knight's move away``."""
    said = word_list(
        f"{cell_names(layout, seen)} {way}" for way, seen in _ways(layout, cell, others)
    )
    return f"{layout.cells[cell]} sees {said}"


def sights_said(layout: Layout, cells: Iterable[int], others: Sequence[int]) -> str:
    """Cells that see all of some others, which have just been named, with the way they do.

    ``r1c6 sees all three, r1c7 and r1c9 in row 1 and r3c7 a knight's move away``
    """
    alike: dict[str, list[int]] = {}
    for cell in cells:
        ways = _ways(layout, cell, others)
        said = word_list(f"{cell_names(layout, seen)} {way}" for way, seen in ways)
        how = f", {said}" if len(ways) > 1 else f" {ways[0][0]}"
        alike.setdefault(how, []).append(cell)
    whom = every(len(others)) if len(others) > 1 else cell_names(layout, others)
    return "; ".join(
        f"{cell_names(layout, several)} {'each see' if len(several) > 1 else 'sees'} {whom}{how}"
        for how, several in alike.items()
    )


def _ways(layout: Layout, cell: int, others: Iterable[int]) -> list[tuple[str, list[int]]]:
    """The ways in which a cell sees others, and which in each."""
    ways: dict[str, list[int]] = {}
    for other in others:
        ways.setdefault(way_said(layout, layout.link(cell, other)), []).append(other)
    return list(ways.items())
