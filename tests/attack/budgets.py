"""Puzzles made to be hard: every command ends within its budget, and in less than a gigabyte.

Times are processor times, not wall times: a busy machine raises no false alarm, and a quiet one
hides nothing, because the faults in question work without a pause.
"""

from __future__ import annotations

import random
import tempfile
from collections.abc import Callable
from functools import cache
from pathlib import Path

from .commands import Ended, run
from .failures import Failure, Found

BUDGET = 1.0
LATE = 0.5
EASY = 'size = 4\ngivens = "12..34..21..4..."\n'
MOST_MEGABYTES = 1000

COMMANDS: dict[str, list[str]] = {
    "check": ["check", "{}"],
    "check by cp": ["check", "{}", "--engine", "cp"],
    "clues": ["clues", "{}", "--json"],
    "keepers": ["clues", "{}", "--keepers", "--json"],
    "route": ["route", "{}"],
    "next": ["route", "{}", "--next"],
    "audit": ["audit", "{}", "{steps}"],
    "assay": ["assay", "{}"],
    "answer": ["answer", "{}", "{answer}"],
    "compare": ["compare", "{}", "{}"],
    "kin": ["kin", "{}"],
    "certify": ["certify", "{}", "-o", "{folder}/out.zip"],
    "export": ["export", "{}", "--format", "opb"],
    "draw": ["draw", "{}", "--show", "possible", "-o", "{folder}/out.svg"],
    "batch": ["batch", "{}", "--out", "{folder}/out.jsonl", "--workers", "1"],
}


def _rules(head: str, rules: list[str]) -> str:
    return head + "".join(f"[[rule]]\n{rule}\n" for rule in rules)


def _outside(dice: random.Random, size: int, kind: str, clue: str, most: int) -> str:
    side = "" if kind in ("battlefield", "sandwich") else 'side = "left"\n'
    same = dice.random() < 0.5
    number = dice.randint(1, most)
    return _rules(
        f"size = {size}\n",
        [
            f'kind = "{kind}"\nline = "r{row}"\n{side}{clue} = '
            f"{number if same else dice.randint(1, most)}"
            for row in range(1, size + 1)
        ],
    )


def _nested(dice: random.Random) -> str:
    inner = []
    for number in range(dice.choice((300, 3000))):
        r, c = number % 9 + 1, number // 9 % 9 + 1
        cells = f"r{r}c{c} r{r % 9 + 1}c{c} r{r % 9 + 1}c{c % 9 + 1}"
        inner.append(f'[[rule.of]]\nkind = "cage"\ncells = "{cells}"\nsum = {6 + number % 19}\n')
    kind, count = dice.choice(("exactly", "at-least")), dice.randint(1, len(inner))
    return f'size = 9\n[[rule]]\nkind = "{kind}"\ncount = {count}\n' + "".join(inner)


def _wide_cage(dice: random.Random) -> str:
    length = dice.randint(10, 13)
    return _rules(
        "size = 16\n",
        [
            f'kind = "cage"\ncells = "r1c1..r1c{length}"\nat-least = {dice.randint(60, 110)}',
            'kind = "among"\ncells = "r1c1..r1c9"\ndigits = [1, 2, 3, 4, 5, 6, 7, 8, 9]',
        ],
    )


def _pigeons(dice: random.Random) -> str:
    size = dice.randint(11, 16)
    digits = list(range(1, size))
    lines = [f'kind = "all-different"\ncells = "r1c{c}..r{size}c{c}"' for c in range(1, size)]
    rows = [
        f'kind = "all-different"\ncells = "r{r}c1..r{r}c{size - 1}"' for r in range(1, size + 1)
    ]
    head = f'rows = {size}\ncolumns = {size - 1}\nhouses = "none"\ndigits = {digits}\n'
    return _rules(head, lines + rows)


def _parity(dice: random.Random) -> str:
    pairs = [(r, c) for r in range(1, 10) for c in (1, 3, 5, 7)]
    cages = [f'kind = "cage"\ncells = "r{r}c{c} r{r}c{c + 1}"\nsum = 10' for r, c in pairs]
    return _rules(
        "size = 9\n", [*cages, 'kind = "relation"\neach = "columns"\nholds = "(a+b) % 2 == 1"']
    )


