"""Random small puzzles with layers, and what gridassay says of them against brute force.

Every filling of a small board is looked through with readings that share no code with gridassay
(``layer_readings.py``): which hold is compared with the verdict, its solutions, their number, what is
possible, and what would mend it.
"""

from __future__ import annotations

import random
from collections.abc import Iterator
from functools import cache
from itertools import product
from typing import Any

import gridassay.verify as ga

from .counted_cells import counting, rule_over
from .failures import Failure, Found
from .layer_readings import (
    FORMULAS,
    Cell,
    Pair,
    Table,
    World,
    beside,
    holds,
    pieces,
    stretches,
    written,
)

BUDGET = 60.0
FAMILIES = ("shading", "shading", "loop", "path", "border-loop", "regions", "regions", "two")
NAMES = {"shading": "water", "regions": "parishes", "border-loop": "fence"}


def one(seed: int) -> Found:
    """The puzzle of a seed, compared."""
    text, name, worlds = _puzzle(random.Random(seed))
    checks = 0
    try:
        for what, right, said in _compared(text, name, worlds, random.Random(seed + 1)):
            checks += 1
            if not right:
                return Found(checks, Failure("layers", seed, f"{what}: {said}", text, "toml"))
    except Exception as error:  # whatever it is, it is what is looked for
        fault = f"fault: {type(error).__name__}: {error}"
        return Found(checks + 1, Failure("layers", seed, fault, text, "toml"))
    return Found(checks)


def _compared(
    text: str, names: list[str], worlds: list[World], dice: random.Random
) -> Iterator[tuple[str, bool, str]]:
    puzzle = ga.read(text, "attack.toml")
    engine = dice.choice(("auto", "auto", "auto", "cp")) if len(worlds) < 50 else "auto"
    verdict = (
        ga.check(puzzle, budget=BUDGET)
        if engine == "auto"
        else ga.check(puzzle, engine="cp", budget=BUDGET)
    )
    wanted = ("none", "unique", "multiple")[min(2, len(worlds))]
    yield "verdict", verdict.status == wanted, f"{verdict.status}, and it is {wanted}"
    told = [_shown(world, names) for world in worlds]
    given = [
        (puzzle.line(solution) if puzzle.canvas.digits else "", puzzle.layers_shown(solution))
        for solution in verdict.solutions
    ]
    right = all(found in told for found in given) and len(given) == min(2, len(worlds))
    yield "solutions", right and (len(given) < 2 or given[0] != given[1]), str(given)
    for world in dice.sample(worlds, min(2, len(worlds))):
        line, layers = _shown(world, names)
        answer = " ".join(
            filter(None, [line, *(f"{n}={t.replace(' ', ',')}" for n, t in layers.items())])
        )
        said = ga.answer(puzzle, answer, budget=BUDGET).result
        good = "solution" if len(worlds) == 1 else "second solution"
        yield "answer", said == good, f"{answer} is {said}, and it is {good}"
    if wanted == "multiple":
        said = ga.explain(verdict, budget=BUDGET).to_json()
        count = said["solution_count"]
        exact = count["count"] == len(worlds) if count["exact"] else count["count"] <= len(worlds)
        yield "count", exact, f"{count}, and it is {len(worlds)}"
        if said["repair"]:
            yield "repair", said["repair_solution"] is not None, str(said["repair"])


def _shown(world: World, names: list[str]) -> tuple[str, dict[str, str]]:
    """A world as results show it: its digits in a line, each layer by its name."""
    cells = world.cells
    line = "".join(str(world.digits[cell]) for cell in cells) if world.digits else ""
    layers = {}
    for name in names:
        if name == "water":
            layers[name] = "".join(world.shades[cell][0] for cell in cells)
        elif name == "parishes":
            order = list(dict.fromkeys(world.region[cell] for cell in cells))
            layers[name] = "".join("abcdefghi"[order.index(world.region[cell])] for cell in cells)
        elif name == "cruise":
            pairs = sorted(tuple(sorted(pair)) for pair in world.line)
            layers[name] = " ".join(f"{_ref(a)}-{_ref(b)}" for a, b in pairs)
        else:
            layers[name] = " ".join(_sides_written(world))
    return line, layers


