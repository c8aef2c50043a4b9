"""Encodings of other packages: entry points of the group ``gridassay.encodings``.

The name of an entry point is the constraint and the encoding's own name, ``Sum.comb`` or
``AtMostOne.stairs``; it points at the function, written like the built-in ones: it takes a
writer and the constraint (for AtMostOne, the literals). They are looked for only when a choice names
an encoding that is not built in, or when all are listed, and are loaded only then: installed packages
cost an ordinary puzzle nothing.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from gridassay.encodings.cnf.registry import (
    AT_MOST_ONE,
    Encoder,
    EncodingError,
    every_encoder,
)

if TYPE_CHECKING:
    from importlib.metadata import EntryPoint

GROUP = "gridassay.encodings"


def _built_in() -> dict[str, dict[str, Encoder]]:
    others = {kind: dict(own) for kind, own in every_encoder().items()}
    return {"AtMostOne": dict(AT_MOST_ONE), **others}


def outside_encoder(kind: str, name: str) -> Encoder:
    """The encoding of a constraint that another package brings under this name.

    Raises EncodingError, in one line, if there is none or it cannot be loaded.
    """
    from importlib.metadata import entry_points

    found = list(entry_points(group=GROUP, name=f"{kind}.{name}"))
    if not found:
        names = ", ".join(_built_in().get(kind, {}))
        raise EncodingError(f"there is no encoding {name!r} of {kind}; built in are: {names}")
    return _load(found)


def every_encoding() -> dict[str, dict[str, Encoder]]:
    """Every encoding of every constraint by name, plug-ins loaded and listed last.

    Raises EncodingError, in one line that names the package, if one cannot be loaded.
    """
    from importlib.metadata import entry_points

    known = _built_in()
    outside = entry_points(group=GROUP)
    for full in sorted(outside.names):
        found = list(outside.select(name=full))
        kind, dot, name = full.partition(".")
        if not dot or kind not in known:
            kinds = ", ".join(sorted(known))
            raise EncodingError(
                f"{_origin(found[0])} brings an encoding {full!r}: its name should be one of "
                f"{kinds}, a dot and a name of its own"
            )
        if name in known[kind]:
            raise EncodingError(f"{_origin(found[0])} brings {full!r}, which is built in")
        known[kind][name] = _load(found)
    return known


def _load(found: list[EntryPoint]) -> Encoder:
    origins = sorted({_origin(point) for point in found})
    full = found[0].name
    if len(origins) > 1:
        raise EncodingError(f"{' and '.join(origins)} both bring an encoding {full!r}")
    named = f"the encoding {full!r} of {origins[0]}"
    try:
        encoder: Encoder = found[0].load()
    except Exception as error:  # whatever somebody else's module does on import
        reason = " ".join(f"{type(error).__name__}: {error}".split())
        raise EncodingError(f"{named} cannot be loaded: {reason}") from None
    if not callable(encoder):
        raise EncodingError(f"{named} is not a function")
    return encoder


def _origin(point: EntryPoint) -> str:
    return f"the plug-in {point.dist.name if point.dist else point.value}"
