"""What people write and say of a solve, held against the puzzle: notes, prose and captions."""
