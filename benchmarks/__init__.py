"""Side-by-side measurements: run `python -m benchmarks` from a checkout."""
