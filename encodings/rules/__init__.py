"""Rules of puzzles: one file a family, one class a rule."""
