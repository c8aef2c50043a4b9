"""Files that are written whole or not at all: first next to their place, then renamed into it.

A full disk, a kill or Ctrl-C at any moment leaves what was there before.
"""

from __future__ import annotations

import os
from collections.abc import Iterator
from contextlib import contextmanager
from itertools import count
from pathlib import Path

_UNFINISHED: set[Path] = set()
_NUMBERS = count()


@contextmanager
def saving(out: Path) -> Iterator[Path]:
    """The path to write to: it becomes ``out`` when the block ends well, and is removed otherwise.

    A path that is not an ordinary file, such as a pipe or ``/dev/stdout``, is written to directly:
    nothing could be renamed over it. A link keeps pointing if it does, and a file keeps its
    permissions. Raises OSError.
    """
    if out.exists() and not out.is_file():
        yield out
        return
    place = out.resolve()
    part = place.with_name(f".gridassay-{os.getpid()}-{next(_NUMBERS)}.part")
    _UNFINISHED.add(part)
    try:
        yield part
        if place.exists():
            part.chmod(place.stat().st_mode & 0o7777)
        part.replace(place)
    finally:
        part.unlink(missing_ok=True)
        _UNFINISHED.discard(part)


def save(out: Path, content: bytes | str) -> None:
    """Write a file whole, text in UTF-8. Raises OSError, and leaves what was there before."""
    data = content.encode() if isinstance(content, str) else content
    with saving(out) as part:
        part.write_bytes(data)


def drop_unfinished() -> None:
    """Remove unfinished files: the process is about to end."""
    for part in tuple(_UNFINISHED):
        part.unlink(missing_ok=True)