def _holes(dice: random.Random) -> str:
    """A Latin square with holes in the hardest places (quasigroup with holes)."""
    size = dice.choice((20, 25, 30, 33))
    symbols = "123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ"
    rows, columns, names = (dice.sample(range(size), size) for _ in range(3))
    share = dice.uniform(0.38, 0.48)
    text = "\n".join(
        "".join("." if dice.random() < share else symbols[names[(r + c) % size]] for c in columns)
        for r in rows
    )
    return f'size = {size}\nbox = "none"\ngivens = """\n{text}\n"""\n'


def _lines(dice: random.Random) -> str:
    size = dice.choice((25, 35))
    kind = dice.choice(("renban", "whisper", "zipper", "sum-run", "palindrome", "progression"))
    more = {"sum-run": "\ntotal = 40", "whisper": "\ndifference = 7"}.get(kind, "")
    length = dice.randint(size // 2, size)
    return _rules(
        f"size = {size}\n",
        [f'kind = "{kind}"\ncells = "r{r}c1..r{r}c{length}"{more}' for r in range(1, size + 1)],
    )


def _sums(dice: random.Random) -> str:
    size = dice.choice((16, 25, 35))
    letter = dice.choice(('"A"', str(size * (size + 1) // 3)))
    return _rules(
        f"size = {size}\n",
        [
            f'kind = "cage"\ncells = "r{r}c1..r{r}c{size - 1}"\nrepeats = true\nsum = {letter}'
            for r in range(1, size + 1)
        ],
    )


def _wide(dice: random.Random) -> str:
    head = 'rows = 70\ncolumns = 70\nhouses = "none"\ndigits = [1, 2, 3, 4, 5, 6, 7, 8, 9]\n'
    kinds = ["nonconsecutive", "anti-knight", "anti-king"]
    return _rules(head, [f'kind = "{kind}"' for kind in dice.sample(kinds, dice.randint(1, 3))])


def _empty(dice: random.Random) -> str:
    return f"size = {dice.choice((16, 25, 30, 35))}\n" + dice.choice(("", "[doublers]\n"))


HARD: dict[str, Callable[[random.Random], str]] = {
    "battlefield": lambda dice: _outside(dice, dice.choice((25, 35)), "battlefield", "sum", 200),
    "seen-count": lambda dice: _outside(dice, dice.choice((25, 35)), "seen-count", "seen", 20),
    "x-sum": lambda dice: _outside(dice, dice.choice((16, 25)), "x-sum", "sum", 130),
    "sandwich": lambda dice: _outside(dice, dice.choice((16, 25, 35)), "sandwich", "sum", 100),
    "nested": _nested,
    "wide cage": _wide_cage,
    "pigeons": _pigeons,
    "parity": _parity,
    "holes": _holes,
    "lines": _lines,
    "sums": _sums,
    "wide": _wide,
    "empty": _empty,
}


def one(seed: int) -> Found:
    """One command on one hard puzzle."""
    dice = random.Random(seed)
    puzzle, command = dice.choice(list(HARD)), dice.choice(list(COMMANDS))
    text = HARD[puzzle](dice)
    ended = _run(command, text)
    said = ended.trouble()
    # A busy machine also lengthens processor seconds, so the time for starting is measured on it.
    most = 1.5 * _starting(command) + BUDGET + LATE
    if ended.seconds > most:
        said = f"{command} of {puzzle}: {ended.seconds:.1f} processor seconds, more than {most:.1f}"
    if ended.megabytes > MOST_MEGABYTES:
        said = f"{command} of {puzzle}: {ended.megabytes:.0f} MB"
    return Found(1, Failure("budgets", seed, said, text, "toml") if said else None)


@cache
def _starting(command: str) -> float:
    """Processor seconds of a command for a trivial puzzle."""
    return _run(command, EASY).seconds


def _run(command: str, text: str) -> Ended:
    with tempfile.TemporaryDirectory() as folder:
        path, steps = Path(folder) / "hard.toml", Path(folder) / "hard.steps"
        path.write_text(text, encoding="utf-8")
        steps.write_text("r1c1 not 1\nr1c2 = 2\n", encoding="utf-8")
        answer = Path(folder) / "answer.txt"
        answer.write_text("1" * 81, encoding="utf-8")
        words = {"folder": folder, "steps": str(steps), "answer": str(answer)}
        arguments = [word.format(str(path), **words) for word in COMMANDS[command]]
        return run([*arguments, "--budget", str(BUDGET)])
