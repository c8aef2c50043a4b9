"""Small puzzles with layers, made at random, whose every assignment can be tried."""

from __future__ import annotations

from random import Random

from gridassay.encodings.documents import read_document
from gridassay.encodings.lines import PuzzleError
from gridassay.encodings.puzzle import Puzzle

CELLS = [f"r{row}c{column}" for row in (1, 2) for column in (1, 2, 3)]


def _rule(kind: str, *fields: str) -> str:
    return "\n".join(["[[rule]]", f'kind = "{kind}"', *fields, ""])


def _cells(rng: Random, least: int, most: int) -> str:
    return " ".join(rng.sample(CELLS, rng.randint(least, most)))


def _amount(rng: Random, most: int) -> str:
    low = rng.randint(0, most)
    return rng.choice([str(low), f"[{low}, {rng.randint(low, most)}]"])


def _shading_rule(rng: Random) -> str:
    value = rng.choice(["deep", "shallow"])
    own = ('layer = "water"', f'value = "{value}"')
    kind = rng.choice(
        ["connected", "to-the-edge", "groups", "group-size", "apart", "count-in", "seen-of"]
    )
    if kind == "connected":
        return _rule(kind, *own, f"empty = {rng.choice(['true', 'false'])}")
    if kind == "groups":
        sizes = [rng.randint(1, 3) for _ in range(rng.randint(0, 3))]
        if sum(sizes) <= len(CELLS) and rng.random() < 0.6:
            return _rule(kind, *own, f"sizes = {sizes}")
        return _rule(kind, *own, f"count = {_amount(rng, 3)}")
    if kind == "group-size":
        cells = _cells(rng, 1, 2)
        sizes = [rng.choice([1, 2, 3, "any"]) for _ in cells.split()]
        written = str(sizes).replace("'", '"')
        every = rng.choice(["true", "false"])
        return _rule(kind, *own, f'cells = "{cells}"', f"sizes = {written}", f"all = {every}")
    if kind == "apart":
        return _rule(kind, *own, f'touching = "{rng.choice(["side", "diagonal", "any"])}"')
    if kind == "count-in":
        cells = _cells(rng, 1, 6)
        count = _amount(rng, len(cells.split()))
        return _rule(kind, *own, f'cells = "{cells}"', f"count = {count}")
    if kind == "seen-of":
        return _rule(kind, *own, f'cell = "{rng.choice(CELLS)}"', f"count = {_amount(rng, 4)}")
    return _rule(kind, *own)


def _line_rule(rng: Random) -> str:
    kind = rng.choice(["on-it", "turns", "straight", "counts-on-it"])
    own = ('layer = "cruise"', f'cells = "{_cells(rng, 1, 3)}"')
    if kind == "on-it":
        return _rule(kind, *own, f"on = {rng.choice(['true', 'false'])}")
    if kind == "counts-on-it":
        return _rule(kind, *own, f"count = {_amount(rng, 3)}")
    return _rule(kind, *own)


def _region_rule(rng: Random) -> str:
    together = rng.choice(["true", "false"])
    own = ('layer = "parishes"', f'cells = "{_cells(rng, 2, 3)}"')
    return _rule("one-region", *own, f"together = {together}")


def _combined(rng: Random, rules: list[str]) -> str:
    """The rules as they are, or inside a rule that says how many are true."""
    if len(rules) < 2 or rng.random() < 0.6:
        return "\n".join(rules)
    nested = "\n".join(rule.replace("[[rule]]", "[[rule.of]]") for rule in rules)
    return f'[[rule]]\nkind = "exactly"\ncount = {rng.randint(0, len(rules))}\n{nested}'


def layered(seed: int) -> Puzzle | None:
    """A puzzle on 2×3 cells with one layer and rules over it; None if no such puzzle can be."""
    rng = Random(seed)
    family = rng.choice(["shading", "loop", "path", "regions"])
    name = {"shading": "water", "regions": "parishes"}.get(family, "cruise")
    head = (
        f'rows = 2\ncolumns = 3\ndigits = "none"\n\n[[layer]]\nname = "{name}"\nkind = "{family}"\n'
    )
    if family == "shading":
        head += 'values = ["deep", "shallow"]\n'
        drawn = "".join(rng.choice("ds....") for _ in CELLS)
        head += f'givens = "{drawn}"\n'
        rules = [_shading_rule(rng) for _ in range(rng.randint(1, 3))]
    elif family == "regions":
        head += (
            f"sizes = {rng.choice(['2', '3', '[1, 2, 3]', '[2, 4]', chr(34) + 'free' + chr(34)])}\n"
        )
        rules = [_region_rule(rng) for _ in range(rng.randint(1, 2))]
    else:
        visits, touching = rng.choice(["some", "some", "all"]), rng.choice(["true", "false"])
        head += f'visits = "{visits}"\ntouching = {touching}\n'
        rules = [_line_rule(rng) for _ in range(rng.randint(1, 2))]
    try:
        return read_document(f"{head}\n{_combined(rng, rules)}", f"layered {seed}")
    except PuzzleError:
        return None
