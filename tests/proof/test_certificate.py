"""Certificates of puzzles of many kinds: made, checked again, the same every time."""

from __future__ import annotations

import hashlib
import json
import os
import subprocess
import sys
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from gridassay.encodings.lines import PuzzleError
from gridassay.verify.budget import Clock, OutOfTime
from gridassay.verify.proof import lrat
from gridassay.verify.proof.certificate import Certificate, certify
from gridassay.verify.proof.checker import (
    ProofRefused,
    check_drat,
    check_lrat,
    parse_dimacs,
    parse_drat,
)
from gridassay.verify.proof.container import pack
from gridassay.verify.proof.lrat import to_drat, with_hints
from gridassay.verify.proof.manifest import MANIFEST, manifest_of
from gridassay.verify.proof.recheck import Recheck, recheck
from gridassay.verify.proof.refute import refutation

from ..published import ENCYCLOPAEDIA, LIBRARY, SEVENTEEN
from .puzzles import CLASSIC, IRREGULAR, LATIN, SIX, SIXTEEN, as_line, made

UNDECIDED_ONLY_BY_TIME = 60.0

PIGEONHOLES = """
rows = 1
columns = 5
houses = "none"
digits = [1, 2, 3, 4]
""" + "".join(
    f'[[rule]]\nkind = "cage"\ncells = "r1c{one} r1c{other}"\n'
    for one in range(1, 6)
    for other in range(one + 1, 6)
)
"""Five cells that all differ with four digits, said pair by pair: nothing but a search refutes it."""

UNKNOWNS = """
size = 4
givens = "1... ...2 ..3. .4.."
[doublers]
[[rule]]
kind = "cage"
cells = "r1c1 r1c2"
sum = "A"
"""


def passes(certificate: Certificate) -> Recheck:
    """Check a certificate again, all of it, and require that it holds."""
    result = recheck(certificate.to_bytes(), budget=UNDECIDED_ONLY_BY_TIME)
    assert result.result == "passed", result
    assert [finding.check for finding in result.findings] == [
        "parts",
        "clauses",
        "solutions",
        "proof",
    ]
    only = recheck(certificate.to_bytes(), proof_only=True, budget=UNDECIDED_ONLY_BY_TIME)
    assert (only.result == "passed") == (certificate.verdict.status != "multiple")
    return result


CORPUS: dict[str, Callable[[int], bytes]] = {
    "line": lambda seed: as_line(made(CLASSIC, seed)),
    "classic": lambda seed: made(CLASSIC, seed),
    "Latin": lambda seed: made(LATIN, seed),
    "irregular": lambda seed: made(IRREGULAR, seed),
    "six": lambda seed: made(SIX, seed),
    "cages": lambda seed: made(SIX, seed, cages=8),
    "killer": lambda seed: made(CLASSIC, seed, cages=35),
    "thermometers": lambda seed: made(CLASSIC, seed, thermometers=6),
    "both": lambda seed: made(IRREGULAR, seed, cages=3, thermometers=2),
}


@pytest.mark.parametrize("kind", CORPUS)
@pytest.mark.parametrize("seed", range(3))
def test_what_has_one_solution_certifies(kind: str, seed: int) -> None:
    document = CORPUS[kind](seed)
    certificate = certify(document, budget=UNDECIDED_ONLY_BY_TIME)
    assert certificate.verdict.status == "unique"
    assert certificate.parts["puzzle.txt" if kind == "line" else "puzzle.toml"] == document
    assert passes(certificate).claim == "exactly one solution"


