"""Programs that a user would otherwise write by hand, one file per peer, as its documentation recommends.

Each counts the solutions of a 9×9 line up to two. ``PEERS`` gives, by name, a function that sets a
peer up and returns its counter; libraries are imported there and not before.
"""

from __future__ import annotations

from collections.abc import Callable
from importlib import import_module

Counter = Callable[[str], int]
_WORDS = ("none", "unique", "multiple")


def _plain(module: str) -> Callable[[], Counter]:
    return lambda: import_module(f"benchmarks.peers.{module}").count


def _kept(module: str, name: str) -> Callable[[], Counter]:
    return lambda: getattr(import_module(f"benchmarks.peers.{module}"), name)().count


def _ours() -> Counter:
    from gridassay.verify import check, read

    return lambda line: _WORDS.index(check(read(line)).status)


PEERS: dict[str, Callable[[], Counter]] = {
    "gridassay": _ours,
    "bare python-sat loop": _kept("bare_sat", "BareLoop"),
    "clingo, multi-shot": _kept("clingo_multi_shot", "MultiShot"),
    "OR-Tools per puzzle": _plain("cp_per_puzzle"),
    "CPMpy per puzzle": _plain("cpmpy_model"),
    "clingo per puzzle": _plain("clingo_per_puzzle"),
    "Z3 per puzzle": _plain("z3_integers"),
}
"""Peers by name, gridassay first."""
