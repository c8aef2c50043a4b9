"""The assay: every question about one puzzle, in the order in which a person asks them."""
