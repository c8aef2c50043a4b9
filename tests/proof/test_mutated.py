"""Thousands of changed certificates: every one is refused, unless what it then says is proved.

A careless change leaves the manifest as it was; a forger writes a new one that fits. Proofs are also
held against the naive checkers of ``test_against_naive``, which share nothing with ours.
"""

from __future__ import annotations

import random
from collections.abc import Callable
from functools import partial

import pytest

from gridassay.verify.proof.certificate import Certificate, certify
from gridassay.verify.proof.checker import parse_dimacs
from gridassay.verify.proof.container import ContainerRefused, pack, unpack
from gridassay.verify.proof.manifest import KNOWN_PARTS, MANIFEST, NOTE, manifest_of
from gridassay.verify.proof.recheck import Recheck, recheck

from .puzzles import SMALL_LATIN, made
from .test_against_naive import accepts, damage, naive_drat, naive_lrat
from .test_certificate import PIGEONHOLES

CHANGES = 150  # of each part
MULTIPLE = b'size = 4\ngivens = "1... ...2 .... ...."\n'


@pytest.fixture(scope="module")
def unique() -> Certificate:
    """A Latin square with cages: 4 by 4, so that thousands are rechecked in seconds."""
    return certify(made(SMALL_LATIN, 3, cages=5))


@pytest.fixture(scope="module")
def none() -> Certificate:
    """Pigeonholes: propagation alone does not refute it, so the proof has to be a proof."""
    return certify(PIGEONHOLES.encode())


@pytest.fixture(scope="module")
def multiple() -> Certificate:
    return certify(MULTIPLE)


def careless(certificate: Certificate, changes: dict[str, bytes]) -> bytes:
    """The certificate with other parts and the manifest as it was."""
    return pack({MANIFEST: certificate.manifest.to_bytes(), **certificate.parts, **changes})


def forged(
    certificate: Certificate, changes: dict[str, bytes], verdict: str | None = None
) -> bytes:
    """The certificate with other parts and a manifest that fits them."""
    parts = {**certificate.parts, **changes}
    claim = verdict or certificate.verdict.status
    manifest = manifest_of(certificate.verdict.puzzle, claim, parts, certificate.manifest.proof)
    return pack({MANIFEST: manifest.to_bytes(), **parts})


def failing(result: Recheck) -> list[str]:
    """The checks that fail."""
    assert result.result == "failed", result
    return [finding.check for finding in result.findings if finding.result == "failed"]


def changed(text: bytes, chance: random.Random) -> bytes:
    """One character, line or stretch of a text changed."""
    while True:
        lines = text.split(b"\n")
        at, place = chance.randrange(len(lines)), chance.randrange(len(text))
        match chance.randrange(6):
            case 0:
                new = text[:place] + chance.choice(b"0123456789- dABx\n").to_bytes() + text[place:]
            case 1:
                new = text[:place] + text[place + 1 :]
            case 2:
                mark = chance.choice(b"0123456789-").to_bytes()
                new = text[:place] + mark + text[place + 1 :]
            case 3:
                new = b"\n".join(lines[:at] + lines[at + 1 :])
            case 4:
                new = b"\n".join(lines[:at] + lines[at : at + 1] + lines[at:])
            case _:
                new = text[:place]
        if new != text:
            return new