OTHER_RULES = {
    "outside": """
[[rule]]
kind = "sandwich"
line = "r2"
sum = 7
[[rule]]
kind = "x-sum"
line = "c3"
side = "top"
sum = 9
[[rule]]
kind = "seen-count"
line = "r5"
side = "right"
seen = 3
""",
    "diagonal": """
[[rule]]
kind = "little-killer"
start = "r1c2"
direction = "down-right"
sum = 14
""",
    "relation": """
[[rule]]
kind = "relation"
cells = "r1c1 r2c2 r3c3"
holds = "a + b == 2 * c"
""",
    "mixture": """
[[rule]]
kind = "exactly"
count = 1
[[rule.of]]
kind = "cage"
cells = "r1c1 r1c2 r1c3"
sum = 6
[[rule.of]]
kind = "thermometer"
cells = "r4c1..r4c4"
""",
}


@pytest.mark.parametrize("rules", OTHER_RULES)
def test_rules_of_every_sort_certify(rules: str) -> None:
    certificate = certify(made(SIX, 1, rules=OTHER_RULES[rules]))
    assert certificate.verdict.status == "unique"
    passes(certificate)


@pytest.mark.parametrize("line", [ENCYCLOPAEDIA, LIBRARY, *SEVENTEEN])
def test_published_puzzles_certify(line: str) -> None:
    assert passes(certify(line.encode())).claim == "exactly one solution"


LONG = {
    *("double-catch", "kelp", "lobster-pots", "lookout", "parishes"),
    *("skerries", "tow-lines", "two-waters"),
}
"""Their proofs take 4 s and more to check twice."""

EXAMPLES = sorted((Path(__file__).parents[2] / "examples").glob("*.toml"))


@pytest.mark.parametrize(
    "file", [file for file in EXAMPLES if file.stem not in LONG], ids=lambda file: file.stem
)
def test_examples_certify(file: Path) -> None:
    assert passes(certify(file.read_bytes(), str(file))).claim == "exactly one solution"


@pytest.mark.slow
def test_a_sixteen() -> None:
    passes(certify(made(SIXTEEN, 0, spare=160), budget=UNDECIDED_ONLY_BY_TIME))


def test_deletions_are_left_out(
    pigeonholes: Callable[[int, int], list[tuple[int, ...]]],
) -> None:
    # CaDiCaL deletes the clauses that become true for good: in a 25×25 grid, nearly all of them.
    formula = pigeonholes(4, 3)
    log = refutation(formula)
    assert log is not None
    steps = list(parse_drat("\n".join(["d 90 91 0"] * 20 * len(log) + log)))
    text = to_drat(with_hints(formula, steps))
    assert "d" not in text
    assert text.endswith("\n0\n")
    assert check_drat(formula, parse_drat(text)) <= len(log)


def test_proofs_too_long_to_keep_get_their_hints_at_once(
    monkeypatch: pytest.MonkeyPatch, pigeonholes: Callable[[int, int], list[tuple[int, ...]]]
) -> None:
    formula = pigeonholes(6, 5)
    log = refutation(formula)
    assert log is not None
    later = with_hints(formula, parse_drat("\n".join(log)))
    monkeypatch.setattr(lrat, "MOST_KEPT", 100)
    assert with_hints(formula, parse_drat("\n".join(log))) == later
    assert check_lrat(formula, later) == len(later)


def test_a_puzzle_without_solution() -> None:
    # Haken 1985: resolution takes long for this, propagation alone does not do.
    certificate = certify(PIGEONHOLES.encode())
    assert certificate.verdict.status == "none"
    assert certificate.parts["solutions.txt"] == b""
    assert passes(certificate).claim == "no solution"
    _, clauses = parse_dimacs(certificate.parts["formula.cnf"].decode())
    with pytest.raises(ProofRefused, match="ends before"):
        check_drat(clauses, [])


def test_givens_that_clash_at_once() -> None:
    assert passes(certify(b"11.. .... .... ....".replace(b" ", b""))).claim == "no solution"


def test_a_rule_that_nothing_fits() -> None:
    document = b'size = 4\n[[rule]]\nkind = "cage"\ncells = "r1c1 r1c2"\nsum = 99\n'
    assert passes(certify(document)).claim == "no solution"


