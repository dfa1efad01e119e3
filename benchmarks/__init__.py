"""How fast the house is, measured side by side; `python -m benchmarks` runs everything."""
