"""Zips from strangers: whatever they are, they are refused in one line, and nothing is unpacked."""

from __future__ import annotations

import io
import struct
import zipfile
from collections.abc import Callable

import pytest

from gridassay.encodings.lines import PuzzleError
from gridassay.verify.proof import container
from gridassay.verify.proof.certificate import certify
from gridassay.verify.proof.container import ContainerRefused, pack, unpack
from gridassay.verify.proof.recheck import recheck

KNOWN = ("manifest.json", "puzzle.txt")


def zipped(*files: tuple[str, bytes], compression: int = zipfile.ZIP_DEFLATED) -> bytes:
    """A zip of these files, whatever their names."""
    data = io.BytesIO()
    with zipfile.ZipFile(data, "w", compression) as archive:
        for name, content in files:
            archive.writestr(zipfile.ZipInfo(name), content, compression)
    return data.getvalue()


def refused(data: bytes) -> str:
    """Why a zip is refused; the whole recheck says the same."""
    with pytest.raises(ContainerRefused) as caught:
        unpack(data, KNOWN)
    result = recheck(data)
    assert result.result == "failed"
    assert [finding.check for finding in result.findings] == ["parts"]
    assert recheck(data, proof_only=True).result == "failed"
    return str(caught.value)


def test_what_is_packed_comes_back() -> None:
    files = {"manifest.json": b"{}", "puzzle.txt": b"." * 81}
    assert unpack(pack(files), KNOWN) == files
    assert pack(files) == pack(dict(files))
    assert unpack(zipped(*files.items(), compression=zipfile.ZIP_STORED), KNOWN) == files


@pytest.mark.parametrize(
    "name",
    [
        "../puzzle.txt",
        "/etc/passwd",
        "C:\\puzzle.txt",
        "a/puzzle.txt",
        "./puzzle.txt",
        "puzzle.txt/",
        "PUZZLE.TXT",
        "puzzle.txt\n",
        "checker.py",
        "",
        "pu\u200bzzle.txt",
    ],
)
def test_odd_paths(name: str) -> None:
    assert "does not belong in a certificate" in refused(zipped((name, b"x")))


def test_a_name_that_ends_early() -> None:
    # zipfile cuts names at a zero byte; what was written is looked at as well.
    data = zipped(("puzzle.txtXevil", b"x")).replace(b"puzzle.txtX", b"puzzle.txt\0")
    assert "does not belong in a certificate" in refused(data)


@pytest.mark.filterwarnings("ignore:Duplicate name")
def test_duplicates() -> None:
    assert (
        refused(zipped(("puzzle.txt", b"x"), ("puzzle.txt", b"y"))) == "puzzle.txt is in it twice"
    )


def test_a_bomb_by_its_own_account(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(container, "LARGEST", 1000)
    assert "1,001 bytes, more than 1,000" in refused(zipped(("puzzle.txt", b"." * 1001)))
    both = zipped(("puzzle.txt", b"." * 600), ("manifest.json", b"." * 600))
    assert "together" in refused(both)
    monkeypatch.setattr(container, "LARGEST", 100)
    assert refused(both).startswith("it has ")


def test_a_bomb_of_many_files(monkeypatch: pytest.MonkeyPatch) -> None:
    data = zipped(*[(f"{number}", b"") for number in range(101)])
    monkeypatch.setattr(zipfile, "ZipFile", lambda *_: pytest.fail("it was opened"))
    assert refused(data) == "it has more than 100 files"


def test_a_bomb_that_hides_its_size() -> None:
    data = bytearray(zipped(("puzzle.txt", b"." * 5_000_000)))
    for place in (data.index(b"PK\x03\x04") + 22, data.index(b"PK\x01\x02") + 24):
        data[place : place + 4] = struct.pack("<I", 10)
    assert refused(bytes(data))


def test_nothing_is_taken_out_before_all_is_looked_over(monkeypatch: pytest.MonkeyPatch) -> None:
    data = zipped(("puzzle.txt", b"x"), ("other.txt", b"x"))
    monkeypatch.setattr(zipfile.ZipFile, "open", lambda *_: pytest.fail("it was opened"))
    refused(data)


def test_unusual_compression_and_encryption() -> None:
    data = bytearray(zipped(("puzzle.txt", b"x" * 100)))
    central = data.index(b"PK\x01\x02")
    for method in (9, 12, 14, 93, 99):
        data[central + 10 : central + 12] = struct.pack("<H", method)
        assert refused(bytes(data)) == "puzzle.txt is compressed in an unusual way"
    data[central + 8] |= 1
    assert refused(bytes(data)) == "puzzle.txt is encrypted"


def test_no_zip_at_all() -> None:
    whole = certify(b"1......2..3..4..").to_bytes()
    for data in (b"", b"PK", b"PK\x05\x06" + b"\0" * 10, b"size = 4", whole[: len(whole) // 2]):
        assert refused(data).startswith("it is not a sound zip: ")


def test_no_part_at_all() -> None:
    result = recheck(b"PK\x05\x06" + b"\0" * 18)
    assert result.findings[0].detail == "manifest.json: manifest.json is missing"


def test_a_certificate_larger_than_is_read_is_not_written(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    certificate = certify(b"1......2..3..4..")
    monkeypatch.setattr(container, "LARGEST", 2000)
    with pytest.raises(PuzzleError, match=r"too large to certify: formula\.cnf has"):
        certificate.to_bytes()


@pytest.mark.parametrize("damage", [lambda d: d[:-30], lambda d: d[100:], lambda d: d + d])
def test_cut_and_doubled_zips_raise_nothing(damage: Callable[[bytes], bytes]) -> None:
    whole = certify(b"1......2..3..4..").to_bytes()
    assert recheck(damage(whole)).result in {"passed", "failed"}
