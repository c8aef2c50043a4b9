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
from .layer_effects import effects, sides, steps
from .layer_makers import NAMES, ref, rules_over
from .layer_readings import (
    Cell,
    Pair,
    Table,
    World,
    beside,
    holds,
    pieces,
    written,
)

BUDGET = 60.0
FAMILIES = ("shading", "shading", "loop", "path", "border-loop", "regions", "regions", "two")


def one(seed: int) -> Found:
    """The puzzle of a seed, compared."""
    text, names, worlds, without = _puzzle(random.Random(seed))
    checks = 0
    try:
        for what, right, said in _compared(text, names, worlds, without, random.Random(seed + 1)):
            checks += 1
            if not right:
                return Found(checks, Failure("layers", seed, f"{what}: {said}", text, "toml"))
    except Exception as error:  # whatever it is, it is what is looked for
        fault = f"fault: {type(error).__name__}: {error}"
        return Found(checks + 1, Failure("layers", seed, fault, text, "toml"))
    return Found(checks)


def _compared(
    text: str,
    names: list[str],
    worlds: list[World],
    without: dict[str, list[World]],
    dice: random.Random,
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
    if wanted == "unique":
        yield from effects(puzzle, names, without, BUDGET)
    if worlds and (wanted == "unique" or dice.random() < 0.1):
        yield from steps(puzzle, names, worlds, BUDGET, dice)


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
            layers[name] = " ".join(f"{ref(a)}-{ref(b)}" for a, b in pairs)
        else:
            layers[name] = " ".join(side for side, pair in sides(world) if pair in world.sides)
    return line, layers


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


def _puzzle(
    dice: random.Random,
) -> tuple[str, list[str], list[World], dict[str, list[World]]]:
    """A puzzle, the names of its layers, its solutions, and those that keep all rules but one."""
    family = dice.choice(FAMILIES)
    digits = dice.random() < 0.45 and family != "border-loop"
    kinds = (
        ["shading", dice.choice(("loop", "path", "border-loop", "regions"))]
        if family == "two"
        else [family]
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
        tables += rules_over(kind, rows, columns, digits, ends, dice, worlds)
    if len(kinds) == 2 and kinds[1] != "regions" and dice.random() < 0.5:
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
    worlds = [_with(world, drawn=tuple(tables)) for world in worlds]
    named = {f"clue {number}": table for number, table in enumerate(tables, start=1)}
    told = [*defined, *({"id": name} | table for name, table in named.items())]
    broken = [(w, [name for name, table in named.items() if not holds(table, w)]) for w in worlds]
    solutions = [world for world, wrong in broken if not wrong]
    without = {name: [world for world, wrong in broken if set(wrong) <= {name}] for name in named}
    return head + "".join(map(_toml, told)), names, solutions, without


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
        ends = f"{ref(first)} {ref(last)}"
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
