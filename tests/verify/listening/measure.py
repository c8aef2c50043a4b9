"""The claims of narrations that the listener understood, held against the truth beside them.

    python -m tests.verify.listening.measure [--misses] [--from DIRECTORY] [WORD ...]

measures the narrations whose names hold one of the words, all of them without one. The truth is by
people who have not seen the grammar (``narrations/README.md``); what its keys mean is told there too.
"""

from __future__ import annotations

import argparse
import json
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from gridassay.verify import read_file
from gridassay.verify.listening.results import TalkStep
from gridassay.verify.listening.talk import audit_talk
from gridassay.verify.solving.board.position import Layout, layout_of, value_text
from gridassay.verify.solving.board.step_reader import StepReader, Unreadable

NARRATIONS = Path(__file__).parent / "narrations"

_MOST_TOGETHER = 4
"""Claims that were heard as one, or a claim that was heard as several."""

_LEFT = re.compile(r"(?P<what>[A-Z]|(?:r\d+c\d+ ?)+) ?= (?P<values>\d+(?: \d+)+)")
"""What is left in cells, or for a letter: ``r3c4 = 4 6``, ``B = 14 17``; several are parted by ``;``."""

Marks = frozenset[tuple[str, int, bool]]


@dataclass
class Tally:
    """Claims of a style: how many there are, were understood, were judged as the truth has them."""

    claims: int = 0
    understood: int = 0
    right: int = 0
    planted: int = 0
    found: int = 0
    true: int = 0
    called_wrong: int = 0
    misses: list[str] = field(default_factory=list)

    def add(self, other: Tally) -> None:
        """Take over the figures of another."""
        for name, value in vars(other).items():
            setattr(self, name, getattr(self, name) + value)

    def told(self) -> str:
        """The four figures of listening.md, with the counts behind them."""

        def share(part: int, whole: int) -> str:
            return f"{100 * part / whole:5.1f} % ({part}/{whole})" if whole else "-"

        return (
            f"understood {share(self.understood, self.claims)}"
            f"  right {share(self.right, self.understood)}"
            f"  planted found {share(self.found, self.planted)}"
            f"  true called wrong {share(self.called_wrong, self.true)}"
        )


def measure(truth_file: Path) -> tuple[str, Tally]:
    """The style of a narration, and its figures."""
    truth = json.loads(truth_file.read_text("utf-8"))
    puzzle = read_file(truth_file.parent / truth["puzzle"])
    text = (truth_file.parent / truth["narration"]).read_text("utf-8")
    steps = audit_talk(puzzle, text, budget=300).steps
    layout = layout_of(puzzle)
    reader = StepReader(layout)

    def marks(said: str | None) -> Marks:
        if not said:
            return frozenset()
        said = said.partition(" because ")[0]
        left = [_LEFT.fullmatch(one) for one in said.split("; ")]
        if all(left):
            kept = [(one["what"].split(), one["values"].split()) for one in left if one]
            return frozenset().union(*(_struck(*one, layout) for one in kept))
        try:
            places, removes = reader.claims(said)
        except Unreadable:  # a value that a letter never has
            return frozenset()
        return frozenset(
            (str(one.unknown), one.value, placed)
            for group, placed in ((places, True), (removes, False))
            for one in group
        )

    said = [marks(step.means) for step in steps]
    claims = truth["claims"]
    meant = [marks(claim.get("conclusion") or claim.get("taken_back")) for claim in claims]
    pairs = dict(_pairs(claims, meant, steps, said))
    return truth["style"], _tally(truth_file.stem, claims, meant, steps, said, pairs)


def _struck(unknowns: Sequence[str], kept: Sequence[str], layout: Layout) -> Marks:
    """All values but those kept, of cells or a letter."""
    return frozenset(
        (one, int(value_text(layout.unknowns[place], value)), False)
        for place, domain in enumerate(layout.domains)
        for one in [str(layout.unknowns[place])]
        if one in unknowns
        for value in domain
        if value_text(layout.unknowns[place], value) not in kept
    )


def _tally(
    name: str,
    claims: Sequence[dict[str, Any]],
    meant: Sequence[Marks],
    steps: Sequence[TalkStep],
    said: Sequence[Marks],
    pairs: dict[int, tuple[int, ...]],
) -> Tally:
    tally = Tally()
    for number, claim in enumerate(claims):
        heard = [steps[place] for place in pairs.get(number, ())]
        results = {step.result for step in heard}
        allowed = {claim["result"], *claim.get("also_right", [])}
        concluded = frozenset().union(*(said[place] for place in pairs.get(number, ())))
        told = f"{name.partition('.')[0]} {claim['n']}: {claim['words']!r} is {claim.get('conclusion')}"
        told += f" {'/'.join(sorted(allowed))}; heard " + (
            "; ".join(
                f"{step.said!r} as {step.means} {step.result} {step.detail}" for step in heard
            )
            or "nothing"
        )
        if not heard and "no claim" in allowed:  # it is taken back
            continue
        if claim["result"] == "no claim":
            if "wrong" in results - allowed:
                tally.called_wrong += 1
                tally.misses.append(f"WRONG {told}")
            continue
        agrees = bool(heard) and concluded >= meant[number]
        if heard and _LEFT.match(claim.get("conclusion") or ""):  # some may have gone before
            places = pairs[
                number
            ]  # of several claims that were heard as one, it has the marks of all
            together = (meant[other] for other in pairs if pairs[other] == places)
            agrees = bool(concluded) and concluded <= frozenset().union(*together)
        understood = agrees and (results != {"unclear"} or "unclear" in allowed)
        if "unclear" in allowed and "unclear" in results:
            understood = True
        right = understood and (results <= allowed | {"idle"}) and bool(results & allowed)
        tally.claims += 1
        tally.understood += understood
        tally.right += right
        if "planted" in claim:
            tally.planted += 1
            tally.found += right
        if "wrong" not in allowed:
            tally.true += 1
            if "wrong" in results:
                tally.called_wrong += 1
        if not right:
            tag = "WRONG" if "wrong" in results - allowed else "right" if understood else "heard"
            tally.misses.append(f"{tag} {'planted ' if 'planted' in claim else ''}{told}")
    matched = {place for places in pairs.values() for place in places}
    for place, step in enumerate(steps):
        if place not in matched and step.result != "unclear":
            extra = f"{name.partition('.')[0]} extra: {step.line} {step.time} {step.said!r}"
            if step.result == "wrong":
                tally.called_wrong += 1
            tag = "WRONG" if step.result == "wrong" else "extra"
            tally.misses.append(f"{tag} {extra} as {step.means} {step.result} {step.detail}")
    return tally


