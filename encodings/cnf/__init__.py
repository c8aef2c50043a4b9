"""Constraints as clauses."""
