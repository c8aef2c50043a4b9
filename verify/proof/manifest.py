"""The manifest of a certificate: what it claims, what made it, and the hash of every part.

``encoder`` is a hash over the source of everything that turns the puzzle into clauses, including
the plug-ins of its rules. Two clones with the same encoder must write exactly the same clauses, to
the byte.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import Any

from gridassay.encodings import puzzle as encodings
from gridassay.encodings.puzzle import Puzzle
from gridassay.verify.proof import formula

FORMAT = 1
"""To be raised when anything that is written here changes, words included."""

HOW_TO_CHECK = (
    "gridassay recheck FILE checks everything. With Python alone and checker.py, to be had from the "
    "gridassay project and short enough to read: python checker.py formula.cnf proof.lrat"
)
MANIFEST, FORMULA, DRAT, LRAT, SOLUTIONS = (
    "manifest.json",
    "formula.cnf",
    "proof.drat",
    "proof.lrat",
    "solutions.txt",
)
DOCUMENT, LINES = "puzzle.toml", "puzzle.txt"
NOTE = "read-me.txt"
MOST_PUZZLE, MOST_SOLUTIONS, _MOST_MANIFEST = 2_000_000, 1_000_000, 100_000
"""Bytes of a puzzle and its solutions that are read: more than any puzzle's."""

KNOWN_PARTS = (MANIFEST, NOTE, DOCUMENT, LINES, SOLUTIONS, FORMULA, DRAT, LRAT)
CLAIMS = {
    "unique": ("exactly one solution", 1),
    "multiple": ("more than one solution", 2),
    "none": ("no solution", 0),
}
"""By verdict: what is claimed, and how many solutions are shown."""

_TO_READ = "Read it: the solutions are there, and each can be held against the puzzle by eye."
_TO_CHECK = """With Python alone: get checker.py from the gridassay project (one file, short enough to
read, which needs nothing else), put it beside these files, and run
    python checker.py formula.cnf proof.lrat
It follows every line of the proof that formula.cnf, the puzzle as clauses{without},
cannot be satisfied. That the clauses say what the puzzle says is checked by"""

VERSIONS = ("gridassay", "encoder", "python-sat")
PlugIns = tuple[tuple[str, type], ...]
"""Kinds of rules from outside gridassay, each with its class."""


class ManifestRefused(ValueError):
    """A manifest cannot be read; the message is one plain line."""


@dataclass(frozen=True)
class Manifest:
    """The claims of a certificate about itself.

    ``versions`` of gridassay, its encoder and python-sat; ``plug_ins`` by kind of rule, with the
    package that brings it; ``proof`` says how the DRAT proof was made, and is empty if none
    is needed; ``parts`` gives each file's length in bytes and SHA-256.
    """

    verdict: str
    versions: Mapping[str, str]
    plug_ins: Mapping[str, str]
    proof: str
    parts: Mapping[str, tuple[int, str]]

    @property
    def encoder(self) -> str:
        """The hash of the encoder that wrote the clauses."""
        return self.versions["encoder"]

    def to_json(self) -> dict[str, Any]:
        """The manifest as JSON."""
        return {
            "certificate": FORMAT,
            "verdict": self.verdict,
            "claim": CLAIMS[self.verdict][0],
            "check": HOW_TO_CHECK,
            "versions": dict(self.versions),
            "plug-ins": dict(self.plug_ins),
            "proof": self.proof,
            "parts": {
                name: {"bytes": length, "sha256": digest}
                for name, (length, digest) in self.parts.items()
            },
        }

    def to_bytes(self) -> bytes:
        """The manifest as a file."""
        return (json.dumps(self.to_json(), ensure_ascii=False, indent=2) + "\n").encode()


