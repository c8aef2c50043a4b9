"""Pictures of puzzles: as text for a terminal, as SVG, PNG and PDF, and as pages of a book.

A puzzle and a `View` become a `Picture` (`scene`), which `svg`, `pdf` and `raster` write; the
room `book` lays several out on pages.
"""

from gridassay.verify.draw.marks import Picture
from gridassay.verify.draw.svg import svg

Picture.written_by = svg