def test_two_solutions_are_their_own_evidence() -> None:
    certificate = certify(b"." * 81)
    assert certificate.verdict.status == "multiple"
    assert set(certificate.parts) == {"read-me.txt", "puzzle.txt", "solutions.txt"}
    assert passes(certificate).claim == "more than one solution"


def test_unknowns_take_part_in_solutions() -> None:
    # The digits are forced; which cells are doublers is not, so it has several solutions.
    certificate = certify(UNKNOWNS.encode())
    assert certificate.verdict.status == "multiple"
    assert b" doubler=r" in certificate.parts["solutions.txt"]
    passes(certificate)
    # Without doublers the letter follows from the digits: 1 and 2 make 3.
    letter = certify(UNKNOWNS.replace("[doublers]", "").encode())
    assert letter.parts["solutions.txt"] == b"1243431221343421 A=3\n"
    passes(letter)


def test_a_rule_that_is_optional_is_absent() -> None:
    puzzle = made(SIX, 4, cages=5).decode()
    rule = '[[rule]]\nkind = "cage"\ncells = "r1c1 r1c2"\nsum = 11\noptional = true\n'
    without, with_it = certify(puzzle.encode()), certify((puzzle + rule).encode())
    assert with_it.parts["formula.cnf"] == without.parts["formula.cnf"]
    passes(with_it)


def test_every_clause_and_variable_is_accounted_for() -> None:
    document = made(SIX, 5, cages=6, thermometers=2)
    text = certify(document).parts["formula.cnf"].decode()
    variables, clauses = map(int, text.split("p cnf ")[1].split("\n")[0].split())
    covered = {"variable": 0, "clause": 0}
    labels = []
    for line in text.splitlines():
        name, colon, label = line.removeprefix("c ").partition(": ")
        what, *numbers = name.replace(" to ", " ").split()
        if line.startswith("c ") and colon and what.rstrip("s") in covered:
            assert int(numbers[0]) == covered[what.rstrip("s")] + 1
            covered[what.rstrip("s")] = int(numbers[-1])
            labels.append(label)
    assert covered == {"variable": variables, "clause": clauses}
    assert {"r3c4 is 5", "row 3", "column 1", "box 6", "the solution is forbidden"} <= {*labels}
    assert sum(label.startswith("cage ") for label in labels) == 6
    assert sum(label.startswith("given ") for label in labels) == len(
        [mark for mark in document.split(b'givens = "')[1].split(b'"')[0] if mark != ord(".")]
    )


def test_an_id_cannot_break_out_of_its_comment() -> None:
    document = (
        b"size = 4\n"
        b"[[rule]]\n"
        b'kind = "cage"\nid = "quay\\n1 0\\rp cnf 1 1"\ncells = "r1c1 r1c2"\nsum = 99\n'
    )
    certificate = certify(document)
    assert b"c clause" in certificate.parts["formula.cnf"]
    assert b"\n1 0" not in certificate.parts["formula.cnf"]
    passes(certificate)


def test_undecided_gives_no_certificate() -> None:
    with pytest.raises(OutOfTime):
        certify(made(CLASSIC, 1), budget=0)


def test_what_is_not_one_puzzle() -> None:
    for document in (b"", b"12\n", b"." * 16 + b"\n" + b"." * 16, b"\xff\xfe"):
        with pytest.raises(PuzzleError):
            certify(document)


def test_recheck_out_of_time_is_no_failure() -> None:
    result = recheck(certify(made(CLASSIC, 1)).to_bytes(), budget=Clock(-1))
    assert result.result == "incomplete"
    assert {"passed", "out of time"} == {finding.result for finding in result.findings}


def test_the_same_puzzle_gives_the_same_bytes() -> None:
    document = made(SIX, 2, cages=6, thermometers=3)
    script = (
        "import sys, hashlib; from gridassay.verify import certify; "
        "print(hashlib.sha256(certify(sys.stdin.buffer.read()).to_bytes()).hexdigest())"
    )
    hashes = {
        subprocess.run(
            [sys.executable, "-c", script],
            input=document,
            capture_output=True,
            check=True,
            env={**os.environ, "PYTHONHASHSEED": hash_seed},
        ).stdout.decode()
        for hash_seed in ("1", "2")
    }
    assert hashes == {hashlib.sha256(certify(document).to_bytes()).hexdigest() + "\n"}


