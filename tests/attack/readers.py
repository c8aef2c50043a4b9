"""Damaged input of every format: it is read, or refused in one plain line; nothing else happens.

Most inputs go through the readers in this process; every fiftieth goes through a separate command.
"""

from __future__ import annotations

import json
import random
import tempfile
from collections.abc import Callable
from functools import cache
from pathlib import Path

import gridassay.verify as ga
from gridassay.verify.draw.style_files import read_style
from gridassay.verify.solving.board.position_file import position_from

from .commands import run
from .failures import Failure, Found

ROOT = Path(__file__).parents[2]
CLASSIC = "8.7.4.1......8792......3..65......1....631....2......84..9......1835......3.1.2.9"
CANDIDATES = "\n".join(
    " ".join("123456789" if symbol == "." else symbol for symbol in CLASSIC[9 * row : 9 * row + 9])
    for row in range(9)
)
STEPS = "r1c2 = 4 because hidden single: digit 4, row 1\nr3c2 not 4 6; r1c1 = 5\n# so far\n"
STYLE = 'paper = "#ffffff"\n\n[[look]]\nkind = "cage"\nstroke = "#0072b2"\n'
AS_A_COMMAND = 50
"""One input in so many goes through a command."""

ODD = ["\x00", "\ufeff", "\u202e", "\r", "\r\n", "\x1b[2J", "9" * 5000, "[" * 3000, "r1c1.." * 400]
ODD += [
    "-1",
    "1e999",
    "'",
    '"',
    "\\u0000",
    "👾",
    "٣",
    "=",
    "[[rule]]\n",
    "inf",
    "nan",
    "?",
    "{",
    "true",
]
"""What is put into texts."""


def damaged(text: str, dice: random.Random) -> str:
    """A text with one to four things wrong."""
    for _ in range(dice.randint(1, 4)):
        start = dice.randrange(len(text) + 1)
        end = min(len(text), start + dice.choice((0, 1, 1, 5, 40)))
        lines = text.split("\n")
        match dice.randrange(7):
            case 0:
                text = text[:start] + dice.choice(ODD) + text[end:]
            case 1:
                text = text[:start] + text[end:]
            case 2:
                text = text[:start]
            case 3:
                text = text[:end] + text[start:]
            case 4:
                text = text[:start] + chr(dice.choice((dice.randrange(32, 127), 8239))) + text[end:]
            case 5:
                dice.shuffle(lines)
                text = "\n".join(lines)
            case 6:
                line = dice.choice(lines)
                text = f"{text}\n{line}" if dice.random() < 0.5 else text.replace(line, "", 1)
    return text


@cache
def documents() -> tuple[str, ...]:
    """Sound puzzle files, one of every kind of rule among them."""
    found = [
        *sorted((ROOT / "docs" / "rules").glob("*.toml")),
        *sorted((ROOT / "examples").glob("*.toml")),
    ]
    return tuple(path.read_text(encoding="utf-8") for path in found)


@cache
def puzzle() -> ga.Puzzle:
    """A sound puzzle, for files that are read with one."""
    return ga.read(CLASSIC)


def _line(text: str, folder: Path) -> None:
    ga.read(text, "attack.txt")


def _document(text: str, folder: Path) -> None:
    read = ga.read(text, "attack.toml")
    # Whatever was read can be stated, drawn and named.
    _ = read.model, read.rule_names, read.board.shown


def _steps(text: str, folder: Path) -> None:
    ga.read_steps(text, puzzle())


def _start(text: str, folder: Path) -> None:
    position_from(text, puzzle(), "attack.txt")


def _answer(text: str, folder: Path) -> None:
    ga.answer(puzzle(), text, budget=5)


def _style(text: str, folder: Path) -> None:
    path = folder / "attack-style.toml"
    path.write_text(text, encoding="utf-8", newline="")
    read_style(str(path))


def _catalogue(text: str, folder: Path) -> None:
    path = folder / "attack.sqlite"
    path.write_bytes(text.encode("latin-1", "replace"))
    with ga.Catalogue(path, budget=5) as kept:
        kept.search(puzzle(), budget=5)


@cache
def _sound_catalogue() -> str:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "sound.sqlite"
        with ga.Catalogue(path, budget=20) as kept:
            kept.search(puzzle(), budget=20, add=True)
        return path.read_bytes().decode("latin-1")


@cache
def _page_state() -> str:
    return json.dumps({"text": CLASSIC, "off": {"givens": ["r1c1"], "rules": []}, "budget": 1})


def _page(text: str, folder: Path) -> None:
    from gridassay.verify.web.asked import Asked
    from gridassay.verify.web.questions import look

    try:
        body = json.loads(text)
    except (ValueError, RecursionError):
        return
    look(Asked.of(body), lambda done, of: None)


Reader = Callable[[str, Path], None]
FORMATS: dict[str, tuple[Reader, Callable[[random.Random], str]]] = {
    "line": (_line, lambda dice: CLASSIC),
    "document": (_document, lambda dice: dice.choice(documents())),
    "steps": (_steps, lambda dice: STEPS),
    "candidates": (_start, lambda dice: CANDIDATES),
    "answer": (_answer, lambda dice: CLASSIC.replace(".", dice.choice(".123"))),
    "style": (_style, lambda dice: STYLE),
    "catalogue": (_catalogue, lambda dice: _sound_catalogue()),
    "page": (_page, lambda dice: _page_state()),
}
COMMANDS = {
    "line": ["check", "{}", "--json"],
    "document": ["check", "{}", "--blind"],
    "steps": ["audit", "{puzzle}", "{}"],
    "candidates": ["route", "{puzzle}", "--from", "{}", "--next"],
    "answer": ["answer", "{puzzle}", "{}"],
    "style": ["draw", "{puzzle}", "--style", "{}", "-o", "{folder}/out.svg"],
    "catalogue": ["kin", "{puzzle}", "--catalogue", "{}"],
    "page": ["check", "{}"],
    "results": ["batch", "{puzzle}", "--out", "{}", "--resume"],
    "certificate": ["recheck", "{}"],
}


def one(seed: int) -> Found:
    """One damaged input of some format."""
    dice = random.Random(seed)
    name = dice.choice(list(FORMATS))
    reader, sound = FORMATS[name]
    text = damaged(sound(dice), dice)
    with tempfile.TemporaryDirectory() as folder:
        try:
            if seed % AS_A_COMMAND:
                reader(text, Path(folder))
                return Found(1)
            said = _as_command(dice.choice([name, "results"]), text, Path(folder))
        except (ga.PuzzleError, ga.OutOfTime):
            return Found(1)
        except Exception as error:
            said = f"{name}: {type(error).__name__}: {error}"
    return Found(1, Failure("readers", seed, said, text) if said else None)


def _as_command(name: str, text: str, folder: Path) -> str:
    """The fault in how a command took a file; empty if all is well."""
    path = folder / ("damaged.toml" if name == "document" else "damaged.txt")
    path.write_bytes(text.encode("latin-1" if name == "catalogue" else "utf-8", "replace"))
    sound = folder / "sound.txt"
    sound.write_text(CLASSIC, encoding="utf-8")
    words = {"puzzle": str(sound), "folder": str(folder)}
    arguments = [word.format(str(path), **words) for word in COMMANDS[name]]
    if arguments[0] != "draw":
        arguments += ["--budget", "2"]
    return run(arguments).trouble()
