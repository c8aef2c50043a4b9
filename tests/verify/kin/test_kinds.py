"""Rules of every family, mirrored and with rows for columns: always kin, always one layout.

Nothing in the package knows these kinds; a kind that says where it stands in terms of reading order
or sides, and is stated differently when turned, would fail here.
"""

from __future__ import annotations

import re

import pytest

from gridassay.verify import canonical, read
from gridassay.verify.kin import layout, way_between

RULES = [
    'kind = "diagonals"\nwhich = "falling"',
    'kind = "windows"',
    'kind = "box-places"',
    'kind = "anti-knight"',
    'kind = "anti-king"\nwrap = true',
    'kind = "anti-queen"\ndigits = [9]',
    'kind = "nonconsecutive"',
    'kind = "consecutive-pair"\ncells = "r1c1 r1c2"',
    'kind = "greater"\ncells = "r1c1 r1c2"',
    'kind = "contains"\ncells = "r1c1 r1c2 r2c1 r2c2"\ndigits = [3, 7]',
    'kind = "calculation-cage"\ncells = "r1c1 r1c2"\ntarget = 12',
    'kind = "arrow"\nbulb = "r1c1"\nshaft = "r1c2..r1c4"',
    'kind = "palindrome"\ncells = "r1c1..r1c5"',
    'kind = "renban"\ncells = "r1c1..r1c5"',
    'kind = "whisper"\ncells = "r1c1..r5c5"',
    'kind = "between-ends"\ncells = "r1c1..r1c5"',
    'kind = "region-sum"\ncells = "r1c2..r1c5"',
    'kind = "zipper"\ncells = "r1c1..r1c5"',
    'kind = "modular"\ncells = "r1c1..r1c6"',
    'kind = "entropic"\ncells = "r1c1..r1c6"',
    'kind = "sum-run"\ncells = "r1c1..r1c6"\ntotal = 10',
    'kind = "little-killer"\nstart = "r1c2"\ndirection = "down-right"\nsum = 30',
    'kind = "sandwich"\nline = "r3"\nsum = 20',
    'kind = "x-sum"\nline = "r3"\nside = "left"\nsum = 20',
    'kind = "seen-count"\nline = "r3"\nside = "left"\nseen = 4',
    'kind = "numbered-room"\nline = "r3"\nside = "left"\ndigit = 4',
    'kind = "battlefield"\nline = "r3"\nsum = 12',
    'kind = "even"\ncells = "r1c1 r2c2"',
    'kind = "counting-circles"\ncells = "r1c1 r3c4 r5c5 r7c8"',
    'kind = "relation"\ncells = "r1c1 r1c2 r1c3"\nholds = "a + b == 2*c"',
    'kind = "sequence"\ncells = "r1c1..r1c5"\npattern = ".*9.*"',
]


def mirrored(rule: str) -> str:
    """Left for right."""
    rule = re.sub(r"r(\d)c(\d)", lambda m: f"r{m[1]}c{10 - int(m[2])}", rule)
    return _swapped(rule, ("left", "right"), ("down-right", "down-left"), ("falling", "rising"))


def transposed(rule: str) -> str:
    """Rows for columns."""
    rule = re.sub(r"r(\d)c(\d)", lambda m: f"r{m[2]}c{m[1]}", rule)
    rule = re.sub(r'line = "r(\d)"', r'line = "c\1"', rule)
    return _swapped(rule, ("left", "top"), ("right", "bottom"))


def _swapped(rule: str, *pairs: tuple[str, str]) -> str:
    for one, other in pairs:
        rule = rule.replace(f'"{one}"', "@").replace(f'"{other}"', f'"{one}"')
        rule = rule.replace("@", f'"{other}"')
    return rule


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.split('"')[1])
def test_a_rule_turned_is_the_same_rule(rule: str) -> None:
    first = read(f"size = 9\n[[rule]]\n{rule}", "first.toml")
    for change in (mirrored, transposed):
        second = read(f"size = 9\n[[rule]]\n{change(rule)}", "second.toml")
        assert canonical(first).text == canonical(second).text
        assert layout(first) == layout(second)
        way_between(first, second)
