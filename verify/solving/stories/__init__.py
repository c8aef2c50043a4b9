"""What is told: stories where no short technique stands, and the tidy route."""
