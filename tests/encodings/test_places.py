"""Lines of headers and keys in TOML texts."""

from __future__ import annotations

import pytest

from gridassay.encodings.places import Places

TEXT = '''\
title = """
[[rule]]
size = 4
"""
size = 9  # [[rule]]
[[ rule ]]
kind = "exactly"
[[rule.of]]   # the first
kind = "cage"
[[rule."of"]]
"cells" = "r1c1"
[[rule.of.of]]
cells = "r2c2"
[[rule.of]]
note = \'\'\'
sum = 3\'\'\'
[[rule]]
of = [{ kind = "cage", cells = "r1c1" }]
[[rule.of.of]]
[doublers]
'''


@pytest.mark.parametrize(
    ("path", "numbers", "key", "line"),
    [
        (["rule"], [1], "", 6),
        (["rule"], [1], "kind", 7),
        (["rule"], [1], "cells", 6),  # which stands deeper, not here
        (["rule"], [2], "of", 18),
        (["rule", "of"], [1, 1], "kind", 9),
        (["rule", "of"], [1, 2], "cells", 11),
        (["rule", "of", "of"], [1, 2, 1], "cells", 13),
        (["rule", "of"], [1, 3], "sum", 14),
        (["rule", "of"], [2, 1], "cells", 18),  # written inline
        (["rule"], [3], "", 6),
    ],
)
def test_entries_of_arrays(path: list[str], numbers: list[int], key: str, line: int) -> None:
    assert Places(TEXT).table(path, numbers, key) == line


@pytest.mark.parametrize(
    ("key", "line"), [("title", 1), ("size", 5), ("doublers", 20), ("kind", None), ("sum", None)]
)
def test_keys_at_the_top(key: str, line: int | None) -> None:
    assert Places(TEXT).top(key) == line


def test_carriage_returns_and_odd_breaks_make_no_lines() -> None:
    # A form feed or line separator inside a string is not a line of TOML.
    assert Places('title = "a\x0cb\u2028c"\r\nsize = 4\r\n').top("size") == 2
