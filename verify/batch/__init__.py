"""Many puzzles: the questions, runs that can be resumed, and reports for other programs."""
