"""Certificates that were tampered with: each part changed, the manifest forged to fit, and bombs.

A certificate may pass only if its claim is true of the puzzle in it, and then it must consist of
that puzzle's own clauses. In any other case it ends in time and says what is wrong in one line.
"""

from __future__ import annotations

import io
import json
import random
import tempfile
import zipfile
from collections.abc import Callable
from functools import cache
from hashlib import sha256
from pathlib import Path

import gridassay.verify as ga
from gridassay.verify.proof.container import pack
from gridassay.verify.proof.manifest import KNOWN_PARTS

from .commands import run
from .failures import Failure, Found

Parts = dict[str, bytes]
BUDGET = 10.0
BOMBS_BUDGET = 2.0
BOMB_EVERY = 50
"""One seed in so many is a bomb, which goes through the command."""

PUZZLES = (
    "12..............",  # several solutions
    "1...23....4..31.",
    "1.3.3.1.2.4.4.2.",
    "11..............",  # none
    'size = 4\ngivens = "1..............."\n[[rule]]\nkind = "cage"\ncells = "r1c2 r2c2"\nsum = 7\n',
    'size = 4\ngivens = "1...2..........."\n[[rule]]\nkind = "cage"\ncells = "r1c1 r1c2"\nsum = 9\n',
    'size = 4\ngivens = "1234............"\n[[rule]]\nkind = "thermometer"\n'
    'cells = "r2c1 r3c1"\n[[rule]]\nkind = "cage"\ncells = "r2c2 r3c2"\nsum = "A"\n',
)


@cache
def sound(number: int) -> Parts:
    """The parts of a sound certificate."""
    data = ga.certify(PUZZLES[number].encode(), "attack", budget=60).to_bytes()
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        return {name: archive.read(name) for name in archive.namelist()}


def forged(parts: Parts) -> bytes:
    """The parts with a matching manifest, as a certificate."""
    manifest = json.loads(parts["manifest.json"])
    manifest["parts"] = {
        name: {"bytes": len(data), "sha256": sha256(data).hexdigest()}
        for name, data in parts.items()
        if name != "manifest.json"
    }
    head = (json.dumps(manifest, ensure_ascii=False, indent=2) + "\n").encode()
    return pack({**parts, "manifest.json": head})


def _lines(data: bytes, dice: random.Random) -> bytes:
    """A text with one line removed, doubled, moved or changed."""
    lines = data.split(b"\n")
    place = dice.randrange(len(lines))
    match dice.randrange(4):
        case 0:
            del lines[place]
        case 1:
            lines.insert(place, lines[place])
        case 2:
            lines[place], lines[place - 1] = lines[place - 1], lines[place]
        case 3:
            numbers = lines[place].split(b" ")
            at = dice.randrange(len(numbers))
            word = numbers[at]
            numbers[at] = dice.choice(
                [b"0", b"-" + word, word[1:], b"1", b"999999", b"", word + b"7"]
            )
            lines[place] = b" ".join(numbers)
    return b"\n".join(lines)


def _bytes(data: bytes, dice: random.Random) -> bytes:
    """A text with some bytes changed."""
    changed = bytearray(data)
    for _ in range(dice.randint(1, 3)):
        if changed:
            changed[dice.randrange(len(changed))] = dice.randrange(256)
    return bytes(changed)


def _emptied(data: bytes, dice: random.Random) -> bytes:
    """A formula that contradicts itself at once, or a proof that claims so."""
    return dice.choice([b"", b"p cnf 1 2\n1 0\n-1 0\n", b"p cnf 1 1\n0\n", b"0\n", b"1 0\n"])


def _foreign(parts: Parts, dice: random.Random) -> Parts:
    """Parts of another certificate."""
    other = sound(dice.randrange(len(PUZZLES)))
    swapped = [name for name in parts if name in other]
    return {**parts, **{name: other[name] for name in dice.sample(swapped, min(2, len(swapped)))}}


def tampered(number: int, dice: random.Random) -> Parts:
    """A sound certificate with something changed."""
    parts = sound(number)
    name = dice.choice([one for one in parts if one != "manifest.json"])
    if dice.random() < 0.15:
        return _foreign(parts, dice)
    change: Callable[[bytes, random.Random], bytes] = dice.choice(
        [_lines, _bytes, _lines, _emptied]
    )
    return {**parts, name: change(parts[name], dice)}


