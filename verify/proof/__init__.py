"""Evidence: certificates of a verdict, and the checker that needs no solver."""
