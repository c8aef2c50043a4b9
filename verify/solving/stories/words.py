"""Stories in words: "suppose r4c7 were 3. Then r4c8 is 2, by the thermometer; then …".

A link says its conclusion and its reason in a few words; the long sentence of its step is kept with
it. A rule is named in full once in a story, and then by its first words, where no other
rule of the story is called so.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Sequence
from itertools import groupby

from gridassay.encodings.constraints import Doubler
from gridassay.encodings.naming import without_its_way
from gridassay.verify.engines.questions import Switch
from gridassay.verify.solving.board.ideas import (
    Branch,
    Ending,
    Idea,
    Narrowed,
    Story,
    premise_name,
    word_list,
    zone_in,
    zone_said,
)
from gridassay.verify.solving.board.layer_words import (
    in_words,
    is_layered,
    marks_said,
    thing_said,
    values_said,
)
from gridassay.verify.solving.board.position import Layout, Mark, Zone, members
from gridassay.verify.solving.techniques import (
    hidden_single,
    last_cell,
    naked_single,
    rule_alone,
    rule_with_houses,
)
from gridassay.verify.solving.techniques.facts import every

_MOST_SAID = 6
"""The most unknowns of layers that are named as what leaves no way to fill a rule."""

_MOST_PLACES = 3
"""The most digits of whose only places one clause speaks."""

Name = Callable[[Switch], str]
"""What a house or rule is called."""


class _Names:
    """The names of the rules of one story, one after the other."""

    def __init__(self, layout: Layout, story: Story) -> None:
        links = [link for branch in story.branches for link in branch.links]
        ends = [branch.end.switch for branch in story.branches if branch.end and branch.end.switch]
        switches: list[Switch] = [*(one for link in links for one in link.all_switches), *ends]
        self._names = {premise_name(layout, switch) for switch in switches}
        self._layout = layout
        self._said: set[str] = set()

    def of(self, switch: Switch) -> str:
        """``the thermometer from r2c2 by r3c3 to r4c3``; the next time ``the thermometer``."""
        name = premise_name(self._layout, switch)
        if name not in self._said:
            self._said.add(name)
            return name
        short = without_its_way(name)
        others = self._names - {name}
        return name if any(f"{other} ".startswith(f"{short} ") for other in others) else short


def story_said(layout: Layout, story: Story, removes: tuple[Mark, ...]) -> str:
    """The whole story, and what it strikes."""
    name = _Names(layout, story).of
    if story.form == "suppose":
        (branch,) = story.branches
        said = [f"suppose {_assertion(layout, branch.supposed, 'were')}"]
        said.append(_capital("; ".join(_links_said(layout, branch, name))))
        said.append(f"So {_denial(layout, branch.supposed)}")
        return ". ".join(said)
    first, *others = (_branch_said(layout, branch, name) for branch in story.branches)
    cases = _cases(layout, story)
    said = [cases, _capital(first)] if cases else [first]
    way = "Either way" if len(story.branches) == 2 else "Whichever it is"
    return ". ".join(
        [
            *said,
            *map(_capital, others),
            f"{way}, {_conclusion_said(layout, Idea('', removes=removes), ())}",
        ]
    )


def _branch_said(layout: Layout, branch: Branch, name: Name) -> str:
    steps = _links_said(layout, branch, name)
    return f"if {_assertion(layout, branch.supposed, 'is')}, {'; '.join(steps)}"


def _links_said(layout: Layout, branch: Branch, name: Name) -> list[str]:
    """The links and the end of a branch; singles of one kind in a row are one clause."""
    reasons = [why() for why in branch.reasons] or [()] * len(branch.links)
    steps = []
    for technique, several in groupby(
        zip(branch.links, reasons, strict=True), lambda one: _single(layout, one[0])
    ):
        told = list(several)
        links = [link for link, _ in told]
        if technique == naked_single.NAME:
            steps.append(_only_digits(layout, links, [why for _, why in told]))
        elif technique == hidden_single.NAME:
            steps += [
                _only_places(layout, links[first : first + _MOST_PLACES])
                for first in range(0, len(links), _MOST_PLACES)
            ]
        else:
            steps += [link_said(layout, link, why, name) for link, why in told]
    if branch.end:
        last = _conclusion_said(layout, branch.links[-1], reasons[-1]) if branch.links else ""
        steps.append(ending_said(layout, branch.end, name, last))
    return [f"then {step}" for step in steps]


def _single(layout: Layout, link: Idea) -> str:
    """The kind of single that a link is; empty for any other link."""
    if link.technique == naked_single.NAME and not in_words(layout.unknowns[link.places[0][0]]):
        return naked_single.NAME
    return hidden_single.NAME if link.technique in (hidden_single.NAME, last_cell.NAME) else ""


def _only_digits(
    layout: Layout, links: Sequence[Idea], reasons: Sequence[Sequence[Narrowed]]
) -> str:
    """``only 8 is left for r1c7 and only 5 for r8c9, so only 6 for r7c7``; *so* after what leaves it."""
    waves: list[list[Mark]] = [[]]
    for link, why in zip(links, reasons, strict=True):
        ((unknown, value),) = link.places
        had = next((before for one, before, _ in why if one == unknown), 0)
        if any(had >> other & 1 and _sees(layout, one, unknown) for one, other in waves[-1]):
            waves.append([])
        waves[-1].append((unknown, value))
    said: list[str] = []
    for wave in waves:
        together: dict[str, list[str]] = {}
        for mark in wave:
            cell = thing_said(layout, mark[0])
            together.setdefault(f"only {layout.value_name(mark)}", []).append(cell)
        said.append(_in_a_row([f"{one} for {word_list(cells)}" for one, cells in together.items()]))
    return ", so ".join(said).replace(" for", " is left for", 1)


def _sees(layout: Layout, one: int, other: int) -> bool:
    return layout.is_cell(one) and bool(layout.sees[one] >> other & 1)


def _only_places(layout: Layout, links: Sequence[Idea]) -> str:
    """``the only place for 9 in row 7 is r7c4, and for 2 in box 9 it is r9c7``."""
    said: list[str] = []
    last = ""
    for link in links:
        ((cell, digit),), (_, zone) = link.places, link.spots[0]
        place = zone_in(layout, zone)
        where = f"for {layout.symbol(digit)}" + (f" {place}" if place != last else "")
        said.append(f"{where} {'it ' if said else ''}is {layout.cells[cell]}")
        last = place
    return f"the only place {', '.join(said[:-1])}{', and ' if said[1:] else ''}{said[-1]}"


def _cases(layout: Layout, story: Story) -> str:
    """The cases of an *either*, ``5 in row 3 is in r3c2 or r3c4``; empty for what is so or is not."""
    about = story.about
    marks = [branch.supposed[0] for branch in story.branches]
    if about is None or in_words(layout.unknowns[marks[0][0]]):
        return ""
    if about.digit is None or about.zone is None:
        return _assertion(layout, marks, "is")
    cells = word_list((thing_said(layout, cell) for cell, _ in marks), "or")
    return f"{layout.symbol(about.digit)} {zone_in(layout, about.zone)} is in {cells}"


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def _assertion(layout: Layout, marks: Iterable[Mark], verb: str) -> str:
    several = list(marks)
    unknown = several[0][0]
    cells = dict.fromkeys(one for one, _ in several)
    if len(cells) > 1:
        where = word_list([thing_said(layout, one) for one in cells], "or")
        return f"{layout.value_name(several[0])} {verb} in {where}"
    if in_words(layout.unknowns[unknown]):
        return values_said(layout, unknown, [value for _, value in several], by=verb)
    values = word_list(map(layout.value_name, several), "or")
    return f"{layout.unknowns[several[0][0]]} {verb} {values}"


def _denial(layout: Layout, marks: Sequence[Mark]) -> str:
    """The words for an unknown without some values; with the other value, if it has two."""
    unknown = marks[0][0]
    cells = dict.fromkeys(one for one, _ in marks)
    if len(cells) > 1:
        names = [thing_said(layout, one) for one in cells]
        none = (
            f"neither {' nor '.join(names)}" if len(names) == 2 else f"none of {word_list(names)}"
        )
        return f"{none} is {layout.value_name(marks[0])}"
    left = [value for value in range(len(layout.domains[unknown])) if (unknown, value) not in marks]
    if in_words(layout.unknowns[unknown]) and len(layout.domains[unknown]) == 2:
        return values_said(layout, unknown, left)
    return alike_said(layout, [(unknown, _none_of(layout, marks))])


def _none_of(layout: Layout, marks: Sequence[Mark]) -> str:
    """``not 3``, ``not 3 or 5``, ``not 3, 5 or 7``."""
    return f"not {word_list([layout.value_name(mark) for mark in marks], 'or')}"


def alike_said(layout: Layout, several: Iterable[tuple[int, str]]) -> str:
    """Unknowns with what they are, those that are the same together: ``r1c1 and r1c2 are both 5``."""
    together: dict[str, list[int]] = {}
    for unknown, left in several:
        together.setdefault(left, []).append(unknown)
    said = []
    for left, unknowns in together.items():
        each = " each" if " or " in left and not left.startswith("not ") else ""
        if not re.search(r"\D", left):
            each = f" {every(len(unknowns))}"
        verb = "is" if len(unknowns) == 1 else f"are{each}"
        said.append(f"{word_list(thing_said(layout, one) for one in unknowns)} {verb} {left}")
    return _in_a_row(said)


def _in_a_row(clauses: Sequence[str]) -> str:
    """Clauses in a row; after one with an *and* of its own stands a comma."""
    if any(" and " in one for one in clauses[:-1]):
        return f"{', '.join(clauses[:-1])}, and {clauses[-1]}"
    return word_list(clauses)


def link_said(layout: Layout, link: Idea, why: Sequence[Narrowed], name: Name) -> str:
    """A link: the candidates left that force it, its conclusion and its reason."""
    concluded = f"{_conclusion_said(layout, link, why)}, {_reason(layout, link, name)}"
    causes = [one for one in why if one[0] not in link.touched]
    if link.technique not in (rule_alone.NAME, rule_with_houses.NAME) or not causes:
        return concluded
    return f"{narrowed_said(layout, causes)}, so {concluded}"


def _conclusion_said(layout: Layout, link: Idea, why: Sequence[Narrowed]) -> str:
    """The conclusion of a link."""
    layers = [mark for mark in link.places if in_words(layout.unknowns[mark[0]])]
    others = [mark for mark in link.places if mark not in layers]
    told = [(mark[0], layout.value_name(mark)) for mark in others]
    struck: dict[int, list[Mark]] = {}
    for mark in link.removes:
        struck.setdefault(mark[0], []).append(mark)
    left = []
    for one, marks in struck.items():
        if in_words(layout.unknowns[one]) and len(layout.domains[one]) == 2:
            left.append((one, 0b11 & ~(1 << marks[0][1])))
        else:
            had = next((now for unknown, _, now in why if unknown == one), 0)
            told.append((one, _limit(layout, marks, had) or _none_of(layout, marks)))
    said = [alike_said(layout, told)] if told else []
    if layers or left:
        said.append(marks_said(layout, layers, left))
    return _in_a_row(said)


def _limit(layout: Layout, marks: Sequence[Mark], had: int) -> str:
    """Strikes at one end of what an unknown had: ``at least 4``; empty for any others."""
    unknown = marks[0][0]
    struck = sorted(value for _, value in marks)
    left = had & ~sum(1 << value for value in struck)
    if not left:
        return ""
    values = members(left)
    if values[0] > struck[-1]:
        return f"at least {layout.value_name((unknown, values[0]))}"
    if values[-1] < struck[0]:
        return f"at most {layout.value_name((unknown, values[-1]))}"
    return ""


def narrowed_said(layout: Layout, several: Iterable[Narrowed], *, whole: bool = False) -> str:
    """The candidates left of unknowns: ``r4c7 is 3, r5c7 is at least 5 and r6c7 is 3, 5 or 9``.

    A bound is said of what it had; if ``whole``, candidates are named if they are few.
    """
    layered, others = [], []
    for one in several:
        unknown, _, mask = one
        if in_words(layout.unknowns[unknown]):
            layered.append((unknown, mask))
        else:
            others.append((unknown, _left_said(layout, one, whole=whole)))
    said = [alike_said(layout, others)] if others else []
    plain = [layout.unknowns[one] for one, mask in layered if mask == 1]
    cells = [one.cell for one in plain if isinstance(one, Doubler)]
    alike = len({left for _, left in others}) == 1 and len(cells) == len(layered)
    if alike and cells == [layout.unknowns[one] for one, _ in others]:
        # Cells of which more is said than their digits are named once.
        return f"{said[0]} and not {'a doubler' if len(cells) == 1 else 'doublers'}"
    return _in_a_row([*said, *([marks_said(layout, [], layered)] if layered else [])])


def _left_said(layout: Layout, narrowed: Narrowed, *, whole: bool) -> str:
    unknown, before, mask = narrowed
    values, lost = members(mask), members(before & ~mask)
    if len(values) > (3 if whole else 1) and lost:
        if lost[-1] < values[0]:
            return f"at least {layout.value_name((unknown, values[0]))}"
        if lost[0] > values[-1]:
            return f"at most {layout.value_name((unknown, values[-1]))}"
    return word_list([layout.value_name((unknown, value)) for value in values], "or")


def _reason(layout: Layout, link: Idea, name: Name) -> str:
    switches: Iterable[Switch] = dict.fromkeys(link.all_switches)
    by = word_list(dict.fromkeys(name(switch) for switch in switches))
    if link.technique in (rule_alone.NAME, rule_with_houses.NAME):
        return f"by {by}"
    return f"by {link.technique} in {by}"


def ending_said(layout: Layout, end: Ending, name: Name, last: str) -> str:
    """Words for the end: the thing for which nothing is left.

    The ``last`` conclusion is not said again as the reason.
    """
    if end.unknown is not None:
        return f"nothing is left for {thing_said(layout, end.unknown)}"
    if end.digit is not None and end.zone is not None:
        return f"{layout.symbol(end.digit)} has no place {zone_in(layout, end.zone)}"
    assert end.switch is not None
    rule = name(end.switch)
    if not end.left or len(end.left) > _MOST_SAID:
        return f"{rule} cannot be filled"
    if all(is_layered(layout.unknowns[unknown]) for unknown, _, _ in end.left):
        why = marks_said(layout, [], [(unknown, mask) for unknown, _, mask in end.left])
        return f"no way is left for {rule}, since {why}"
    said = narrowed_said(layout, end.left, whole=True)
    doublers = [one for one, _, _ in end.left if isinstance(layout.unknowns[one], Doubler)]
    if len(doublers) == len(end.left):
        if zone := _without_doubler(layout, end.left):
            return f"the doubler of {zone_said(layout, zone)} has no place"
        if all(mask == 0b10 for _, _, mask in end.left):
            return f"that is against {rule}" if said == last else f"{said}, which is against {rule}"
    return f"no way is left to fill {rule}" + ("" if said == last else f", since {said}")


def _without_doubler(layout: Layout, left: Iterable[Narrowed]) -> Zone | None:
    """The house of which just these cells, all of them, are not doublers."""
    bits = 0
    for unknown, _, mask in left:
        doubler = layout.unknowns[unknown]
        assert isinstance(doubler, Doubler)
        bits |= 1 << layout.index[doubler.cell] if mask == 0b01 else 0
    return next((zone for zone in layout.zones if zone.bits == bits), None)
