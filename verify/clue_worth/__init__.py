"""What each clue is worth: what hangs on it, which clues are enough, which value fits."""
