"""What a rule strikes and what must be in it, read off its meaning and never its kind."""