def note(verdict: str) -> str:
    """The text of a certificate for a stranger: what it is, and how to check it with Python alone."""
    claim, shown = CLAIMS[verdict]
    without = " with that solution forbidden" if shown else ""
    how = _TO_READ if verdict == "multiple" else _TO_CHECK.format(without=without)
    with_it = "With gridassay, which checks everything:" if verdict == "multiple" else ""
    return "\n".join(
        [
            f"This is a certificate, made by gridassay: the puzzle in it has {claim}.",
            "puzzle.toml or puzzle.txt is the puzzle, solutions.txt what solutions it shows.",
            how,
            *filter(None, [with_it]),
            "    gridassay recheck THIS.zip",
            "",
        ]
    )


def describe(data: bytes) -> tuple[int, str]:
    """Length in bytes and SHA-256 of a part."""
    from hashlib import sha256

    return len(data), sha256(data).hexdigest()


def manifest_of(puzzle: Puzzle, verdict: str, parts: Mapping[str, bytes], proof: str) -> Manifest:
    """The manifest for parts made here and now."""
    from importlib.metadata import version

    own = (version("gridassay"), encoder(plug_ins_of(puzzle)), version("python-sat"))
    versions = dict(zip(VERSIONS, own, strict=True))
    packages = {kind: _package(kind) for kind, _ in plug_ins_of(puzzle)}
    described = {name: describe(data) for name, data in parts.items()}
    return Manifest(verdict, versions, packages, proof, described)


def read_manifest(data: bytes) -> Manifest:
    """Read a manifest. Raises ManifestRefused unless it is, to the byte, as it would be written."""
    if len(data) > _MOST_MANIFEST:
        raise ManifestRefused(f"it has more than {_MOST_MANIFEST:,} bytes")
    try:
        raw = json.loads(data.decode())
        if raw["certificate"] != FORMAT:
            raise ManifestRefused("it has another format: a newer gridassay may be able to read it")
        parts = {name: (part["bytes"], part["sha256"]) for name, part in raw["parts"].items()}
        manifest = Manifest(raw["verdict"], raw["versions"], raw["plug-ins"], raw["proof"], parts)
        if tuple(manifest.versions) == VERSIONS and manifest.to_bytes() == data:
            return manifest
    except (ValueError, KeyError, TypeError, AttributeError, RecursionError) as error:
        if isinstance(error, ManifestRefused):
            raise
    raise ManifestRefused("it does not have the form of a manifest")


@lru_cache(maxsize=4)
def encoder(plug_ins: PlugIns = ()) -> str:
    """A hash over the source of everything that turns puzzles with these plug-ins into clauses."""
    import inspect
    from hashlib import sha256

    own = Path(encodings.__file__).parent
    digest = sha256()
    for source in (*sorted(own.rglob("*.py")), Path(formula.__file__)):
        digest.update(f"{source.name} ".encode() + source.read_bytes().replace(b"\r\n", b"\n"))
    for kind, rule in plug_ins:
        module = inspect.getmodule(rule)
        digest.update(f"{kind} {inspect.getsource(module or rule)}".encode())
    return digest.hexdigest()[:16]


def plug_ins_of(puzzle: Puzzle) -> PlugIns:
    """The kinds of the puzzle's rules, nested ones too, that come from outside gridassay."""
    if not puzzle.rules:
        return ()
    from gridassay.encodings.rules.base import Rule

    found: dict[str, type] = {}
    waiting: list[object] = list(puzzle.rules)
    while waiting:
        value = waiting.pop()
        if isinstance(value, list | tuple):
            waiting += value
        elif isinstance(value, Rule):
            waiting += vars(value).values()
            if not type(value).__module__.startswith("gridassay."):
                found[value.kind] = type(value)
    return tuple(sorted(found.items()))


def _package(kind: str) -> str:
    """The installed package that brings a kind of rule, with its version."""
    from importlib.metadata import entry_points

    from gridassay.encodings.rules import GROUP

    for point in entry_points(group=GROUP, name=kind):
        if point.dist:
            return f"{point.dist.name} {point.dist.version}"
    return "no package"
