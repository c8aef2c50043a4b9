"""Somebody else's walkthrough held against the puzzle, and against the puzzle's next version."""