def _sides_written(world: World) -> Iterator[str]:
    """The sides that are on, by their cells and in the order top, left, right, bottom."""
    done: set[Pair] = set()
    for r, c in world.cells:
        corners = {
            "top": ((r, c), (r, c + 1), (r - 1, c)),
            "left": ((r, c), (r + 1, c), (r, c - 1)),
            "right": ((r, c + 1), (r + 1, c + 1), (r, c + 1)),
            "bottom": ((r + 1, c), (r + 1, c + 1), (r + 1, c)),
        }
        for side, (one, other, beyond) in corners.items():
            pair = frozenset((one, other))
            if pair in done:
                continue
            done.add(pair)
            if pair in world.sides:
                there = beyond in world.cells
                yield f"{_ref((r, c))}|{_ref(beyond) if there else side}"


def _ref(cell: Cell) -> str:
    return f"r{cell[0]}c{cell[1]}"


@cache
def _lines(rows: int, columns: int, closed: bool) -> tuple[frozenset[Pair], ...]:
    """Every loop, or every path, through cells of a small board."""
    cells = World(rows, columns).cells
    pairs = [frozenset((a, b)) for a in cells for b in cells if a < b and beside(a, b)]
    found = []
    for bits in product((0, 1), repeat=len(pairs)):
        line = frozenset(pair for pair, bit in zip(pairs, bits, strict=True) if bit)
        degree = [sum(cell in pair for pair in line) for cell in cells]
        ends = degree.count(1)
        if line and max(degree) <= 2 and ends == (0 if closed else 2):
            on = [cell for cell in cells if any(cell in pair for pair in line)]
            if len(pieces(on, lambda a, b, line=line: frozenset((a, b)) in line)) == 1:  # type: ignore[misc]
                found.append(line)
    return tuple(found)


@cache
def _fences(rows: int, columns: int) -> tuple[frozenset[Pair], ...]:
    """Every border loop: a loop through the corners of the grid."""
    return _lines(rows + 1, columns + 1, True)


@cache
def _partitions(rows: int, columns: int) -> tuple[tuple[int, ...], ...]:
    """Every partition into connected regions, each cell's region by its number."""
    cells = World(rows, columns).cells
    found = set()

    def grow(labels: tuple[int, ...]) -> None:
        if len(labels) == len(cells):
            regions = [
                [c for c, n in zip(cells, labels, strict=True) if n == one] for one in set(labels)
            ]
            if all(len(pieces(region, beside)) == 1 for region in regions):
                found.add(labels)
            return
        for label in range(max(labels, default=-1) + 2):
            grow((*labels, label))

    grow(())
    return tuple(sorted(found))


def _puzzle(dice: random.Random) -> tuple[str, list[str], list[World]]:
    """A puzzle, the names of its layers, and its solutions."""
    family = dice.choice(FAMILIES)
    digits = dice.random() < 0.45 and family != "border-loop"
    kinds = (
        ["shading", dice.choice(("loop", "path", "border-loop"))] if family == "two" else [family]
    )
    rows, columns = (2, 2) if digits and len(kinds) > 1 else (2, 3)
    if not digits and "loop" in kinds and len(kinds) == 1:
        rows, columns = 3, 3
    if not digits and kinds == ["shading"]:
        rows, columns = dice.choice(((2, 3), (3, 3), (2, 4)))
    if "border-loop" in kinds:
        rows, columns = 2, 2
    values = dice.choice(([1, 2], [1, 2], [0, 1], [2, 3])) if digits else []
    head = f"rows = {rows}\ncolumns = {columns}\n"
    head += f'houses = "none"\ndigits = {values}\n' if digits else 'digits = "none"\n'
    worlds = [World(rows, columns)]
    if digits:
        cells = worlds[0].cells
        fillings = list(product(values, repeat=len(cells)))
        worlds = [
            World(rows, columns, dict(zip(cells, filling, strict=True))) for filling in fillings
        ]
        given = {cell: dice.choice(values) for cell in cells if dice.random() < 0.5}
        drawn = "".join(str(given.get(cell, ".")) for cell in cells)
        head += f'givens = "{drawn}"\n'
        worlds = [w for w in worlds if all(w.digits[c] == d for c, d in given.items())]
    names = []
    tables: list[Table] = []
    for kind in kinds:
        names.append(NAMES.get(kind, "cruise"))
        layer, worlds, ends = _layer(kind, worlds, dice)
        head += layer
        tables += _rules(kind, rows, columns, digits, ends, dice, worlds)
    if len(kinds) == 2 and dice.random() < 0.5:
        within = kinds[1] == "border-loop" or (kinds[1] == "loop" and dice.random() < 0.5)
        tables.append(
            {
                "kind": "matches",
                "layer": "water",
                "value": dice.choice(("deep", "shallow")),
                "of": names[1],
                "inside": within,
            }
        )
    defined: list[Table] = []
    if digits and "shading" in kinds and worlds and dice.random() < 0.6:
        defined, counts = counting(dice)
        worlds = [_with(world, counts=counts, known=tuple(values)) for world in worlds]
        chosen = dice.choice(worlds)
        made = (rule_over(chosen, dice) for _ in range(dice.randint(1, 3)))
        tables += [table for table in made if table]
    if len(tables) > 1 and dice.random() < 0.3:
        tables = [{"kind": "exactly", "count": dice.randint(0, len(tables)), "of": tables}]
    tables = [*defined, *tables]
    text = head + "".join(_toml(table) for table in tables)
    return text, names, [w for w in worlds if all(holds(table, w) for table in tables)]