def one(seed: int) -> Found:
    """One certificate that was tampered with."""
    dice = random.Random(seed)
    if not seed % BOMB_EVERY:
        return _bomb(seed, dice)
    parts = tampered(dice.randrange(len(PUZZLES)), dice)
    if dice.random() < 0.1:
        parts = {**parts, "manifest.json": _bytes(parts["manifest.json"], dice)}
    try:
        data = forged(parts)
    except (ValueError, KeyError, TypeError, AttributeError):
        data = pack(parts)
    if dice.random() < 0.05:
        data = _bytes(data, dice)
    said = _taken(data)
    return Found(1, Failure("certificates", seed, said, data, "zip") if said else None)


def _taken(data: bytes) -> str:
    """The fault in how a certificate was taken; empty if all is well."""
    try:
        found = ga.recheck(data, "attack.zip", budget=BUDGET)
    except Exception as error:
        return f"{type(error).__name__}: {error}"
    if any(finding.result == "out of time" for finding in found.findings):
        return "a small certificate takes longer than the budget"
    if found.result != "passed":
        return (
            "" if all("\n" not in f.detail for f in found.findings) else "more than a line is said"
        )
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        parts = {name: archive.read(name) for name in archive.namelist()}
    name = "puzzle.toml" if "puzzle.toml" in parts else "puzzle.txt"
    try:
        puzzle = ga.read(parts[name].decode("utf-8-sig"), name)
    except ga.PuzzleError as error:
        return f"it passed, and the puzzle in it cannot be read: {error}"
    claimed = json.loads(parts["manifest.json"])["verdict"]
    verdict = ga.check(puzzle, budget=60)
    if verdict.status != claimed:
        return f"it passed as {claimed}, and the puzzle in it is {verdict.status}"
    if claimed == "unique" and found.solutions != verdict.solutions:
        return f"it passed with {found.solutions}, and the solution is {verdict.solutions}"
    mine = ga.certify(parts[name], name, budget=60).parts
    if claimed != "multiple" and mine["formula.cnf"] != parts["formula.cnf"]:
        return "it passed with other clauses than the puzzle's"
    return ""


def _many(text: str, megabytes: int) -> bytes:
    return text.encode() * (megabytes * 1_000_000 // len(text))


BOMBS: dict[str, Callable[[], tuple[str, bytes]]] = {
    "one clause of many literals": lambda: (
        "formula.cnf",
        b"p cnf 64 1\n" + _many("1 -2 ", 90) + b"0\n",
    ),
    "many tiny clauses": lambda: ("formula.cnf", b"p cnf 64 24000000\n" + _many("1 0\n", 90)),
    "a long DRAT proof": lambda: ("proof.drat", _many("1 2 3 4 5 6 0\n", 90) + b"0\n"),
    "a long LRAT proof": lambda: ("proof.lrat", _many("900 1 2 0 1 2 3 0\n", 90)),
    "many solutions": lambda: ("solutions.txt", _many("1234341221434321\n", 85)),
    "many rules": lambda: (
        "puzzle.toml",
        b"size = 4\n" + _many('[[rule]]\nkind = "even"\ncells = "r1c1"\n', 8),
    ),
    "a long title": lambda: ("puzzle.toml", b'size = 4\ntitle = "' + _many("x", 90) + b'"\n'),
    "a long line of givens": lambda: ("puzzle.txt", _many("1", 90)),
    "a large manifest": lambda: ("manifest.json", b'{"certificate":' + _many("[", 50)),
}
"""Certificates of a few hundred kilobytes that unpack to what takes long or much room."""


def _bomb(seed: int, dice: random.Random) -> Found:
    """A certificate made to cost much time or memory, given to the command."""
    name = dice.choice(list(BOMBS))
    part, data = BOMBS[name]()
    parts = dict(sound(1))
    if part.startswith("puzzle"):
        parts = {key: value for key, value in parts.items() if not key.startswith("puzzle")}
    parts[part] = data
    packed = pack(parts) if part == "manifest.json" else forged(parts)
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "bomb.zip"
        path.write_bytes(packed)
        options = (
            ["--proof-only"]
            if part.startswith(("formula", "proof")) and dice.random() < 0.5
            else []
        )
        ended = run(["recheck", str(path), "--budget", str(BOMBS_BUDGET), *options])
    said = ended.trouble()
    # Starting takes a second on a slow machine; unpacking and hashing 90 MB takes most of another.
    if ended.seconds > BOMBS_BUDGET + 3:
        said = f"{name}: {ended.seconds:.1f} processor seconds"
    if ended.megabytes > 1000:
        said = f"{name}: {ended.megabytes:.0f} MB"
    if ended.code == 0:
        said = f"{name}: it passed"
    return Found(1, Failure("certificates", seed, said, packed, "zip") if said else None)


assert set(KNOWN_PARTS) >= {
    "manifest.json",
    "formula.cnf",
    "proof.drat",
    "proof.lrat",
    "solutions.txt",
}
