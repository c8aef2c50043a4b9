"""Makes the corpora of regions to be found: ``python -m benchmarks.corpora.make_regions``.

wards6.txt    6×6 Latin squares with six regions that hold each digit, a third of the digits given
parishes9.txt 9×9 Latin squares with nine such regions, cages on some 50 cells, 27 digits given

Regions are made without a solver: from rows, by taking two neighbouring regions and dividing their cells
anew. The digits are then those of a grid with these regions.
"""

from __future__ import annotations

from random import Random

from benchmarks.corpora import FOLDER, RULE_OFF
from gridassay.encodings.documents import read_document
from gridassay.encodings.puzzle import Fact
from gridassay.verify.budget import Clock, OutOfTime
from gridassay.verify.engines.sat import SatEngine

Place = tuple[int, int]
DIVIDED_ANEW = 300
"""Times that two regions are divided anew for one board."""


def _near(place: Place) -> list[Place]:
    r, c = place
    return [(r - 1, c), (r + 1, c), (r, c - 1), (r, c + 1)]


def _whole(cells: set[Place]) -> bool:
    waiting = [min(cells)]
    seen = set(waiting)
    for place in waiting:
        fresh = [one for one in _near(place) if one in cells and one not in seen]
        seen.update(fresh)
        waiting += fresh
    return len(seen) == len(cells)


def regions(side: int, rng: Random) -> dict[Place, int]:
    """The region of each cell, by number."""
    region = {(r, c): r for r in range(side) for c in range(side)}
    for _ in range(DIVIDED_ANEW):
        place = rng.choice(list(region))
        others = [one for one in _near(place) if region.get(one, region[place]) != region[place]]
        if not others:
            continue
        one, other = region[place], region[rng.choice(others)]
        both = {cell for cell, number in region.items() if number in (one, other)}
        grown = {rng.choice(sorted(both))}
        while len(grown) < side:
            grown.add(rng.choice(sorted({n for c in grown for n in _near(c) if n in both - grown})))
        if _whole(both - grown):
            region |= {cell: one if cell in grown else other for cell in both}
    return region


def _solution(side: int, region: dict[Place, int], rng: Random) -> dict[Place, int] | None:
    """A Latin square with each digit once in each region; None if none is found soon."""
    letters = "ABCDEFGHI"
    drawn = "\n".join("".join(letters[region[r, c]] for c in range(side)) for r in range(side))
    puzzle = read_document(f'size = {side}\nregions = """\n{drawn}\n"""\n', "regions")
    engine = SatEngine(puzzle.model, Clock(60), solver="glucose4")
    engine.lean([Fact(one, rng.randint(1, side)) for one in puzzle.model.shown])
    try:
        found = engine.solve((), Clock(20))
    except OutOfTime:
        return None
    places = [(cell.row - 1, cell.column - 1) for cell in puzzle.canvas.cells]
    return None if found is None else dict(zip(places, found, strict=True))


def _cages(side: int, held: dict[Place, int], most: int, rng: Random) -> str:
    free, told = set(held), []
    while len(held) - len(free) < most:
        cage = [rng.choice(sorted(free))]
        while len(cage) < 3:
            near = [n for c in cage for n in _near(c) if n in free and n not in cage]
            near = [n for n in near if held[n] not in [held[c] for c in cage]]
            if not near or (len(cage) == 2 and rng.random() < 0.5):
                break
            cage.append(rng.choice(near))
        free -= set(cage)
        cells = " ".join(f"r{r + 1}c{c + 1}" for r, c in cage)
        total = sum(held[c] for c in cage)
        if len(cage) > 1:
            told.append(f'\n[[rule]]\nkind = "cage"\ncells = "{cells}"\nsum = {total}\n')
    return "".join(told)


def documents(side: int, count: int, given: int, caged: int, seed: int) -> list[str]:
    """So many puzzles."""
    rng, found = Random(seed), []
    while len(found) < count:
        held = _solution(side, regions(side, rng), rng)
        if held is None:
            continue
        shown = set(rng.sample(sorted(held), given))
        rows = (
            "".join(str(held[r, c]) if (r, c) in shown else "." for c in range(side))
            for r in range(side)
        )
        drawn = "\n".join(rows)
        layer = f'\n[[layer]]\nname = "parishes"\nkind = "regions"\nsizes = {side}\nhouses = true\n'
        head = f'size = {side}\nbox = "none"\ngivens = """\n{drawn}\n"""\n{layer}'
        found.append(head + _cages(side, held, caged, rng))
    return found


def main() -> None:
    """Write the corpora."""
    for name, made in (
        ("wards6", documents(6, 20, 12, 0, 66)),
        ("parishes9", documents(9, 10, 27, 50, 99)),
    ):
        (FOLDER / f"{name}.txt").write_text(RULE_OFF.join(made), encoding="utf-8")


if __name__ == "__main__":
    main()
