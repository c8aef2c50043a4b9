"""The board that a solver looks at: candidates, ideas about them, and the steps that change them."""
