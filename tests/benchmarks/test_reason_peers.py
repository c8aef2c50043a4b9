"""The peers that look for smallest reasons are asked the right question."""

from __future__ import annotations

import pytest

EVERY = (1 << 9) - 1


@pytest.mark.parametrize("name", ["optux_reasons", "cpmpy_reasons"])
def test_the_fewest_houses_of_any_elimination(name: str) -> None:
    if name.startswith("cpmpy"):
        pytest.importorskip("cpmpy")
    from importlib import import_module

    fewest = import_module(f"benchmarks.peers.{name}").fewest_houses
    # 1 and 2 in the first two cells of row 1: both are gone from the rest of it, by that row alone.
    solved = "..3456789456789123789123456234567891567891234891234567345678912678912345912345678"
    masks = [EVERY if symbol == "." else 1 << int(symbol) - 1 for symbol in solved]
    masks[:3] = [0b11, 0b11, 0b111]
    assert fewest(masks, [(2, 0)]) == 1
