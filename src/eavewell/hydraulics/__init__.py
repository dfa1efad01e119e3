"""Gutters, pipes, pumps and outlets: water that runs, falls and is lifted."""
