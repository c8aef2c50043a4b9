"""Engines: one SAT, one CP, the same questions."""
