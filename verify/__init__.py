"""Questions about a puzzle, answered by asking a compiled model."""
