"""A book: a collection of puzzles kept right together, from the first manuscript to the printed page."""
