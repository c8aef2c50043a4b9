"""Random rules over layers, more often than not true of a world."""

from __future__ import annotations

import random
from typing import Any

from .layer_readings import FORMULAS, Cell, Table, World, holds, stretches

NAMES = {"shading": "water", "regions": "parishes", "border-loop": "fence"}
"""What the layer of a kind is called; any other is the cruise."""


def ref(cell: Cell) -> str:
    """A cell as it is written."""
    return f"r{cell[0]}c{cell[1]}"


def rules_over(
    kind: str,
    rows: int,
    columns: int,
    digits: bool,
    ends: str,
    dice: random.Random,
    worlds: list[World],
) -> list[Table]:
    """Some rules over the layer, more often than not true of one of its worlds."""
    if not worlds:
        return []
    chosen, tables = dice.choice(worlds), []
    for _ in range(dice.randint(1, 3)):
        for _ in range(6):
            table = _rule(kind, rows, columns, digits, ends, dice, chosen)
            if table and (holds(table, chosen) or dice.random() < 0.1):
                tables.append(table)
                break
    return tables


def _rule(
    kind: str,
    rows: int,
    columns: int,
    digits: bool,
    ends: str,
    dice: random.Random,
    chosen: World,
) -> Table | None:
    cells = [ref(cell) for cell in chosen.cells]

    def some(least: int, most: int) -> str:
        return " ".join(dice.sample(cells, dice.randint(least, min(most, len(cells)))))

    def amount(most: int) -> Any:
        low = dice.randint(0, most)
        options: list[Any] = [low, [low, dice.randint(low, most)]]
        return dice.choice([*options, f"digit of {dice.choice(cells)}"] if digits else options)

    def flag(name: str) -> Table:
        return {name: dice.random() < 0.5}

    def sizes_that_fit() -> list[int]:
        sizes = [dice.randint(1, 3) for _ in range(dice.randint(0, 2))]
        # More than the canvas has is refused, and rightly.
        return sizes if sum(sizes) <= len(cells) else sizes[:1]

    own: Table = {"layer": NAMES.get(kind, "cruise")}
    if kind == "shading":
        own["value"] = dice.choice(("deep", "shallow"))
        made: dict[str, Table] = {
            "connected": flag("empty"),
            "to-the-edge": {},
            "groups": (
                {"sizes": sizes_that_fit()} if dice.random() < 0.5 else {"count": amount(3)}
            ),
            "apart": {"touching": dice.choice(("side", "diagonal", "any"))},
            "count-in": {"cells": some(1, 6), "count": amount(3)},
            "seen-of": {"cell": dice.choice(cells), "count": amount(5)},
        }
        if digits:
            made["digits-of"] = {"digits": [dice.choice(_digits(chosen))], **flag("only")}
        listed = some(1, 2)
        sizes: Any = [dice.choice([1, 2, 3, "any"]) for _ in listed.split()]
        if digits and dice.random() < 0.5:
            sizes = "digit"
        made["group-size"] = {"cells": listed, "sizes": sizes, **flag("all")}
        name = dice.choice([*made, "no-square", "same-along"])
        if name == "same-along":
            return {"kind": name, "layer": "water", "cells": some(2, 3), **flag("same")}
        if name == "no-square":
            values = {"values": [own["value"]]} if dice.random() < 0.5 else {}
            return {"kind": name, "layer": "water", **values}
        return {"kind": name, **own, **made[name]}
    if kind == "border-loop":
        if dice.random() < 0.5:
            return {
                "kind": "inside",
                **own,
                "cells": some(1, 2),
                "side": dice.choice(("in", "out")),
            }
        return {"kind": "sides-on-it", **own, "cell": dice.choice(cells), "count": amount(4)}
    if kind == "regions":
        options = ["one-region", "shapes"]
        options += ["region-digit", "region-total", "region-sum"] if digits else []
        name = dice.choice(options)
        if name == "one-region":
            return {"kind": name, **own, "cells": some(2, 3), **flag("together")}
        if name == "shapes":
            shapes = dice.sample(["##/#.", "##", "#", "###", "##/##", "###/#..", ".##/##."], 3)
            once = len(cells) == 6 and dice.random() < 0.4
            if once:
                shapes = dice.choice((["##/#.", "##/#."], ["##", "##", "##"], ["###/#..", "##"]))
            times = "once" if once else "any"
            more = flag("turn") | flag("flip")
            return {"kind": name, **own, "shapes": shapes, "times": times} | more
        if name == "region-total":
            total = dice.randint(1, 6)
            place = {"cell": dice.choice(cells)} if dice.random() < 0.6 else {}
            return {"kind": name, **own, **place, "total": total}
        if name == "region-sum":
            return {"kind": name, **own, "cells": _run(chosen, dice)}
        return {"kind": name, **own}
    options = [
        "on-it",
        "turns",
        "straight",
        "counts-on-it",
        *(["inside"] if kind == "loop" else []),
    ]
    options += ["along", "stretch-total"] if digits else []
    name = dice.choice(options)
    if name == "along":
        formula = dice.choice([one for one in FORMULAS if ends or "<" not in one])
        return {"kind": name, **own, "formula": formula, "from": ends.partition(" ")[0]}
    if name == "stretch-total":
        runs = stretches(chosen)
        total = sum(chosen.digits[c] for c in dice.choice(runs)) if runs else 3
        return {"kind": name, **own, "total": dice.choice((total, "equal"))}
    if name == "counts-on-it":
        return {"kind": name, **own, "cells": some(1, 4), "count": amount(4)}
    if name == "on-it":
        return {"kind": name, **own, "cells": some(1, 3), **flag("on")}
    if name == "inside":
        return {"kind": name, **own, "cells": some(1, 1), "side": dice.choice(("in", "out"))}
    return {"kind": name, **own, "cells": some(1, 2)}


def _digits(world: World) -> list[int]:
    return sorted(set(world.digits.values()))


def _run(world: World, dice: random.Random) -> str:
    """A line from neighbour to neighbour, corners too."""
    line = [dice.choice(world.cells)]
    while len(line) < 4:
        r, c = line[-1]
        near = [(r + i, c + j) for i in (-1, 0, 1) for j in (-1, 0, 1)]
        free = [cell for cell in near if cell in world.cells and cell not in line]
        if not free:
            break
        line.append(dice.choice(free))
    return " ".join(map(ref, line))
