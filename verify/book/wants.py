"""The requirements on a puzzle: whether they can be met, what they ask, and whether they are met."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from difflib import get_close_matches
from typing import Any, Literal

from gridassay.encodings.lines import PuzzleError
from gridassay.verify.kin.turns import SYMMETRIES
from gridassay.verify.solving.levels import GROUPS, group_named
from gridassay.verify.solving.techniques import TECHNIQUES
from gridassay.verify.solving.techniques.names import find_technique
from gridassay.verify.words import quantity

PATTERNS = tuple(turn.name for turn in SYMMETRIES)
"""The names of the patterns that ``kin`` reports."""

Met = Literal["met", "not met", "open"]


@dataclass(frozen=True)
class Wants:
    """The requirements on one puzzle; None if anything will do.

    ``level`` is the places of the first and the last group in ``GROUPS``; ``needs`` names
    techniques by our names.
    """

    verdict: Literal["unique", "multiple", "none"] = "unique"
    wasted: int | None = None
    level: tuple[int, int] | None = None
    symmetric: str | None = None
    needs: tuple[str, ...] = ()
    fresh: bool = True
    certificate: bool = False


@dataclass(frozen=True)
class Held:
    """One requirement held against a puzzle: ``said`` in words, ``found`` in the puzzle."""

    want: str
    said: str
    result: Met
    found: str

    def to_json(self) -> dict[str, Any]:
        """The keys of the JSON contract, and what was found."""
        given = {"want": self.want, "said": self.said, "met": self.result == "met"}
        if self.result == "open":
            given["open"] = True
        return given | {"found": self.found}


def wants_of(fields: Mapping[str, Any]) -> tuple[Wants, list[str]]:
    """The requirements in a table's fields, and why nothing can meet them; empty if something may."""
    faults: list[str] = []
    level = None
    if fields["level"] != "any":
        places = [_group(name, faults) for name in fields["level"]]
        if None not in places:
            level = (places[0], places[1])
            if level[0] > level[1]:
                faults.append(
                    f"level: from {GROUPS[level[0]]} to {GROUPS[level[1]]} goes down; "
                    "name the easier group first"
                )
    symmetric = None if fields["symmetric"] == "any" else fields["symmetric"]
    if symmetric is not None and symmetric not in PATTERNS:
        near = get_close_matches(symmetric, PATTERNS, n=1, cutoff=0.5)
        rest = f"did you mean {near[0]}?" if near else f"the patterns are {', '.join(PATTERNS)}"
        faults.append(f"symmetric: there is no pattern {symmetric!r}; {rest}")
    needs = []
    for word in fields["needs"]:
        try:
            needs.append(find_technique(word))
        except PuzzleError as error:
            faults.append(f"needs: {error.message}")
    wants = Wants(
        fields["verdict"],
        None if fields["wasted"] == "any" else fields["wasted"],
        level,
        symmetric,
        tuple(dict.fromkeys(needs)),
        fields["fresh"],
        fields["certificate"],
    )
    return wants, faults + list(_against_each_other(wants))


def _group(name: str, faults: list[str]) -> Any:
    if name in GROUPS:
        return GROUPS.index(name)
    near = get_close_matches(name, GROUPS, n=1, cutoff=0.5)
    rest = f"did you mean {near[0]!r}?" if near else f"they are {', '.join(GROUPS)}"
    faults.append(f"level: there is no group of techniques {name!r}; {rest}")
    return None


def _against_each_other(wants: Wants) -> Iterator[str]:
    """Requirements that could each be met alone, but not together."""
    if wants.verdict != "unique":
        of_one = {"level": wants.level is not None, "needs": bool(wants.needs)}
        of_one["wasted"] = wants.wasted is not None
        for name, asked in of_one.items():
            if asked:
                yield (
                    f"{name}: only a puzzle with one solution can meet that, "
                    f'and verdict is "{wants.verdict}"'
                )
    for name in wants.needs if wants.level else ():
        group = group_named(name, TECHNIQUES)
        if wants.level and group > wants.level[1]:
            yield (
                f"needs: a puzzle that needs {name} has the level {GROUPS[group]} at least, "
                f"and level ends with {GROUPS[wants.level[1]]}"
            )


