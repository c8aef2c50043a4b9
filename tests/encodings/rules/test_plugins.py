"""Rules of other packages: the example package found as an installed one, and broken ones."""

from __future__ import annotations

import sys
import tomllib
from importlib.util import module_from_spec, spec_from_file_location
from pathlib import Path

import pytest

from gridassay.encodings.documents import read_document, schema
from gridassay.encodings.lines import PuzzleError
from gridassay.encodings.rules import every_rule, kinds, rule_class
from gridassay.encodings.rules.base import RuleError

from ...packages import Install, installer
from .witnesses import bare, witnesses

EXAMPLE = Path(__file__).parents[3] / "examples" / "plugin"
SWELL = '[[rule]]\nkind = "swell"\ncells = "r1c1..r1c3"\n'


@pytest.fixture
def install(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Install:
    return installer("gridassay.rules", tmp_path, monkeypatch)


@pytest.fixture
def example(install: Install, monkeypatch: pytest.MonkeyPatch) -> None:
    """The example package, by the entry points of its own pyproject.toml."""
    project = tomllib.loads((EXAMPLE / "pyproject.toml").read_text())["project"]
    install(project["name"], project["entry-points"]["gridassay.rules"])
    monkeypatch.syspath_prepend(EXAMPLE)


@pytest.mark.usefixtures("example")
@pytest.mark.parametrize("extra", ["", 'starts = "falling"\n'])
def test_the_example_is_a_rule_like_any_other(extra: str) -> None:
    assert "swell" in kinds()
    assert every_rule()["swell"] is rule_class("swell")
    assert "rule-swell" in schema()["$defs"]
    assert witnesses(bare(1, 3, 3, SWELL + extra)) == 5  # 2 permutations, 121, 131, 232 and mirror
    assert witnesses(bare(1, 3, 2, SWELL + extra, extra="[doublers]")) > 0


@pytest.mark.usefixtures("example")
def test_the_example_can_lie() -> None:
    liar = '[[rule]]\nkind = "exactly"\ncount = 0\n' + SWELL.replace("[[rule]]", "[[rule.of]]")
    assert witnesses(bare(1, 3, 3, liar)) == 27 - 5


@pytest.mark.usefixtures("example")
def test_the_tests_of_the_example_pass() -> None:
    spec = spec_from_file_location("test_swell", EXAMPLE / "tests" / "test_swell.py")
    assert spec is not None
    assert spec.loader is not None
    module = module_from_spec(spec)
    spec.loader.exec_module(module)
    tests = [test for name, test in vars(module).items() if name.startswith("test_")]
    assert len(tests) == 3
    for test in tests:
        test()


@pytest.mark.usefixtures("example")
def test_kinds_of_packages_are_suggested_too() -> None:
    with pytest.raises(PuzzleError, match=r"there is no rule 'swel'; did you mean 'swell'\?"):
        bare(1, 3, 3, SWELL.replace("swell", "swel"))


BROKEN = [
    ("nowhere:Rule", "", "ModuleNotFoundError: No module named 'nowhere'"),
    ("eddies:Eddy", "raise RuntimeError('two\\nlines')", "RuntimeError: two lines"),
    ("eddies:Eddy", "import sys", "AttributeError: "),
    ("eddies:Eddy", "Eddy = 5", "is not a subclass of Rule"),
    (
        "eddies:Eddy",
        "from gridassay.encodings.rules.cages import Cage as Eddy",
        "calls its kind 'cage'",
    ),
    (
        "eddies:Eddy",
        "from gridassay.encodings.rules.base import Rule\n"
        "class Eddy(Rule):\n    def text(self):\n        return ''\n",
        "the method text of Eddy is now called wording",
    ),
]


@pytest.mark.parametrize(("target", "code", "message"), BROKEN)
def test_a_broken_package_is_one_clear_line(
    install: Install, monkeypatch: pytest.MonkeyPatch, target: str, code: str, message: str
) -> None:
    monkeypatch.delitem(sys.modules, "eddies", raising=False)
    install("harbour-eddies", {"eddy": target}, "eddies", code)
    with pytest.raises(PuzzleError) as caught:
        read_document('[[rule]]\nkind = "eddy"\n', "t.toml")
    error = str(caught.value)
    assert error.startswith(
        "t.toml:2: rule 1 (eddy): the rule 'eddy' of the plug-in harbour-eddies"
    )
    assert message in error
    assert "\n" not in error
    with pytest.raises(RuleError, match="harbour-eddies"):
        every_rule()
    read_document('[[rule]]\nkind = "cage"\ncells = "r1c1"\n')  # which needs nothing of it


def test_two_packages_with_one_kind(install: Install) -> None:
    for name in ("north-pier", "south-pier"):
        install(name, {"pier": "nowhere:Pier"})
    with pytest.raises(RuleError, match="plug-in north-pier and the plug-in south-pier both bring"):
        rule_class("pier")


def test_a_package_cannot_take_a_built_in_kind(install: Install) -> None:
    install("smugglers", {"cage": "nowhere:Cage"})
    assert rule_class("cage") is not None
    with pytest.raises(RuleError, match="smugglers brings a rule 'cage', which is built in"):
        every_rule()
