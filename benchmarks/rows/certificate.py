"""Evidence: certificates written and checked again."""

from __future__ import annotations

from benchmarks.corpora import RULE_OFF, lines, text
from benchmarks.measure import Measured, Row, seconds, spread
from gridassay.verify import certify, recheck


def _both(documents: list[str], name: str) -> tuple[Measured, Measured]:
    """Seconds to write and to check again, one figure per puzzle, the first dropped."""
    writing, checking, sizes = [], [], []
    for document in documents:
        made: list[bytes] = []
        writing.append(
            seconds(
                lambda d=document, made=made: made.append(  # type: ignore[misc]
                    certify(d.encode(), name, budget=60).to_bytes()
                )
            ).cpu
        )
        passed: list[str] = []
        checking.append(
            seconds(
                lambda made=made, passed=passed: passed.append(  # type: ignore[misc]
                    recheck(made[0], budget=60).result
                )
            ).cpu
        )
        if passed != ["passed"]:
            raise AssertionError(f"a certificate of {name} does not pass")
        sizes.append(len(made[0]) / 1024)
    note = f"{spread(sizes[1:]).value:.0f} kB"
    return spread(writing[1:], note), spread(checking[1:], note)


def _seventeen(quick: bool) -> list[str]:
    return list(lines("seventeen")[: 4 if quick else None])


def _large(quick: bool) -> list[str]:
    return list(lines("large16")[: 2 if quick else None])


def _cages(quick: bool) -> list[str]:
    return text("cages9").split(RULE_OFF)[: 3 if quick else None]


ROWS = (
    Row(
        6,
        "certificate of a 17-given 9×9",
        "at most",
        0.2,
        "s",
        lambda quick: _both(_seventeen(quick), "17.txt")[0],
    ),
    Row(
        6,
        "recheck of a 17-given 9×9",
        "at most",
        0.2,
        "s",
        lambda quick: _both(_seventeen(quick), "17.txt")[1],
    ),
    Row(
        6,
        "certificate of a 16×16",
        "at most",
        3,
        "s",
        lambda quick: _both(_large(quick), "16.txt")[0],
    ),
    Row(
        6, "recheck of a 16×16", "at most", 3, "s", lambda quick: _both(_large(quick), "16.txt")[1]
    ),
    Row(
        6,
        "certificate of a 9×9 of cages",
        "at most",
        3,
        "s",
        lambda quick: _both(_cages(quick), "cages.toml")[0],
    ),
    Row(
        6,
        "recheck of a 9×9 of cages",
        "at most",
        3,
        "s",
        lambda quick: _both(_cages(quick), "cages.toml")[1],
    ),
)
