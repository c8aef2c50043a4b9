"""The manifest of a certificate: what it claims, what made it, and the hash of every part.

``encoder`` is a hash over the source of everything that turns a puzzle into clauses, plug-ins
included. Two clones with one encoder must write the same clauses for a puzzle, to the byte.
"""

from __future__ import annotations

import hashlib
import inspect
import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import lru_cache
from importlib.metadata import entry_points, version
from pathlib import Path
from typing import Any

from gridassay.encodings import puzzle as encodings
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
KNOWN_PARTS = (MANIFEST, DOCUMENT, LINES, SOLUTIONS, FORMULA, DRAT, LRAT)
CLAIMS = {
    "unique": ("exactly one solution", 1),
    "multiple": ("more than one solution", 2),
    "none": ("no solution", 0),
}
"""By verdict: what is claimed, and how many solutions are shown."""

VERSIONS = ("gridassay", "encoder", "python-sat")
PLUG_IN_GROUP = "gridassay.rules"


class ManifestRefused(ValueError):
    """A manifest that cannot be read: the message is one plain line."""


@dataclass(frozen=True)
class Manifest:
    """What a certificate says of itself.

    ``versions`` of gridassay, its encoder and python-sat; ``plug_ins`` by name, with what ships
    them; ``proof`` says how the DRAT proof came about, empty where none is needed; ``parts`` gives
    each file's length in bytes and SHA-256.
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
        """The manifest as it is written."""
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


def describe(data: bytes) -> tuple[int, str]:
    """Length in bytes and SHA-256 of a part."""
    return len(data), hashlib.sha256(data).hexdigest()


def manifest_of(
    verdict: str, parts: Mapping[str, bytes], proof: str, *, plug_ins: bool
) -> Manifest:
    """The manifest for parts made here and now; ``plug_ins`` tells whether rules take part."""
    made_by = (version("gridassay"), encoder(plug_ins=plug_ins), version("python-sat"))
    versions = dict(zip(VERSIONS, made_by, strict=True))
    shipped = dict(_plug_ins()) if plug_ins else {}
    described = {name: describe(data) for name, data in parts.items()}
    return Manifest(verdict, versions, shipped, proof, described)


def read_manifest(data: bytes) -> Manifest:
    """Read a manifest. Raises ManifestRefused unless it is, to the byte, as one is written."""
    try:
        raw = json.loads(data.decode())
        if raw["certificate"] != FORMAT:
            raise ManifestRefused("it is of another format: a newer gridassay may read it")
        parts = {name: (part["bytes"], part["sha256"]) for name, part in raw["parts"].items()}
        manifest = Manifest(raw["verdict"], raw["versions"], raw["plug-ins"], raw["proof"], parts)
        if tuple(manifest.versions) == VERSIONS and manifest.to_bytes() == data:
            return manifest
    except (ValueError, KeyError, TypeError, AttributeError, RecursionError) as error:
        if isinstance(error, ManifestRefused):
            raise
    raise ManifestRefused("it is not written as a manifest is")


@lru_cache(maxsize=2)
def encoder(*, plug_ins: bool) -> str:
    """A hash over the source of all that turns puzzles into clauses.

    Plug-ins count when ``plug_ins`` says that rules take part: without rules they cannot.
    """
    own = Path(encodings.__file__).parent
    sources = [*sorted(own.rglob("*.py")), Path(formula.__file__)]
    digest = hashlib.sha256()
    for source in sources:
        digest.update(f"{source.name} ".encode() + source.read_bytes().replace(b"\r\n", b"\n"))
    if plug_ins:
        for text in sorted(_plug_in_sources()):
            digest.update(text.encode())
    return digest.hexdigest()[:16]


def _plug_ins() -> Iterator[tuple[str, str]]:
    for entry in sorted(entry_points(group=PLUG_IN_GROUP), key=lambda entry: entry.name):
        yield entry.name, f"{entry.dist.name} {entry.dist.version}" if entry.dist else entry.value


def _plug_in_sources() -> set[str]:
    from gridassay.encodings.rules import RULES

    modules = {inspect.getmodule(rule) for rule in RULES.values()}
    return {
        inspect.getsource(module)
        for module in modules
        if module is not None and not module.__name__.startswith("gridassay.")
    }
