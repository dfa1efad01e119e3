"""A symptom, its causes by likelihood, and what narrows them."""
