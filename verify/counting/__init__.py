"""Counting solutions: the verdict, a count, the possible digits, the two solutions that differ least."""
