"""``python -m benchmarks.telling [WORD ...]``: how the routes of examples and told variants are made up.

For every example and every puzzle of ``corpora/told.txt`` (those whose name has one of the words): how
many steps are named techniques, stories and unnamed reasons; the links of the longest story, and how
many stories have more than six; how many named steps rest on more than eight cells and places; and the
processor seconds. Shares over all of them are printed last.
"""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from time import process_time

from benchmarks.corpora import puzzles
from gridassay.encodings.puzzle import Puzzle
from gridassay.verify import read, route
from gridassay.verify.solving.results import Route

EXAMPLES = Path(__file__).parents[1] / "examples"
MOST_LINKS, MANY_LINKS = 12, 6
"""Links of a story at most, and at most in nine of ten."""

MANY_PREMISES = 8
"""Cells and places that a named step rests on that nearly all keep to."""

HEAD = (
    f"{'':28} {'steps':>5} {'named':>5} {'story':>5} {'none':>4} {'longest':>7} {'over 6':>6} "
    f"{'over 8':>6} {'seconds':>7}"
)


@dataclass
class Counts:
    """The counts of one route, or of several."""

    steps: int = 0
    named: int = 0
    unnamed: int = 0
    links: list[int] = field(default_factory=list)
    over: int = 0
    seconds: float = 0.0
    ended: bool = True

    def row(self, name: str) -> str:
        """A line of the table."""
        many = sum(length > MANY_LINKS for length in self.links)
        end = "" if self.ended else "  cut short"
        return (
            f"{name:28.28} {self.steps:5} {self.named:5} {len(self.links):5} {self.unnamed:4} "
            f"{max(self.links, default=0):7} {many:6} {self.over:6} "
            f"{self.seconds:7.1f}{end}"
        )

    def add(self, other: Counts) -> None:
        """Count another in."""
        self.steps += other.steps
        self.named += other.named
        self.unnamed += other.unnamed
        self.links += other.links
        self.over += other.over
        self.seconds += other.seconds
        self.ended = self.ended and other.ended

    def shares(self, name: str) -> str:
        """Its shares in words."""
        short = sum(length <= MANY_LINKS for length in self.links)
        told = self.named + sum(length <= MOST_LINKS for length in self.links)
        return (
            f"{name}: told {_share(told, self.steps)}, stories of at most {MANY_LINKS} links "
            f"{_share(short, len(self.links))}, named steps of more than {MANY_PREMISES} premises "
            f"{_share(self.over, self.named)}"
        )


def _share(part: int, whole: int) -> str:
    return f"{part / whole:.1%} ({part} of {whole})" if whole else "none"


def counted(found: Route, seconds: float) -> Counts:
    """The counts of one route."""
    counts = Counts(len(found.steps), seconds=seconds, ended=found.solved)
    for step in found.steps:
        if step.story:
            counts.links.append(step.story.length)
        elif step.technique == "reason":
            counts.unnamed += 1
        else:
            counts.named += 1
            counts.over += step.size[1] > MANY_PREMISES
    return counts


def _asked(kind: str) -> Iterator[tuple[str, Puzzle]]:
    if kind == "examples":
        for file in sorted(EXAMPLES.glob("*.toml")):
            yield file.stem, read(file.read_text(encoding="utf-8"), str(file))
    else:
        for puzzle in puzzles("told"):
            yield puzzle.title or puzzle.source, puzzle


def main() -> None:
    """Print a row for each puzzle as it is told, then the shares."""
    parser = argparse.ArgumentParser(prog="python -m benchmarks.telling", description=__doc__)
    parser.add_argument("words", nargs="*", metavar="WORD", help="only names with one of these")
    parser.add_argument("--seconds", type=float, default=600, help="the budget of each route")
    asked = parser.parse_args()
    print(HEAD)
    said = []
    for kind in ("examples", "variants"):
        together = Counts()
        for name, puzzle in _asked(kind):
            if asked.words and not any(word.lower() in name.lower() for word in asked.words):
                continue
            began = process_time()
            found = route(puzzle, budget=asked.seconds)
            counts = counted(found, process_time() - began)
            print(counts.row(name), flush=True)
            together.add(counts)
        if together.steps:
            print(together.row(kind))
            said.append(together.shares(kind))
    print("\n".join(said))


if __name__ == "__main__":
    main()
