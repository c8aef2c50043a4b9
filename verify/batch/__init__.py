"""Many puzzles: what each is asked, run and resumed, and reports for other programs."""