def _pairs(
    claims: Sequence[dict[str, Any]],
    meant: Sequence[Marks],
    steps: Sequence[TalkStep],
    said: Sequence[Marks],
) -> Iterator[tuple[int, tuple[int, ...]]]:
    """Each claim of the truth with what was heard of it: the alignment, in order, that agrees most."""
    rows, columns = len(claims), len(steps)
    best: list[list[tuple[float, int, int]]] = [
        [(0.0, 0, 0)] * (columns + 1) for _ in range(rows + 1)
    ]
    for row in range(rows + 1):
        for column in range(columns + 1):
            options = [(0.0, 0, 0)]
            if row:
                options.append((best[row - 1][column][0], 1, 0))
            if column:
                options.append((best[row][column - 1][0], 0, 1))
            for up, left in _shapes(row, column):
                some, heard = range(row - up, row), range(column - left, column)
                value = _value(claims, meant, steps, said, some, heard)
                if value:
                    options.append((best[row - up][column - left][0] + value, up, left))
            best[row][column] = max(options)
    row, column = rows, columns
    while row or column:
        _, up, left = best[row][column]
        if not up and not left:
            up = 1 if row else 0
            left = 0 if row else 1
        for number in range(row - up, row) if left else ():
            if up:
                yield number, tuple(range(column - left, column))
        row, column = row - up, column - left


def _shapes(row: int, column: int) -> Iterator[tuple[int, int]]:
    for many in range(1, _MOST_TOGETHER + 1):
        if row >= 1 and column >= many:
            yield 1, many
        if many > 1 and row >= many and column >= 1:
            yield many, 1


def _value(
    claims: Sequence[dict[str, Any]],
    meant: Sequence[Marks],
    steps: Sequence[TalkStep],
    said: Sequence[Marks],
    some: range,
    heard: range,
) -> float:
    """How well some claims and what was heard agree: in what they conclude, else in where they stand."""
    wanted = frozenset().union(*(meant[number] for number in some))
    told = frozenset().union(*(said[place] for place in heard))
    size = len(some)
    if len(heard) > 1 and not all(said[place] for place in heard):
        return 0.0
    near = all(_near(claims[number], steps[place]) for number in some for place in heard)
    if wanted and wanted == told:
        return size * (10.0 if near else 4.0)
    if len(some) == len(heard) == 1 and near:
        left = _LEFT.match(claims[some[0]].get("conclusion") or "")
        if wanted & told and (wanted <= told or (left and told <= wanted)):
            return 8.0
        return 1.0 + _shared(claims[some[0]]["words"], steps[heard[0]].said)
    return 0.0


def _near(claim: dict[str, Any], step: TalkStep) -> bool:
    """Whether a claim stands where a step was heard: in its line, or within a few cues."""
    if "time" in claim:
        return abs(_seconds(claim["time"]) - _seconds(step.time or "0")) < 12
    return abs(int(claim["line"]) - step.line) <= 2


def _seconds(time: str) -> float:
    seconds = 0.0
    for part in time.replace(",", ".").split(":"):
        seconds = 60 * seconds + float(part)
    return seconds


def _shared(words: str, said: str) -> float:
    """The share of the words of a claim that were heard with it."""
    one, other = set(words.casefold().split()), set(said.casefold().split())
    return len(one & other) / max(1, len(one))


def main() -> None:
    """Measure, and say the figures of each narration and each style."""
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0] if __doc__ else "")
    parser.add_argument("words", nargs="*")
    parser.add_argument("--from", dest="directory", type=Path, default=NARRATIONS)
    parser.add_argument("--misses", action="store_true", help="each claim that is not right")
    asked = parser.parse_args()
    styles: dict[str, Tally] = {}
    for file in sorted(asked.directory.glob("*.truth.json")):
        if asked.words and not any(word in file.stem for word in asked.words):
            continue
        style, tally = measure(file)
        styles.setdefault(style, Tally()).add(tally)
        print(f"{file.name.partition('.')[0]:28}{tally.told()}", flush=True)
        if asked.misses:
            print(*(f"    {miss}" for miss in tally.misses), sep="\n", flush=True)
    for style, tally in styles.items():
        print(f"\n{style:28}{tally.told()}")


if __name__ == "__main__":
    main()
