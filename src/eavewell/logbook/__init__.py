"""Readings, what is in the tank, how long it lasts, what leaks, what is due."""
