"""Random puzzles of every kind: everything that gridassay says about them is compared with the truth.

The truth is found by trying every filling of a small board, with readings that share no code
with gridassay. Each answer that is compared counts as one check.
"""

from __future__ import annotations

import random
from collections.abc import Callable, Iterator
from itertools import combinations
from typing import Any

import gridassay.verify as ga
from gridassay.verify.engines import cp, forget_engines

from .cases import Case, World, random_case, smallest_conflict
from .failures import Failure, Found

LOADED = cp.__name__  # loaded before any clock runs: loading alone can take long on a busy machine

BUDGET = 60.0
"""Seconds: nothing here is hard, so that what runs out of time is a failure too."""

Checks = Iterator[tuple[str, bool, str]]
"""What was compared, whether it is right, and what was said."""


def one(seed: int) -> Found:
    """The case of a seed, compared in every respect: how many checks, and what was wrong."""
    dice = random.Random(seed)
    case = random_case(dice)
    checks, wrong = _examine(case, seed)
    if wrong is None:
        return Found(checks)
    name, said = wrong
    small = shrink(case, seed, name)
    again = _examine(small, seed)[1] or (name, said)
    return Found(
        checks, Failure("differential", seed, f"{again[0]}: {again[1]}", small.text(), "toml")
    )


def shrink(case: Case, seed: int, name: str) -> Case:
    """A smaller case with the same fault."""
    while True:
        for smaller in case.smaller():
            wrong = _examine(smaller, seed)[1]
            if wrong and wrong[0] == name:
                case = smaller
                break
        else:
            return case


def _examine(case: Case, seed: int) -> tuple[int, tuple[str, str] | None]:
    """The number of answers compared until the first wrong one, and that answer."""
    count, name = 0, "verdict"
    try:
        for name, right, said in _compared(case, random.Random(seed + 1)):
            count += 1
            if not right:
                return count, (name, said)
    except Exception as error:  # whatever it is, it is what we are looking for
        return count + 1, ("fault", f"after {name}: {type(error).__name__}: {error}")
    return count, None


def _compared(case: Case, dice: random.Random) -> Checks:
    puzzle = ga.read(case.text(), "attack.toml")
    told = [(case.line(world), case.unknowns(world)) for world in case.solutions]
    verdict = ga.check(puzzle, budget=BUDGET)
    wanted = ("none", "unique", "multiple")[min(len(told), 2)]
    yield from _verdict(verdict.to_json(), wanted, told)
    if dice.random() < 0.05:
        yield from _verdict(ga.check(puzzle, engine="cp", budget=BUDGET).to_json(), wanted, told)
    if not case.lettered:
        yield from _plain(case, puzzle, dice)
    questions: list[tuple[float, Callable[[Case, Any, random.Random], Checks]]] = [
        (0.2, _route),
        (0.2, _answer),
        (0.1, _certificate),
        (0.05, _comparison),
    ]
    if wanted != "unique":
        yield from _explained(case, verdict, wanted, dice)
    elif not case.lettered:
        questions.append((0.6, _clues))
    if not case.tables and case.board.name == "grid":
        questions.append((1.0, _kin))
    for chance, question in questions:
        if dice.random() < chance:
            yield from question(case, puzzle, dice)
    if dice.random() < 0.02:
        forget_engines()


def _verdict(said: dict[str, Any], wanted: str, told: list[tuple[str, dict[str, int]]]) -> Checks:
    name = f"verdict by {said['engine']}"
    yield name, said["verdict"] == wanted, f"{said['verdict']}, and it is {wanted}"
    unknowns = said.get("unknowns") or [{} for _ in said["solutions"]]
    given = list(zip(said["solutions"], unknowns, strict=True))
    right = all(one in told for one in given) and len(given) == min(2, len(told))
    yield (
        f"solutions by {said['engine']}",
        right and (len(given) < 2 or given[0] != given[1]),
        str(given),
    )


def _plain(case: Case, puzzle: Any, dice: random.Random) -> Checks:
    """The rules that gridassay's own plain reading finds broken in some fillings of the board."""
    for world, bits in dice.sample(case.kept, min(4, len(case.kept))):
        doubled = [int(place in world.doubled) for place in range(len(world.digits))]
        solution = (*world.digits, *(doubled if case.board.doublers else ()))
        broken = set(puzzle.violations(solution)) & set(case.clues)
        wanted = {name for number, name in enumerate(case.clues) if not bits >> number & 1}
        yield "plain reading", broken == wanted, f"{case.line(world)} breaks {broken}, not {wanted}"


