"""The solving route, step by step: what the board shows, the techniques, reasons, and the walk."""
