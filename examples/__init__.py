"""The example puzzles, shipped so that the page can offer them."""