def by_another(
    certificate: Certificate, formula: bytes, encoder: str = "0123456789abcdef"
) -> Recheck:
    """Recheck a certificate whose manifest says that another encoder wrote this formula."""
    parts = {**certificate.parts, "formula.cnf": formula}
    own = manifest_of(certificate.verdict.puzzle, "unique", parts, certificate.manifest.proof)
    versions = {**own.versions, "gridassay": "99.0\x1b[2J", "encoder": encoder}
    changed = replace(own, versions=versions)
    return recheck(pack({MANIFEST: changed.to_bytes(), **parts}))


def test_another_encoder_is_not_compared_and_not_accused() -> None:
    certificate = certify(made(SIX, 1))
    formula = certificate.parts["formula.cnf"]
    same = by_another(certificate, formula)
    assert same.result == "passed"  # it wrote the same clauses, and that can be seen
    comment = b"c from elsewhere\n" + formula
    other = by_another(certificate, comment)
    assert other.result == "incomplete"
    clauses = other.findings[1]
    assert clauses.result == "not compared"
    assert "formula.cnf:1 differs" in clauses.detail
    assert "gridassay '99.0\\x1b[2J'" in clauses.detail
    forged = by_another(certificate, comment, certificate.manifest.encoder)
    assert forged.result == "failed"
    assert "formula.cnf:1 is not what the puzzle gives" in forged.findings[1].detail


def test_the_manifest_names_what_made_it() -> None:
    certificate = certify(made(SIX, 1, cages=3))
    manifest = json.loads(certificate.manifest.to_bytes())
    assert manifest["versions"].keys() == {"gridassay", "encoder", "python-sat"}
    assert manifest["plug-ins"] == {}
    for name, part in manifest["parts"].items():
        data = certificate.parts[name]
        assert part == {"bytes": len(data), "sha256": hashlib.sha256(data).hexdigest()}


PLUG_IN = """
from typing import ClassVar, Literal
from gridassay.encodings.rules.lines import Thermometer

class Undertow(Thermometer):
    "Values rise along the line, under water."
    kind: Literal["undertow"] = "undertow"
    sentence: ClassVar[str] = "Digits rise along an undertow."
"""


def test_plug_ins_are_named_and_belong_to_the_encoder(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "slack_tide.py").write_text(PLUG_IN)
    installed = tmp_path / "slack_tide-1.2.dist-info"
    installed.mkdir()
    (installed / "METADATA").write_text("Metadata-Version: 2.1\nName: slack-tide\nVersion: 1.2\n")
    (installed / "entry_points.txt").write_text(
        "[gridassay.rules]\nundertow = slack_tide:Undertow\n"
    )
    document = made(SIX, 1, thermometers=3).replace(b"thermometer", b"undertow")
    with monkeypatch.context() as here:
        here.syspath_prepend(tmp_path)
        certificate = certify(document)
        assert certificate.manifest.plug_ins == {"undertow": "slack-tide 1.2"}
        assert certificate.manifest.encoder != certify(made(SIX, 1)).manifest.encoder
        passes(certificate)
        nested = document.replace(
            b"[[rule]]", b'[[rule]]\nkind = "exactly"\ncount = 1\n[[rule.of]]'
        )
        assert certify(nested).manifest.plug_ins == certificate.manifest.plug_ins
    missing = recheck(certificate.to_bytes())
    assert [finding.result for finding in missing.findings] == [
        "passed",
        "not compared",
        "not compared",
        "passed",
    ]
    assert "with 'undertow of slack-tide 1.2' wrote the clauses" in missing.findings[1].detail