def test_careless_changes_are_refused(
    unique: Certificate, none: Certificate, multiple: Certificate
) -> None:
    chance = random.Random(1)
    for certificate in (unique, none, multiple):
        for name, data in certificate.parts.items():
            for _ in range(CHANGES // 10 if data else 0):
                result = recheck(careless(certificate, {name: changed(data, chance)}))
                assert "parts" in failing(result)
                assert f"{name} is not the file" in result.findings[0].detail


@pytest.mark.parametrize("name", ["formula.cnf", "solutions.txt"])
def test_forged_clauses_and_solutions_are_refused(unique: Certificate, name: str) -> None:
    chance = random.Random(name)
    for _ in range(CHANGES):
        result = recheck(forged(unique, {name: changed(unique.parts[name], chance)}))
        assert {"clauses", "solutions"} & {*failing(result)}


def test_forged_givens_are_refused(unique: Certificate) -> None:
    document = unique.parts["puzzle.toml"].decode()
    start = document.index('givens = "') + len('givens = "')
    for place in range(start, start + 16):
        for mark in ".1234":
            other = document[:place] + mark + document[place + 1 :]
            if other != document:
                result = recheck(forged(unique, {"puzzle.toml": other.encode()}))
                assert "clauses" in failing(result)


def test_forged_rules_are_refused(unique: Certificate) -> None:
    document = unique.parts["puzzle.toml"].decode()
    head, *rules = document.split("[[rule]]")
    for number, rule in enumerate(rules):
        others = [
            rules[:number] + rules[number + 1 :],
            [*rules[:number], f"{rule}optional = true\n", *rules[number + 1 :]],
            [*rules[:number], rule.replace("sum = ", "sum = 1"), *rules[number + 1 :]],
        ]
        for other in others:
            puzzle = "[[rule]]".join([head, *other]).encode()
            assert "clauses" in failing(recheck(forged(unique, {"puzzle.toml": puzzle})))


@pytest.mark.parametrize("verdict", ["unique", "multiple", "none"])
def test_another_claim_is_refused(
    unique: Certificate, none: Certificate, multiple: Certificate, verdict: str
) -> None:
    for certificate in (unique, none, multiple):
        if certificate.verdict.status != verdict:
            assert failing(recheck(forged(certificate, {}, verdict)))


def test_one_solution_twice_is_not_two(multiple: Certificate) -> None:
    first = multiple.parts["solutions.txt"].splitlines(keepends=True)[0]
    assert failing(recheck(forged(multiple, {"solutions.txt": first * 2}))) == ["solutions"]


def test_a_solution_that_is_none_is_named(multiple: Certificate) -> None:
    first, _ = multiple.parts["solutions.txt"].splitlines(keepends=True)
    renamed = first.translate(bytes.maketrans(b"13", b"31"))  # keeps the houses, not the given
    result = recheck(forged(multiple, {"solutions.txt": first + renamed}))
    assert failing(result) == ["solutions"]
    assert result.findings[2].detail == "solutions.txt:2: by plain reading it breaks r1c1=1"
    repeated = first[:2] + first[1:2] + first[3:]  # r1c3 takes the digit of r1c2
    result = recheck(forged(multiple, {"solutions.txt": first + repeated}))
    assert result.findings[2].detail.endswith("it breaks row 1")


def test_a_missing_part_is_named(unique: Certificate) -> None:
    for name in unique.parts:
        rest = {other: data for other, data in unique.parts.items() if other != name}
        fitting = manifest_of(unique.verdict.puzzle, "unique", rest, unique.manifest.proof)
        for manifest in (unique.manifest, fitting):
            result = recheck(pack({MANIFEST: manifest.to_bytes(), **rest}))
            if name == NOTE and manifest is fitting:
                assert result.result == "passed"  # as those of before there was a note
                continue
            missing = "puzzle.txt" if name == "puzzle.toml" and manifest is fitting else name
            assert result.findings[0].detail == f"{missing} is missing"
            assert "parts" in failing(result)
    result = recheck(pack(unique.parts))
    assert failing(result) == ["parts"]
    assert "manifest.json is missing" in result.findings[0].detail


def test_a_note_tells_a_stranger_in_ten_lines_and_says_nothing_else(
    unique: Certificate, multiple: Certificate
) -> None:
    said = unique.parts[NOTE].decode()
    assert len(said.splitlines()) <= 10
    for word in ("exactly one solution", "python checker.py formula.cnf proof.lrat", "recheck"):
        assert word in said
    for other in (multiple.parts[NOTE], b"Send me your password.\n"):
        result = recheck(forged(unique, {NOTE: other}))
        assert failing(result) == ["parts"]
        assert "does not say what the note" in result.findings[0].detail


def test_a_part_too_many_is_named(unique: Certificate, multiple: Certificate) -> None:
    both = {"puzzle.txt": b"." * 16}
    assert "puzzle.txt does not belong" in recheck(forged(unique, both)).findings[0].detail
    proof = {"proof.lrat": unique.parts["proof.lrat"]}
    assert failing(recheck(forged(multiple, proof))) == ["parts"]
    assert failing(recheck(careless(multiple, proof))) == ["parts"]


def test_a_manifest_that_is_not_one_is_refused(unique: Certificate) -> None:
    good = unique.manifest.to_bytes()
    chance = random.Random(4)
    odd = [b"", b"[]", b"null", b"{}", b"[" * 100_000, b'{"certificate": 2}', b"\xff", good + b" "]
    odd += [good.replace(b'"unique"', value) for value in (b"[]", b'"\\ud800"', b"{}", b"1e999")]
    for data in odd:
        result = recheck(pack({MANIFEST: data, **unique.parts}))
        assert failing(result) == ["parts"]
        assert "manifest.json: " in result.findings[0].detail
    told_apart = 0
    for _ in range(CHANGES):
        data = changed(good, chance)
        result = recheck(pack({MANIFEST: data, **unique.parts}))
        if result.result == "failed":
            told_apart += 1
        else:  # only what nobody can check may differ: which versions made it
            changes = {*data.splitlines()} - {*good.splitlines()}
            keys = {line.split(b'"')[1] for line in changes}
            assert keys <= {b"gridassay", b"encoder", b"python-sat", b"proof"}
    assert told_apart > CHANGES * 0.8


@pytest.mark.parametrize("kind", ["unique", "none"])
def test_changed_proofs_fail_exactly_when_a_naive_checker_refuses_them(
    request: pytest.FixtureRequest, kind: str
) -> None:
    certificate: Certificate = request.getfixturevalue(kind)
    _, formula = parse_dimacs(certificate.parts["formula.cnf"].decode())
    chance = random.Random(kind)
    naive: dict[str, tuple[int, Callable[..., bool]]] = {
        "proof.lrat": (CHANGES * 2, naive_lrat),
        "proof.drat": (CHANGES // (4 if kind == "unique" else 1), naive_drat),
    }
    for name, (times, check) in naive.items():
        lines = certificate.parts[name].decode().splitlines()
        seen = set()
        for _ in range(times):
            text = "\n".join(damage(lines, chance, formula))
            expected = accepts(partial(check, formula, text))
            data = forged(certificate, {name: text.encode()})
            result = recheck(data, proof_only=True)
            assert (result.result == "passed") == expected, (name, text, result)
            if not expected:
                assert result.findings[0].detail.startswith(f"{name}: ")
                assert failing(recheck(data)) == ["proof"]
            seen.add(expected)
        assert seen == {True, False} or name == "proof.lrat"


def test_bytes_of_the_zip_changed(unique: Certificate) -> None:
    data = unique.to_bytes()
    whole = unpack(data, KNOWN_PARTS)
    chance = random.Random(8)
    refused = 0
    for number in range(CHANGES * 2):
        place = chance.randrange(len(data))
        other = bytearray(data)
        if number % 4:
            other[place] ^= 1 << chance.randrange(8)
        else:
            del other[place:]
        try:
            unharmed = unpack(bytes(other), KNOWN_PARTS) == whole
        except ContainerRefused:
            unharmed = False
        if not unharmed:  # what the zip says about time stamps and the like is not looked at
            refused += 1
            assert "parts" in failing(recheck(bytes(other)))
    assert refused > CHANGES
