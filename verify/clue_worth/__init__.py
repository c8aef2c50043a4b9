"""The worth of each clue: what depends on it, which clues are enough, which value fits."""
