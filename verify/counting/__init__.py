"""Counting solutions: the verdict, a count, the possible digits, the nearest other solution."""
