"""Pictures of puzzles: as text for a terminal."""
