"""Pictures of puzzles: as text for a terminal, as SVG, PNG and PDF, and as pages of a book.

A puzzle and a `View` become a `Picture` (`scene`), which `svg`, `pdf` and `raster` write; `book` lays
several out on pages.
"""
