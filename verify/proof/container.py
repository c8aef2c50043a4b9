"""The zip that holds a certificate: written the same way every time, and read without trust.

A stranger's zip is limited before it is unpacked: the number of files, the size that each claims,
and how much is really read. Its files must have one of a few plain names, so no
path can lead elsewhere, and nothing is written to disk. (The zip modules are imported if they
are used: every command imports this file, and only two need them.)
"""

from __future__ import annotations

import io
from collections.abc import Collection, Mapping, Sequence
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import zipfile

LARGEST = 100_000_000
"""The bytes that the files of a certificate may have together; those of a 25×25 grid have 12 million."""

_MOST_FILES = 100
_ENTRY = b"PK\x01\x02"  # begins each entry of a zip's directory
_USUAL = (0, 8)  # stored and deflated, as zips number them
_EPOCH = (1980, 1, 1, 0, 0, 0)  # the first moment that a zip can name


class ContainerRefused(ValueError):
    """This is not a zip that could hold a certificate. The message names the file in it."""


def pack(files: Mapping[str, bytes]) -> bytes:
    """Zip files in the order given; the same files give the same bytes (with the same zlib).

    Raises ContainerRefused if ``unpack`` would.
    """
    import zipfile

    _require_size([(name, len(data)) for name, data in files.items()])
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, data in files.items():
            entry = zipfile.ZipInfo(name, _EPOCH)
            entry.compress_type = zipfile.ZIP_DEFLATED
            entry.create_system = 3  # Unix, on whatever system it is written
            entry.external_attr = 0o644 << 16
            archive.writestr(entry, data)
    return packed.getvalue()


def unpack(data: bytes, known: Collection[str]) -> dict[str, bytes]:
    """Unpack the files of a zip, all of which must have known names.

    Raises ContainerRefused, naming the file, for anything odd.
    """
    import struct
    import zipfile
    import zlib

    if len(data) > LARGEST:
        raise ContainerRefused(f"it has {len(data):,} bytes, more than {LARGEST:,}")
    if data.count(_ENTRY) > _MOST_FILES:  # before Python makes an object of each
        raise ContainerRefused(f"it has more than {_MOST_FILES} files")
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            entries = archive.infolist()
            _look_over(entries, known)
            return {entry.filename: _take(archive, entry) for entry in entries}
    except ContainerRefused:
        raise
    except (
        zipfile.BadZipFile,
        zlib.error,
        struct.error,
        EOFError,
        OSError,
        NotImplementedError,  # a zip version that Python does not know
        RuntimeError,
        ValueError,
    ) as error:
        raise ContainerRefused(
            f"it is not a sound zip: {str(error) or 'it is cut short'}"
        ) from None


def _look_over(entries: list[zipfile.ZipInfo], known: Collection[str]) -> None:
    seen: set[str] = set()
    for entry in entries:
        name = entry.filename
        if name not in known or entry.orig_filename != name:
            raise ContainerRefused(f"{entry.orig_filename[:60]!a} does not belong in a certificate")
        if name in seen:
            raise ContainerRefused(f"{name} is in it twice")
        if entry.flag_bits & 1:
            raise ContainerRefused(f"{name} is encrypted")
        if entry.compress_type not in _USUAL:
            raise ContainerRefused(f"{name} is compressed in an unusual way")
        seen.add(name)
    _require_size([(entry.filename, entry.file_size) for entry in entries])


def _require_size(sizes: Sequence[tuple[str, int]]) -> None:
    """Require that every file, and all files together, are no larger than LARGEST."""
    for name, size in sizes:
        if size > LARGEST:
            raise ContainerRefused(f"{name} has {size:,} bytes, more than {LARGEST:,}")
    total = sum(size for _, size in sizes)
    if total > LARGEST:
        raise ContainerRefused(f"its files have {total:,} bytes together, more than {LARGEST:,}")


def _take(archive: zipfile.ZipFile, entry: zipfile.ZipInfo) -> bytes:
    with archive.open(entry) as opened:
        data = opened.read(entry.file_size + 1)
    if len(data) != entry.file_size:
        raise ContainerRefused(f"{entry.filename} is not as long as the zip says")
    return data
