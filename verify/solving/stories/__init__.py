"""Stories: what is told where no short named technique stands."""