def _toml(table: Table, head: str = "[[rule]]") -> str:
    lines = [head]
    for key, value in table.items():
        if key not in ("of", "from") or (key == "of" and isinstance(value, str)):
            lines.append(f"{key} = {next(written([value]))}")
    nested = table.get("of")
    inner = nested if isinstance(nested, list) else []
    return "\n".join(lines) + "\n" + "".join(_toml(one, "[[rule.of]]") for one in inner)


def _layer(kind: str, worlds: list[World], dice: random.Random) -> tuple[str, list[World], str]:
    """A layer's table, and every world with every way to lay it."""
    rows, columns = worlds[0].rows, worlds[0].columns
    cells = worlds[0].cells
    head = f'[[layer]]\nname = "{NAMES.get(kind, "cruise")}"\nkind = "{kind}"\n'
    ends = ""
    if kind == "shading":
        head += 'values = ["deep", "shallow"]\n'
        given = {c: dice.choice(("deep", "shallow")) for c in cells if dice.random() < 0.25}
        head += f'givens = "{"".join(given[c][0] if c in given else "." for c in cells)}"\n'
        laid = [
            dict(zip(cells, shades, strict=True))
            for shades in product(("deep", "shallow"), repeat=len(cells))
        ]
        laid = [one for one in laid if all(one[c] == v for c, v in given.items())]
        return head, [_with(w, shades=one) for w in worlds for one in laid], ends
    if kind == "regions":
        sizes = dice.choice(("2", "3", '"free"', '"free"', "[1, 2, 3]", "[2, 4]"))
        if rows * columns != 6:
            sizes = '"free"'
        digits = bool(worlds[0].digits)
        houses = digits and dice.random() < 0.3
        head += f"sizes = {sizes}\n" + ("houses = true\n" if houses else "")
        parts = [dict(zip(cells, one, strict=True)) for one in _partitions(rows, columns)]
        found = [_with(w, region=one) for w in worlds for one in parts if _sized(one, sizes)]
        if houses:
            found = [w for w in found if _differ(w)]
        return head, found, ends
    if kind == "border-loop":
        return head, [_with(w, sides=one) for w in worlds for one in _fences(rows, columns)], ends
    lines = _lines(rows, columns, kind == "loop")
    if dice.random() < 0.3:
        head += 'visits = "all"\n'
        lines = tuple(one for one in lines if len({c for p in one for c in p}) == len(cells))
    if dice.random() < 0.3:
        head += "touching = false\n"
        lines = tuple(one for one in lines if _keeps_off(one, cells))
    if kind == "path" and dice.random() < 0.5:
        first, last = dice.sample(cells, 2)
        ends = f"{_ref(first)} {_ref(last)}"
        head += f'ends = "{ends}"\n'
        lines = tuple(
            one
            for one in lines
            if all(sum(cell in pair for pair in one) == 1 for cell in (first, last))
        )
    return head, [_with(w, line=one) for w in worlds for one in lines], ends


def _with(world: World, **more: Any) -> World:
    return World(**(vars(world) | more))


def _sized(region: dict[Cell, int], sizes: str) -> bool:
    met = sorted(list(region.values()).count(one) for one in set(region.values()))
    if "free" in sizes:
        return True
    wanted = [int(n) for n in sizes.strip("[]").split(", ")]
    return met == sorted(wanted) if sizes.startswith("[") else set(met) == set(wanted)


def _differ(world: World) -> bool:
    held = [(world.region[cell], world.digits[cell]) for cell in world.cells]
    return len(set(held)) == len(held)


def _keeps_off(line: frozenset[Pair], cells: list[Cell]) -> bool:
    on = {cell for pair in line for cell in pair}
    return all(frozenset((a, b)) in line for a in on for b in on if beside(a, b))


def _rules(
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
    cells = [_ref(cell) for cell in chosen.cells]

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
            once = dice.random() < 0.4
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
    return " ".join(map(_ref, line))