def _explained(case: Case, verdict: Any, wanted: str, dice: random.Random) -> Checks:
    said = ga.explain(verdict, budget=BUDGET).to_json()
    yield "explained in time", not said.get("ran_out"), str(said.get("ran_out"))
    if wanted == "none":
        if not case.lettered:
            yield from _conflict(case, said)
        return
    worlds = case.solutions
    count = said["solution_count"]
    right = count["count"] == len(worlds) if count["exact"] else count["count"] <= len(worlds)
    yield (
        "count",
        right and (count["exact"] or len(worlds) > 1000),
        f"{count}, and it is {len(worlds)}",
    )
    possible = {
        f"r{r}c{c}": sorted({world.digits[place] for world in worlds})
        for place, (r, c) in enumerate(case.board.cells)
    }
    shown = {cell: said["possible"][cell] for cell in possible}
    yield "possible digits", shown == possible, f"{shown}, and it is {possible}"
    if len(worlds) <= 150 and said["differs_fewest"]:
        least = min(_distance(a, b) for a, b in combinations(worlds, 2))
        differs = len(said["differs"])
        yield (
            "nearest solutions",
            differs == least,
            f"they differ in {differs}, and {least} is least",
        )
    if not case.lettered and not case.board.doublers:
        yield from _repair(case, said)


def _distance(one: World, other: World) -> int:
    """The number of cells and unknowns in which two fillings differ."""
    digits = sum(a != b for a, b in zip(one.digits, other.digits, strict=True))
    return digits + len({*one.doubled} ^ {*other.doubled}) + (one.letter != other.letter)


def _repair(case: Case, said: dict[str, Any]) -> Checks:
    places = {f"r{r}c{c}": place for place, (r, c) in enumerate(case.board.cells)}
    added = [given.split("=") for given in said["repair"]]
    facts = [(places[cell], int(digit, 36)) for cell, digit in added]
    left = [w for w in case.solutions if all(w.digits[p] == d for p, d in facts)]
    right = len(left) == 1 and case.line(left[0]) == said["repair_solution"]
    yield "repair", right, f"{said['repair']} leaves {len(left)} solutions"
    if right and said["repair_smallest"] and len(facts) <= 3:
        others = [world for world in case.solutions if world != left[0]]
        differ = [{p for p, d in enumerate(w.digits) if d != left[0].digits[p]} for w in others]
        fewer = next(
            (
                chosen
                for size in range(len(facts))
                for chosen in combinations(range(len(places)), size)
                if all(one.intersection(chosen) for one in differ)
            ),
            None,
        )
        yield "smallest repair", fewer is None, f"{said['repair']}, and places {fewer} are enough"


def _conflict(case: Case, said: dict[str, Any]) -> Checks:
    named = [name for name in said["conflict"] if name in case.clues]
    others = [name for name in said["conflict"] if name not in case.clues]
    numbers = [case.clues.index(name) for name in named]
    needed = sum(1 << number for number in numbers)
    alone = all(needed & ~bits for _, bits in case.kept)
    yield "conflict", alone, f"{named} hold together, with {others} and all houses"
    if len(case.clues) <= 12 and not case.board.doublers:
        least = smallest_conflict(case)
        yield "smallest conflict", len(named) == least, f"{named}, and {least} are enough"


def _clues(case: Case, puzzle: Any, dice: random.Random) -> Checks:
    said = ga.clues(puzzle, budget=BUDGET).to_json()
    effects = {f"{one['cell']}={one['digit']}": one for one in said["givens"]}
    effects |= {one["premise"]: one for one in said["rules"]}
    places = {(f"r{r}c{c}"): place for place, (r, c) in enumerate(case.board.cells)}
    for number, name in enumerate(case.clues):
        effect, left = effects[name], case.without([number])
        count = effect["without"]
        right = count["count"] == left if count["exact"] else 1 < count["count"] <= left
        right = right and effect["wasted"] == (left == 1)
        yield (
            "effect of a clue",
            right,
            f"{name}: {count}, wasted {effect['wasted']}, and it is {left}",
        )
        if not case.board.doublers and left <= 1000:
            needed = ((1 << len(case.clues)) - 1) & ~(1 << number)
            worlds = [world for world, bits in case.kept if not needed & ~bits]
            opens = {c for c, p in places.items() if len({w.digits[p] for w in worlds}) > 1}
            yield (
                "what opens",
                set(effect["opens"]) == opens,
                f"{name}: {effect['opens']}, not {opens}",
            )
    yield (
        "irreducible",
        said["irreducible"] == all(case.without([n]) > 1 for n in range(len(case.clues))),
        f"irreducible is {said['irreducible']}",
    )
    if case.givens and len(case.givens) <= 9 and dice.random() < 0.5:
        yield from _keepers(case, puzzle)


def _keepers(case: Case, puzzle: Any) -> Checks:
    said = ga.clues(puzzle, budget=BUDGET, keepers=ga.Search()).to_json()["keepers"]
    count = len(case.givens)
    rules = sum(1 << n for n in range(count, len(case.clues)))
    kept = [bits for _, bits in case.kept if not rules & ~bits]

    def enough(chosen: tuple[int, ...]) -> bool:
        needed = sum(1 << number for number in chosen)
        return sum(not needed & ~bits for bits in kept) == 1

    named = [n for n, name in enumerate(case.clues) if name.split("=")[0] in said["cells"]]
    yield "keepers", enough(tuple(n for n in named if n < count)), f"{said} are not enough"
    least = next(k for k in range(count + 1) if any(map(enough, combinations(range(count), k))))
    yield (
        "fewest keepers",
        said["size"] == least or not said["exact"],
        f"{said}, and {least} are enough",
    )


