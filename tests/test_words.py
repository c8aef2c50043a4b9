"""docs/words.md has every word that steps and audits use; docs/steps.md has an example that holds."""

from __future__ import annotations

import re
from typing import get_args

import pytest

from gridassay.verify import audit, read
from gridassay.verify.auditing.results import Result
from gridassay.verify.solving.board.steps import REASON
from gridassay.verify.solving.board.steps_file import read_steps
from gridassay.verify.solving.techniques.names import OTHER_WORDS, technique_names

from .cli.run import EXAMPLES, ROOT, gridassay

WORDS = (ROOT / "docs" / "words.md").read_text(encoding="utf-8")
STEPS = (ROOT / "docs" / "steps.md").read_text(encoding="utf-8")

_RULE = '[[rule]]\nkind = "thermometer"\nid = "quay"\ncells = "r1c1 r2c1 r3c1"\n'
_BANDS = "".join(letter * 9 + "\n" for letter in "ABCDEFGHI")
PUZZLES = (
    read(f"size = 9\n{_RULE}"),
    read(f'size = 9\nregions = """\n{_BANDS}"""\n{_RULE}'),
)


def entries(title: str) -> dict[str, str]:
    """The entries of a section by their word, each on one line."""
    (section,) = re.findall(rf"^## {title}\n(.*?)(?=^## |\Z)", WORDS, flags=re.S | re.M)
    found = re.findall(r"^- \*\*(.+?)\*\*: (.*?)(?=^- |\Z)", section, flags=re.S | re.M)
    return {word: " ".join(told.split()) for word, told in found}


def test_every_technique_stands_there_in_teaching_order() -> None:
    assert list(entries("Techniques")) == [*technique_names(), REASON]


@pytest.mark.parametrize("name", [*technique_names(), REASON])
def test_a_technique_has_a_sentence_an_example_and_its_other_words(name: str) -> None:
    told = entries("Techniques")[name]
    sentence, example, also = re.fullmatch(
        r"([^`]{20,}\.) `([^`]+)`(?: \*Also:\* (.+)\.)?", told
    ).groups()  # type: ignore[union-attr]
    assert sentence
    assert tuple((also or "").split(", ")) == OTHER_WORDS.get(name, ("",))
    steps = [step for puzzle in PUZZLES for step in read_steps(example, puzzle)]
    read_well = [step for step in steps if not step.trouble]
    assert read_well, steps[0].trouble
    assert read_well[0].because is not None
    assert read_well[0].because.name == name


def test_every_result_of_an_audit_stands_there() -> None:
    assert set(entries("Results of an audit")) == set(get_args(Result))


def test_our_own_words_stand_there() -> None:
    ours = {"assay", "premise", "repair", "wasted", "keeper set", "reason", "route", "crux", "kin"}
    assert ours | {"narrow"} <= set(entries("Our own words"))


def test_the_example_of_a_steps_file_holds() -> None:
    (example,) = re.findall(r"```\n(.*?)```", STEPS, flags=re.S)
    found = audit(read((EXAMPLES / "harbour-lights.toml").read_text(encoding="utf-8")), example)
    assert [step.result for step in found.steps] == ["sound"] * 4
    assert not any(step.misnamed for step in found.steps)


@pytest.mark.parametrize("command", ["route", "audit"])
def test_help_ends_with_where_the_words_are(command: str) -> None:
    said = " ".join(gridassay(command, "--help").out.split())
    assert said.endswith(
        "docs/words.md explains every name and result; docs/steps.md, how to write steps."
    )
