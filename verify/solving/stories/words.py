"""Stories in words: "suppose r4c7 were 3. Then r4c8 is 2, by the thermometer; then …".

A link says what it concludes and why, in a few words; the long sentence of its step is kept with
it for whoever asks.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from gridassay.verify.engines.questions import Switch
from gridassay.verify.solving.board.ideas import Branch, Ending, Idea, Story, called, listed
from gridassay.verify.solving.board.position import Layout, Mark
from gridassay.verify.solving.techniques import (
    hidden_single,
    last_cell,
    naked_single,
    rule_alone,
    rule_with_houses,
)


def story_said(layout: Layout, story: Story) -> str:
    """The whole story."""
    if story.form == "suppose":
        (branch,) = story.branches
        said = [f"suppose {_are(layout, branch.supposed, 'were')}"]
        steps = [f"then {link_said(layout, link)}" for link in branch.links]
        steps.append(f"then {ending_said(layout, branch.end)}" if branch.end else "")
        said.append(_capital("; ".join(filter(None, steps))))
        cell = layout.unknowns[branch.supposed[0][0]]
        said.append(f"So {cell} is {_none_of(layout, branch.supposed)}")
        return ". ".join(said)
    return ". ".join(
        [
            f"either way of {_about(layout, story.about)}",
            *(_capital(_branch(layout, branch)) for branch in story.branches),
        ]
    )


def _branch(layout: Layout, branch: Branch) -> str:
    steps = [f"then {link_said(layout, link)}" for link in branch.links]
    if branch.end:
        steps.append(f"then {ending_said(layout, branch.end)}")
    return f"if {_are(layout, branch.supposed, 'is')}, {'; '.join(steps)}"


def _about(layout: Layout, about: Ending | None) -> str:
    if about is None or about.unknown is None:
        assert about is not None
        assert about.digit is not None
        assert about.zone is not None
        return f"{layout.symbol(about.digit)} in {about.zone.name}"
    return str(layout.unknowns[about.unknown])


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def _are(layout: Layout, marks: Iterable[Mark], verb: str) -> str:
    several = list(marks)
    values = listed(map(layout.written, several), "or")
    return f"{layout.unknowns[several[0][0]]} {verb} {values}"


def _none_of(layout: Layout, marks: Sequence[Mark]) -> str:
    """``not 3``, ``neither 3 nor 5``, ``none of 3, 5 and 7``."""
    values = [layout.written(mark) for mark in marks]
    if len(values) == 1:
        return f"not {values[0]}"
    return (
        f"neither {values[0]} nor {values[1]}" if len(values) == 2 else f"none of {listed(values)}"
    )


def link_said(layout: Layout, link: Idea) -> str:
    """A link: its conclusion and its reason."""
    said = [f"{layout.unknowns[mark[0]]} is {layout.written(mark)}" for mark in link.places]
    struck: dict[int, list[Mark]] = {}
    for mark in link.removes:
        struck.setdefault(mark[0], []).append(mark)
    said += [
        f"{layout.unknowns[one]} is {_none_of(layout, marks)}" for one, marks in struck.items()
    ]
    return f"{listed(said)}, {_by(layout, link)}"


def _by(layout: Layout, link: Idea) -> str:
    if link.technique == naked_single.NAME:
        return "the only digit left there"
    if link.technique in (hidden_single.NAME, last_cell.NAME):
        return f"the only place left in {link.spots[0][1].name}"
    switches: Iterable[Switch] = dict.fromkeys(link.all_switches)
    by = listed(dict.fromkeys(called(layout, switch) for switch in switches))
    if link.technique in (rule_alone.NAME, rule_with_houses.NAME):
        return f"by {by}"
    return f"by {link.technique} in {by}"


def ending_said(layout: Layout, end: Ending) -> str:
    """Words for what then has nothing left."""
    if end.unknown is not None:
        return f"nothing is left for {layout.unknowns[end.unknown]}"
    if end.digit is not None and end.zone is not None:
        return f"{layout.symbol(end.digit)} has no place in {end.zone.name}"
    assert end.switch is not None
    return f"{called(layout, end.switch)} cannot be filled"
