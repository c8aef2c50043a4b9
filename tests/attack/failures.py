"""The findings of an attack: how much it looked at, and what was wrong, small enough to send."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path


@dataclass(frozen=True)
class Failure:
    """A fault: the part that found it, its seed, a description, and a file that shows it."""

    part: str
    seed: int
    what: str
    content: str | bytes = ""
    ending: str = "txt"

    def write(self, folder: Path) -> Path:
        """Write the reproducer as one file, with the seed and the fault at its top."""
        path = folder / f"{self.part}-{self.seed}.{self.ending}"
        folder.mkdir(parents=True, exist_ok=True)
        if isinstance(self.content, bytes):
            path.write_bytes(self.content)
        else:
            said = "".join(f"# {line}\n" for line in self.what.splitlines())
            head = f"# python -m tests.attack {self.part} --again {self.seed}\n"
            path.write_text(head + said + self.content, encoding="utf-8")
        return path


@dataclass(frozen=True)
class Found:
    """The result of one seed: how many checks, and the first thing that was wrong."""

    checks: int
    failure: Failure | None = None
