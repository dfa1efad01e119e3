"""Drawings at true size, in millimetres."""
