"""Constraints as a CP-SAT model."""
