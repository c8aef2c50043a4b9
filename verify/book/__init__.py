"""A book: a collection of puzzles, kept sound from the first manuscript to the printed page."""
