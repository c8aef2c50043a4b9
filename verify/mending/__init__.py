"""Finding what is wrong with a puzzle that does not have one solution, and the smallest repair."""
