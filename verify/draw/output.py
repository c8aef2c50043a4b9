"""Pictures to files, in the format of the file's name."""

from __future__ import annotations

from collections.abc import Sequence
from os import PathLike
from pathlib import Path

from gridassay.verify.budget import looking_at_arguments
from gridassay.verify.draw.marks import Picture
from gridassay.verify.saving import save

FORMATS = (".svg", ".png", ".pdf")


@looking_at_arguments
def write_pictures(
    pictures: Sequence[Picture], out: str | PathLike[str], *, dpi: float = 300
) -> None:
    """Write pictures as the pages of a PDF, or the only one as SVG or PNG.

    Raises ValueError for another format, several pictures in one that holds one, or a font file that
    cannot be used; OSError if the file cannot be written.
    """
    out = Path(out)
    kind = out.suffix.lower()
    if kind not in FORMATS:
        raise ValueError(f"{out}: a picture is a file that ends in {', '.join(FORMATS)}")
    if kind == ".pdf":
        from gridassay.verify.draw.pdf import pdf

        save(out, pdf(pictures))
        return
    if len(pictures) != 1:
        raise ValueError(f"{out}: this format holds one picture, but there are {len(pictures)}")
    if kind == ".svg":
        from gridassay.verify.draw.svg import svg

        save(out, svg(pictures[0]) + "\n")
    else:
        from gridassay.verify.draw.raster import png

        save(out, png(pictures[0], dpi=dpi))