def parts_for(wants: Wants, *, told: bool = True) -> tuple[str, ...]:
    """The questions that a puzzle's requirements call for; with ``told``, its route as well."""
    asked = {
        "route": told or wants.level is not None,
        "form": wants.fresh or wants.symmetric is not None,
        "wasted": wants.wasted is not None,
        "certify": wants.certificate,
    }
    return tuple(name for name, needed in asked.items() if needed)


def hold(
    wants: Wants,
    answers: Mapping[str, Any],
    *,
    twins: tuple[str, ...] | None = (),
    certificate: str = "none",
) -> Iterator[Held]:
    """Compare a puzzle with its requirements.

    ``answers`` has the answers by name, None or absent if the budget ran out. ``twins`` are the
    puzzles that are the same in disguise, None if that is open.
    """
    verdict = answers["verdict"]["verdict"]
    result: Met = "open" if verdict == "undecided" else _as_met(verdict == wants.verdict)
    yield Held("verdict", _VERDICTS[wants.verdict], result, _VERDICTS.get(verdict, verdict))
    if wants.wasted is not None:
        yield _waste(wants.wasted, verdict, answers.get("wasted"))
    if wants.level is not None:
        yield _level(wants.level, verdict, answers.get("route"))
    if wants.symmetric is not None:
        yield _symmetric(wants.symmetric, answers.get("form"))
    for name in wants.needs:
        needed = answers.get(f"needs {name}")
        told = "open" if needed is None else "needed" if needed else "not needed"
        yield Held("needs", f"needs {name}", "open" if needed is None else _as_met(needed), told)
    if wants.fresh:
        said = "no other puzzle is the same in disguise"
        if twins is None:
            yield Held("fresh", said, "open", "its canonical form was not found in time")
        else:
            found = f"the same as {', '.join(twins)}" if twins else "none is"
            yield Held("fresh", said, _as_met(not twins), found)
    if wants.certificate:
        state: Met = _as_met(certificate == "current")
        found = certificate
        if state == "not met" and answers.get("certify") is None:
            state, found = (
                "open",
                f"{certificate}, and the budget ran out before a new one was made",
            )
        yield Held("certificate", "a current certificate", state, found)


_VERDICTS = {"unique": "one solution", "multiple": "several solutions", "none": "no solution"}


def _as_met(holds: bool) -> Met:
    return "met" if holds else "not met"


def _waste(most: int, verdict: str, found: Any) -> Held:
    said = f"at most {quantity(most, 'given')} wasted" if most else "no given wasted"
    if verdict != "unique":
        return Held("wasted", said, "open", "it does not have exactly one solution")
    if found is None or found["undecided"]:
        return Held("wasted", said, "open", "the budget ran out")
    wasted = found["givens"]
    told = (
        f"{quantity(len(wasted), 'given')} ({', '.join(wasted[:8])}{', …' if wasted[8:] else ''})"
        if wasted
        else "none"
    )
    return Held("wasted", said, _as_met(len(wasted) <= most), told)


def _level(wanted: tuple[int, int], verdict: str, found: Any) -> Held:
    first, last = (GROUPS[place] for place in wanted)
    said = f"the level {first}" if first == last else f"a level from {first} to {last}"
    if verdict != "unique":
        return Held("level", said, "open", "it does not have exactly one solution")
    level = found and found["level"]
    if not level:
        return Held("level", said, "open", "its route was not finished in time")
    return Held("level", said, _as_met(wanted[0] <= GROUPS.index(level) <= wanted[1]), level)


def _symmetric(wanted: str, found: Any) -> Held:
    if found is None:
        return Held("symmetric", wanted, "open", "the budget ran out")
    seen = found["patterns"]
    told = f"the pattern {' and '.join(seen)}" if seen else "no pattern"
    return Held("symmetric", wanted, _as_met(wanted in seen), told)
