"""Notes, prose and captions about a solve, checked against the puzzle."""
