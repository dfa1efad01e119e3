"""What carries a tank, what lifts it and what tips it: screening, not design approval."""