def _route(case: Case, puzzle: Any, dice: random.Random) -> Checks:
    found = ga.route(puzzle, budget=BUDGET)
    places = {f"r{r}c{c}": place for place, (r, c) in enumerate(case.board.cells)}
    for step in found.to_json()["steps"] if case.solutions else ():
        placed = [(places[m["cell"]], m["digit"]) for m in step["place"] if m.get("cell") in places]
        struck = [
            (places[m["cell"]], m["digit"]) for m in step["remove"] if m.get("cell") in places
        ]
        right = all(
            all(w.digits[p] == d for p, d in placed) and all(w.digits[p] != d for p, d in struck)
            for w in case.solutions
        )
        yield "step of a route", right, f"{step['text']}: {step['place']} {step['remove']}"
    if found.steps and found.solved and dice.random() < 0.3:
        audited = ga.audit(puzzle, ga.write_steps(found.steps, puzzle), budget=BUDGET)
        bad = [step.to_json() for step in audited.steps if step.result not in ("sound", "idle")]
        yield "audit of a route", not bad, str(bad[:2])
    if len(case.solutions) == 1:
        yield from _false_step(case, puzzle, dice)


def _false_step(case: Case, puzzle: Any, dice: random.Random) -> Checks:
    place = dice.randrange(len(case.board.cells))
    (r, c), digit = case.board.cells[place], case.solutions[0].digits[place]
    said = ga.audit(puzzle, f"r{r}c{c} not {case.board.symbol(digit)}\n", budget=BUDGET)
    results = [step.result for step in said.steps]
    yield "audit of a false step", results == ["wrong"], f"r{r}c{c} not {digit}: {results}"


def _answer(case: Case, puzzle: Any, dice: random.Random) -> Checks:
    board = case.board
    if case.lettered or board.doublers or not case.solutions:
        return
    world = list(dice.choice(case.solutions).digits)
    if dice.random() < 0.4:
        world[dice.randrange(len(world))] = dice.choice(board.digits)
    hidden = {place for place in range(len(world)) if dice.random() < dice.choice((0.0, 0.5))}
    held = {board.cells[p]: d for p, d in enumerate(world) if p not in hidden}
    drawn = "".join(
        board.symbol(held[r, c]) if (r, c) in held else "." if (r, c) in board.cells else "_"
        for r in range(1, board.rows + 1)
        for c in range(1, board.columns + 1)
    )
    left = [
        w
        for w in case.solutions
        if all(w.digits[p] == world[p] for p in range(len(world)) if p not in hidden)
    ]
    said = ga.answer(puzzle, drawn, budget=BUDGET)
    if not left:
        wanted = "wrong"
    elif hidden:
        wanted = "right so far" if len(case.solutions) == 1 else "open so far"
    else:
        wanted = "solution" if len(case.solutions) == 1 else "second solution"
    yield "answer", said.result == wanted, f"{drawn} is {said.result}, and it is {wanted}"


def _certificate(case: Case, puzzle: Any, dice: random.Random) -> Checks:
    made = ga.certify(case.text().encode(), "attack.toml", budget=BUDGET)
    found = ga.recheck(made.to_bytes(), "attack.zip", meant=puzzle, budget=BUDGET)
    yield "certificate", found.result == "passed", str(found.to_json())


def _comparison(case: Case, puzzle: Any, dice: random.Random) -> Checks:
    others = [one for one in case.smaller() if len(one.clues) < len(case.clues)]
    if not others:
        return
    other = dice.choice(others)
    said = ga.compare(puzzle, ga.read(other.text(), "other.toml"), budget=BUDGET)
    wanted = ("none", "unique", "multiple")[min(len(other.solutions), 2)]
    yield (
        "compare",
        said.new.status == wanted,
        f"the new one is {said.new.status}, and it is {wanted}",
    )


def _kin(case: Case, puzzle: Any, dice: random.Random) -> Checks:
    rows = [a * 2 + b for a in dice.sample(range(2), 2) for b in dice.sample(range(2), 2)]
    columns = [a * 2 + b for a in dice.sample(range(2), 2) for b in dice.sample(range(2), 2)]
    names = dict(zip(range(1, 5), dice.sample(range(1, 5), 4), strict=True))
    turned = dice.random() < 0.5
    grid = []
    for r in rows:
        for c in columns:
            cell = (c + 1, r + 1) if turned else (r + 1, c + 1)
            grid.append(str(names[case.givens[cell]]) if cell in case.givens else ".")
    forms = [ga.canonical(one, budget=BUDGET).text for one in (puzzle, ga.read("".join(grid)))]
    yield "kin", forms[0] == forms[1], f"{''.join(grid)} is the same one in disguise: {forms}"
