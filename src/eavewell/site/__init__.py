"""Nouns: frozen descriptions of the things a rainwater system is made of."""
