"""Checking a walkthrough against the puzzle, and against the puzzle's next version."""
