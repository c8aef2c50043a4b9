"""What is wrong with a puzzle that has not one solution, and the smallest mend."""
