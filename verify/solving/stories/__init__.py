"""Stories for steps without a short technique, and the tidy route."""
